// The chain with plain library functions: one set of deviations at a time.
#include "bike/chain.h"

#include <cmath>

#include "base/result.h"

namespace halfround::bike {

std::string key_of(Measure measure) {
  constexpr const char* kKeys[] = {"end_x",  "end_y",         "end_z",          "centring",
                                   "offset", "axle_to_crown", "faces",          "height",
                                   "lead",   "spacing",       "clearance_left", "clearance_right"};
  return kKeys[static_cast<std::size_t>(measure)];
}

std::string name_of(Measure measure) {
  constexpr const char* kNames[] = {"end along x",
                                    "end along y",
                                    "end along z",
                                    "wheel off the middle at the tyre's top",
                                    "offset",
                                    "axle-to-crown, straight",
                                    "dropout faces out of parallel",
                                    "left lower end above the right one",
                                    "left lower end ahead of the right one",
                                    "spacing over the hub's width",
                                    "tyre to left blade",
                                    "tyre to right blade"};
  return kNames[static_cast<std::size_t>(measure)];
}

std::string unit_of(Measure measure) {
  return measure == Measure::faces ? "mm in 100 mm" : "mm";
}

LowerEndPose lower_end(const Limb& limb, std::span<const double> deviations) {
  LowerEndPose q{limb.end, limb.face, limb.nearest ? limb.nearest->on_member : limb.end};
  for (std::size_t i = limb.steps.size(); i-- > 0;) {
    const Step& step = limb.steps[i];
    const double amount = step.factor * deviations[step.dimension];
    const bool carries = limb.nearest && i < limb.nearest->steps;
    if (step.motion == Step::Motion::slide) {
      q.end += amount * step.axis;
      if (carries) q.on_member += amount * step.axis;
      continue;
    }
    const Eigen::AngleAxisd turn(amount, step.axis);
    q.end = step.through + turn * (q.end - step.through);
    q.face = turn * q.face;
    if (carries) q.on_member = step.through + turn * (q.on_member - step.through);
  }
  return q;
}

namespace {

/// Gap between a point and the tyre of a wheel whose axle runs from `middle` along `axle`.
double gap(const TyreArc& arc, const Vec3& p, const Vec3& middle, const Vec3& axle) {
  const Vec3 d = p - middle;
  const double across = d.dot(axle), out = (d - across * axle).norm();
  return std::hypot(across - arc.across, out - arc.out) - arc.radius;
}

}  // namespace

std::vector<double> measured(const Chain& chain, std::span<const double> deviations) {
  const LowerEndPose l = lower_end(chain.limbs.front(), deviations);
  const LowerEndPose r = lower_end(chain.limbs.back(), deviations);
  const Vec3 middle = 0.5 * (l.end + r.end), apart = l.end - r.end;
  const double distance = apart.norm();
  const Vec3 axle = distance > 0 ? Vec3(apart / distance) : Vec3(Vec3::UnitY());
  // in the wheel's plane, as near as can be to the steering axis' direction
  const Vec3 up = (Vec3::UnitZ() - axle.z() * axle).normalized();
  const double hub = chain.hub_width + (chain.hub_dimension ? deviations[*chain.hub_dimension] : 0);
  const auto value = [&](Measure measure) -> double {
    switch (measure) {
      case Measure::end_x:
        return l.end.x();
      case Measure::end_y:
        return l.end.y();
      case Measure::end_z:
        return l.end.z();
      case Measure::centring:
        return middle.y() + chain.wheel_radius * up.y();
      case Measure::offset:
        return middle.x();
      case Measure::axle_to_crown:
        return std::hypot(middle.x(), middle.z());
      case Measure::faces:
        return 100 * l.face.cross(r.face).norm();
      case Measure::height:
        return apart.z();
      case Measure::lead:
        return apart.x();
      case Measure::spacing:
        return distance - hub;
      case Measure::clearance_left:
        return gap(*chain.tyre_left, l.on_member, middle, axle);
      case Measure::clearance_right:
        return gap(*chain.tyre_right, r.on_member, middle, axle);
    }
    throw base::Bug("a measure without a rule");
  };
  std::vector<double> out;
  for (const Measure measure : chain.measures) out.push_back(value(measure));
  return out;
}

Step mirrored(const Step& step) {
  Step out = step;
  out.through.y() = -step.through.y();
  out.axis = step.motion == Step::Motion::turn ? Vec3(-step.axis.x(), step.axis.y(), -step.axis.z())
                                               : Vec3(step.axis.x(), -step.axis.y(), step.axis.z());
  return out;
}

}  // namespace halfround::bike
