// Fit-up: from where a mitred end touches and the feeler gaps elsewhere, how far its cut is off in angle and
// height, and where to take how much off. Model and signs: docs/fit-up.md.
//
//   c    the centreline at the cut, midway along it        t   the member's direction there, toward the
//   target e1   along the target's axis, square to t              e2  t x e1 pose = a small turn (side about
//   e1, angle about e2) at c, then `height` back along -t
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/result.h"
#include "bike/assembly.h"
#include "bike/limit.h"
#include "study/mitre.h"

namespace halfround::study {

/// One thing the builder saw: 0 where it touches, else the thickest feeler that goes in.
struct GapReading {
  double u = 0;    ///< clock angle of the member, rad
  double gap = 0;  ///< mm, square to the target's surface
};

struct FitUpOptions {
  double sd = 0.02;                ///< of one reading, mm: half a step of the feeler set [our own figure]
  std::vector<double> no_touch{};  ///< clock angles where nothing may be taken off, rad
  double no_touch_width = 0.2617993877991494;  ///< kept free round each of them, in all, rad (15 deg)
  double allowed = 0;                          ///< gap that may stay, mm; 0: seat it fully
};

/// A number with its standard deviation; sd empty: these positions can't tell it.
struct Estimate {
  double value = 0;
  std::optional<double> sd;
};

struct Residual {
  double u = 0, gap = 0;
  double left = 0;  ///< reading less model, mm
};

/// One line of the filing table: every 15 deg.
struct TakeOff {
  double u = 0;
  bool met = true;  ///< false: passes beside, nothing to file here
  bool no_touch = false;
  bool grazing = false;  ///< the generator runs nearly along the target: file it level with its neighbours
  double gap = 0;        ///< now, square to the target, mm (< 0: the model lets them overlap there)
  double take_off = 0;   ///< along the member, mm
  double left = 0;       ///< gap that stays afterwards, square to the target, mm
};

struct FitUp {
  bike::Part member, onto;
  bike::End end = bike::End::end;
  Estimate height;       ///< > 0: the edge stands off, mm along the member
  Estimate angle, side;  ///< rad, in the plane of both axes and square to it
  double lean = 0;       ///< both together, rad
  double u_high = 0;     ///< clock angle that touches first when the lean alone is there, rad
  double rms = 0;        ///< of what remains, mm
  int told = 0;          ///< how many of the three the readings tell (1 to 3)
  std::vector<Residual> residuals;
  std::vector<TakeOff> table;
  double advance = 0;     ///< the member comes nearer by this once filed, mm
  double worst_left = 0;  ///< greatest gap that stays, mm
  std::vector<std::string> notes;
};

/// Least squares over height and two small turns; turned and measured again until it stands still.
///   in      mitre     of this assembly
///           readings  any two or more clock angles whose generators meet the target
///   within  0.02 deg of an injected error up to 2 deg where six or more positions all round are read
///   fails   fit-up-few       fewer than two positions
///           fit-up-gap       negative or no number
///           fit-up-passing   at that clock angle the generator passes beside the target
///           fit-up-twice     two readings at one clock angle
[[nodiscard]] base::Result<FitUp> fit_up(const bike::Assembly& assembly, const Mitre& mitre,
                                         const std::vector<GapReading>& readings,
                                         const FitUpOptions& options = {});

[[nodiscard]] std::vector<bike::Verdict> verdicts(const FitUp& found, double allowed_gap = 0.25);

}  // namespace halfround::study
