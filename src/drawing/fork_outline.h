// What the fork drawing shows of the fork and the wheel themselves: outlines, centre lines, tyre, axle.
// Frames: fork frame F in, paper frame P out, 1:1; the two views lie where fork_sheet.cpp puts them.
#pragma once

#include <string>
#include <vector>

#include "drawing/on_paper.h"
#include "drawing/view.h"
#include "job/job.h"
#include "solve/solve.h"

namespace halfround::drawing {

inline constexpr double kBelowAxle = 62;  // mm of the wheel shown below the axle

/// Everything the parts of the drawing need.
struct Drawing {
  const job::Job& job;
  const solve::Answer& a;
  View front, side;
  std::vector<Trimmed> parts;
  double top_z = 0, axle_z = 0;  ///< of the steerer's top and the axle in F
  [[nodiscard]] const bike::Member& member(const bike::Part& part) const;
  [[nodiscard]] Vec3 axle() const { return a.fork.assembly.axle; }
};

/// Both views turned as they shall be, their origins still at 0. Keeps references to both arguments.
[[nodiscard]] Drawing drawing_of(const job::Job& job, const solve::Answer& a);

/// A polyline in one stroke.
[[nodiscard]] Path poly(std::vector<Vec2> points, Weight weight, Dash dash = Dash::solid,
                        Ink ink = Ink::graphite, bool closed = false);

/// The members and plates in one view; what stands inside another part is dashed.
[[nodiscard]] Group parts_group(const Drawing& d, const View& view, const std::string& name,
                                const std::string& label, bool only_left);

/// Centre lines of steerer and blades. The steerer's bore in the side view is left out; its wall stands in
/// the notes.
void put_axes(Group& g, const Drawing& d, const View& view, bool only_left);

/// Tyre down to kBelowAxle, with a break line.
void put_wheel_front(Group& g, const Drawing& d);
/// Tyre, outside and inside, as far as the window reaches, mm in P.
void put_wheel_side(Group& g, const Drawing& d, const Box& window);
void put_axle(Group& g, const Drawing& d, const View& view, bool side_view);

}  // namespace halfround::drawing
