// The measuring plan read back: what the plate said goes in, out come how the fork really stands and which
// blade to cold set, which way and how far. Readings and signs as the measuring sheet has them; frame F.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/result.h"
#include "solve/solve.h"

namespace halfround::solve {

/// As the measuring sheet marks them, mm: A, B axle ends above the seat; D, E above the steerer's axis,
/// lying; F, G faces off the steerer's axis, on its side.
struct PlateReadings {
  double a = 0, b = 0, d = 0, e = 0, f = 0, g = 0;
};

/// Of the finished fork; deviations are from the drawn one.
struct TrueStand {
  base::Vec3 left = base::Vec3::Zero(), right = base::Vec3::Zero();  ///< where the axle's ends are
  double offset = 0, axle_to_crown = 0;                              ///< straight, mm
  double height = 0;                                                 ///< left end above the right one, mm
  double lead = 0;                                                   ///< left end ahead of the right one, mm
  double spacing = 0;                                                ///< between the faces, mm
  double centring = 0;  ///< wheel off the middle at the tyre's top, mm, > 0: left
};

/// One push of a cold blade, read at its fork end.
struct ColdSetting {
  std::string blade;  ///< "left blade"
  std::string way;    ///< "outward", "inward", "forward", "rearward"
  double by = 0;      ///< mm, > 0
  std::string until;  ///< "F reads 50.00 mm"
};

struct ReadBack {
  TrueStand now, then;  ///< as measured, and once the settings are made
  std::vector<ColdSetting> settings;
  std::vector<std::string> remains;  ///< what cold setting does not mend, plain sentences
  std::string caution;               ///< before the first push
};

/// "A=404.6" and so on, in any order, each letter once, with units as anywhere.
///   fails  reading-unknown, reading-twice, reading-missing, and those of a quantity
[[nodiscard]] base::Result<PlateReadings> plate_readings(const std::vector<std::string>& words);

/// What a plate would read off a fork whose axle ends stand there.
[[nodiscard]] PlateReadings readings_of(const base::Vec3& left, const base::Vec3& right);

///   in  readings  of the finished, cold fork
[[nodiscard]] ReadBack read_back(const job::Job& job, const Answer& answer, const PlateReadings& readings);

}  // namespace halfround::solve
