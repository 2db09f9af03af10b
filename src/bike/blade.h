// A fork blade as it lies on the bench.
// Bench frame L of a left blade: tip at the origin, +z along the blade toward the crown, +y outward (away
// from the wheel), +x forward. The mark line runs along the outside. A right blade is the mirror image in y.
#pragma once

#include <vector>

#include "bike/assembly.h"
#include "shape/tube.h"

namespace halfround::bike {

/// Clock angles of the four ways a *left* blade can bend, seen from the tip.
inline constexpr double kOutward = 0, kRearward = base::kPi / 2, kInward = base::kPi,
                        kForward = 3 * base::kPi / 2;

struct Blade {
  std::vector<shape::Station>
      stations;  ///< s along the centreline from the shape's start; width across the bike, depth fore and aft
  std::vector<shape::Run> runs;  ///< from the shape's start up; the upper run is brought upright
  std::vector<Vec3> traced;      ///< instead of runs: points in bench frame, the shape's start first
  double stock_length = 0;       ///< of the whole blade, tip to top, along the centreline, mm
  double below_shape = 0;        ///< how much of it lies below the shape's start, straight on, mm
};

/// The left blade in the bench frame, turned about y so that its upper run (from the last fore-and-aft bend
/// on) lies in the plane x = 0; a traced blade is left as traced. Forward bends are scaled by `rake_scale`.
/// The tube is the whole stock, s = 0 at its tip: `below_shape` goes on straight at the tip, what is left of
/// the stock's length straight at the crown end.
[[nodiscard]] shape::Tube on_bench(const Blade& blade, double rake_scale = 1);

[[nodiscard]] bool has_forward_bend(const Blade& blade);

}  // namespace halfround::bike
