// How an assembly comes out when the dimensions it was set to are a little off: a chain of turns and slides
// from the steerer down each side to its lower end, every one driven by a named dimension. Frame: that of the
// assembly (fork frame F).
//
//     end(d) = E1(d1) · E2(d2) · ... · En(dn) · end(0)        E: turn about a line, or slide along a
//     direction
//
// Each line and direction is written down where it lies when nothing is off; the product is then exact for
// deviations of any size, as every step is carried along by those above it. docs/tolerance.md
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "base/maths.h"

namespace halfround::bike {

using base::Vec3;

/// A dimension that is set or measured, and may be off.
struct Dimension {
  std::string name;    ///< stable key: "length.left", "over_locknut"
  std::string what;    ///< in words: "length of the left blade between its cuts"
  bool angle = false;  ///< its deviation is in rad, else mm
};

/// One elementary motion.
struct Step {
  enum class Motion { turn, slide } motion = Motion::slide;
  std::size_t dimension = 0;    ///< which one drives it
  double factor = 1;            ///< amount of motion a deviation, rad or mm for rad or mm
  Vec3 axis = Vec3::UnitZ();    ///< unit; right-handed for a turn
  Vec3 through = Vec3::Zero();  ///< a point of the turn's line
};

/// A point on a member that stands nearest to the tyre, carried by the first `steps` steps only.
struct Nearest {
  std::size_t steps = 0;
  Vec3 on_member = Vec3::Zero();
};

/// One side, from the steerer down.
struct Limb {
  std::string name;           ///< "left"
  std::vector<Step> steps;    ///< first: nearest the steerer
  Vec3 end = Vec3::Zero();    ///< middle of the lower end's face against the hub
  Vec3 face = Vec3::UnitY();  ///< its normal, unit, toward the rider's left on both sides
  std::optional<Nearest> nearest;
};

/// The tyre where it comes nearest to a blade: a circle in the half plane through the axle.
struct TyreArc {
  double across = 0;  ///< its centre from the wheel's middle plane, mm, > 0 toward the rider's left
  double out = 0;     ///< its centre from the axle, mm
  double radius = 0;  ///< mm
};

/// What is asked of the assembly; what each one means stands in docs/tolerance.md.
enum class Measure {
  end_x,     ///< of the first limb's end, mm
  end_y,     ///<
  end_z,     ///<
  centring,  ///< the wheel's middle plane from the steering axis' plane y = 0 at the tyre's top, mm, > 0 left
  offset,    ///< of the axle's middle ahead of the steering axis, mm
  axle_to_crown,    ///< straight, mm
  faces,            ///< how far the two faces open or close over 100 mm, mm, >= 0
  height,           ///< left end above the right one, mm
  lead,             ///< left end ahead of the right one, mm
  spacing,          ///< distance of the ends less the hub's width, mm
  clearance_left,   ///< mm
  clearance_right,  ///< mm
};
[[nodiscard]] std::string key_of(Measure measure);   ///< "centring", "axle_to_crown"
[[nodiscard]] std::string name_of(Measure measure);  ///< "wheel centring at the tyre's top"
[[nodiscard]] std::string unit_of(Measure measure);  ///< "mm", "mm in 100 mm"

struct Chain {
  std::vector<Dimension> dimensions;
  std::vector<Limb> limbs;  ///< one, or the left and the right one
  std::vector<Measure> measures;
  double wheel_radius = 0;                       ///< where the centring is read, mm
  double hub_width = 0;                          ///< over-locknut, mm
  std::optional<std::size_t> hub_dimension;      ///< the dimension that makes the hub wider
  std::optional<TyreArc> tyre_left, tyre_right;  ///< beside each blade's nearest point
};

/// The lower end of one limb with every dimension off by `deviations`.
struct LowerEndPose {
  Vec3 end, face, on_member;
};
[[nodiscard]] LowerEndPose lower_end(const Limb& limb, std::span<const double> deviations);

/// All measures, in the order of chain.measures, with the plain library functions: what the fast code of the
/// tolerance study is held against.
///   in  deviations  (n) one a dimension, mm or rad
[[nodiscard]] std::vector<double> measured(const Chain& chain, std::span<const double> deviations);

/// A step as it is on the other side: mirrored in the plane y = 0, the same deviation doing the mirrored
/// thing.
[[nodiscard]] Step mirrored(const Step& step);

}  // namespace halfround::bike
