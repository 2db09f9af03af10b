// What a fixture's scales have to show for this fork, and what its holders lack. Frame: the fork's own, F.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "bike/assembly.h"
#include "shop/adapter.h"
#include "shop/shop.h"
#include "study/small_parts.h"

namespace halfround::shop {

inline constexpr std::size_t kMeasures = 12;  ///< values of Measures

/// A fork as a fixture sees it, by Measures; nothing where the fork hasn't got that measure. mm or rad.
struct ForkMeasures {
  std::array<std::optional<double>, kMeasures> left, right;  ///< the same but for splay and crown height
  double bolt_pitch = 0;                                     ///< of the brake mount, along its face, mm
  double mount_tolerance = 0;                                ///< what its bolts are held to, mm
  double steerer = 0;                                        ///< its diameter at the crown race seat, mm
  std::optional<double> crown_race;                          ///< diameter of its seat, mm
  HubEnd hub;
};

/// in  over_locknut, axle  of the job's hub, mm; crown_race: diameter of the seat, where it is known; mount:
///     of the brake, null: none. One whose coordinates aren't known has no measures
[[nodiscard]] ForkMeasures measures_of(const bike::Assembly& assembly, double over_locknut, double axle,
                                       std::optional<double> crown_race = std::nullopt,
                                       const study::Mount* mount = nullptr);

/// One scale.
struct Reading {
  std::string adjuster;
  Measures measures = Measures::offset;
  std::string what;          ///< "offset", "splay of the left blade"
  bool angle = false;        ///< rad instead of mm, in everything below
  double wanted = 0;         ///< of the fork
  double exact = 0;          ///< what the scale would show
  double set = 0;            ///< to the nearest step
  std::string text;          ///< `set` as the scale is marked: "1 47/64 in", "106.5 mm", "−6.25°"
  double error = 0;          ///< what the fork gets by the rounding: set less wanted
  double error_at_axle = 0;  ///< what that moves the axle by, mm; 0 where it doesn't
  bool in_range = true;
  double out_by = 0;  ///< how far the setting lies beyond the scale's nearer end; > 0: past its end, < 0:
                      ///< before its beginning
};

/// The fork that the rounded settings make; the axle's place wants a height and an offset in some form.
struct AsSet {
  double offset = 0, along = 0, straight = 0;                    ///< mm
  double offset_error = 0, along_error = 0, straight_error = 0;  ///< less what was wanted, mm
};

/// Where the brake mount's bolts come by the rounded settings; a measure without a scale is taken as wanted.
struct MountAsSet {
  double off = 0;    ///< the farther bolt from its place, in the rotor's plane, mm
  double aside = 0;  ///< both bolts outward, mm
  double tolerance = 0;
  [[nodiscard]] bool holds() const;  ///< both within the tolerance
};

struct HolderCheck {
  std::string what;   ///< "steerer clamp", "race stop"
  double has = 0;     ///< mm: the diameter or the nearer end of its range
  double wanted = 0;  ///< mm
  bool fits = true;
  std::string note;  ///< one sentence where it doesn't
};

struct FixtureSheet {
  std::string fixture;
  std::vector<Reading> readings;
  std::optional<AsSet> as_set;      ///< nothing where the scales don't fix the axle, or one is out of range
  std::optional<MountAsSet> mount;  ///< nothing where no scale measures it, or one is out of range
  std::vector<std::string> idle;    ///< scales this fork has nothing for: "mount arm: brake mount's lean"
  std::vector<HolderCheck> holders;
  std::optional<DummyAxle> dummy;  ///< the one to take
  std::optional<Adapter> adapter;  ///< what to turn for it; nothing: it fits as it is
  std::string adapter_problem;     ///< where no adapter can be worked out
};

[[nodiscard]] FixtureSheet fixture_sheet(const Fixture& fixture, const ForkMeasures& fork,
                                         const AdapterWishes& wishes = {});
/// Every fixture of the shop, in its order.
[[nodiscard]] std::vector<FixtureSheet> fixture_sheets(const Shop& shop, const ForkMeasures& fork,
                                                       const AdapterWishes& wishes = {});

/// Of the brake's mount rather than of the fork?
[[nodiscard]] constexpr bool of_mount(Measures measures) {
  return measures >= Measures::mount_face;
}

/// "axle-to-crown along the axis"
[[nodiscard]] std::string name_of(Measures measures);

}  // namespace halfround::shop
