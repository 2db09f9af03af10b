#include "layout/as_held.h"

#include "layout/as_built.h"

namespace halfround::layout {

namespace {

using bike::Chain;
using bike::Step;

std::size_t dimension(Chain& chain, const std::string& name, const std::string& what, bool angle) {
  chain.dimensions.push_back({name, what, angle});
  return chain.dimensions.size() - 1;
}

Step turn(std::size_t d, const Vec3& axis, const Vec3& through) {
  return {Step::Motion::turn, d, 1, axis, through};
}
Step slide(std::size_t d, const Vec3& along, double factor = 1) {
  return {Step::Motion::slide, d, factor, along, Vec3::Zero()};
}

/// Steps of the fixture, the same for both sides.
std::vector<Step> common(Chain& chain, const Vec3& axle) {
  const Vec3 x = Vec3::UnitX(), y = Vec3::UnitY(), z = Vec3::UnitZ(), o = Vec3::Zero();
  std::vector<Step> out;
  out.push_back(slide(dimension(chain, "race_height", "height of the crown race seat", false), -z));
  out.push_back(turn(dimension(chain, "steerer_lean", "lean of the steerer to one side", true), x, o));
  out.push_back(turn(dimension(chain, "steerer_pitch", "lean of the steerer fore and aft", true), -y, o));
  out.push_back(slide(dimension(chain, "scale_height", "setting of the axle's height", false), -z));
  out.push_back(slide(dimension(chain, "scale_offset", "setting of the offset", false), x));
  out.push_back(slide(dimension(chain, "axle_aside", "dummy axle's middle to one side", false), y));
  out.push_back(turn(dimension(chain, "axle_tilt", "dummy axle's level", true), x, axle));
  out.push_back(
      turn(dimension(chain, "axle_turn", "dummy axle's squareness, seen from above", true), -z, axle));
  out.push_back(
      slide(dimension(chain, "dummy_width", "width of the dummy axle and its adapters", false), y, 0.5));
  return out;
}

}  // namespace

Chain as_held(const Intent& intent, const Fork& fork) {
  constexpr std::size_t kOfSteerer = 3;  // what carries a blade's nearest place to the tyre
  Chain chain = as_built(intent, fork);
  chain.dimensions.clear();
  const std::vector<Step> steps = common(chain, Vec3(intent.offset, 0, -intent.drop));
  chain.hub_dimension = dimension(chain, "over_locknut", "hub's width over the locknuts", false);
  for (bike::Limb& limb : chain.limbs) {
    const double side = limb.end.y() < 0 ? -1 : 1;
    const auto own = [&](const std::string& key, const std::string& what, bool angle) {
      return dimension(chain, key + "." + limb.name, what + " of the " + limb.name + " fork end", angle);
    };
    const auto mirrored = [&](Step step) { return side < 0 ? bike::mirrored(step) : step; };
    limb.steps = steps;
    limb.steps.back().factor *= side;
    limb.steps.push_back(mirrored(slide(own("spring", "spring-back", false), Vec3::UnitY())));
    const Vec3 end(limb.end.x(), std::abs(limb.end.y()), limb.end.z());
    limb.steps.push_back(mirrored(turn(own("camber", "face, upright,", true), Vec3::UnitX(), end)));
    limb.steps.push_back(mirrored(turn(own("toe", "face, seen from above,", true), Vec3::UnitZ(), end)));
    limb.nearest->steps = kOfSteerer;
  }
  return chain;
}

}  // namespace halfround::layout
