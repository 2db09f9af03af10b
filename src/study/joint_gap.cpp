#include "study/joint_gap.h"

#include <algorithm>
#include <cmath>

namespace halfround::study {

namespace {

/// What is cut and bent; angles that the fixture sets, and the ends it clamps, are not among them.
constexpr const char* kCut[] = {"length", "bend", "blade_from_hub", "middle", "rise", "lead", "crown_angle"};

bool is_cut(const std::string& dimension) {
  return std::ranges::any_of(kCut, [&](const char* key) { return dimension.starts_with(key); });
}

/// What one dimension does to the length across that a blade spans from its lower end to the steerer.
struct Effect {
  std::size_t dimension = 0;
  double longer = 0;  ///< mm for a mm or rad of it
};

struct Side {
  std::vector<Effect> effects;
  std::size_t fit = 0;
};

/// A lower end that would come too far out is a blade too long between the fixture's holds.
std::vector<Effect> effects_of(const bike::Chain& chain, const bike::Limb& limb, Formula& out) {
  constexpr double kTry = 1e-4;
  std::vector<Effect> all;
  const double side = limb.end.y() < 0 ? -1 : 1;
  for (std::size_t i = 0; i < chain.dimensions.size(); ++i) {
    const bike::Dimension& d = chain.dimensions[i];
    if (!is_cut(d.name) || !d.name.ends_with("." + limb.name)) continue;
    std::vector<double> off(chain.dimensions.size());
    off[i] = kTry;
    const double longer = side * (bike::lower_end(limb, off).end.y() - limb.end.y()) / kTry;
    all.push_back({out.dimensions.size(), longer});
    out.dimensions.push_back(d);
  }
  return all;
}

}  // namespace

Formula joint_gaps(const bike::Chain& chain, const GapWishes& wishes) {
  Formula out;
  std::vector<Side> sides;
  for (const bike::Limb& limb : chain.limbs) {
    Side side{effects_of(chain, limb, out), 0};
    side.fit = out.dimensions.size();
    out.dimensions.push_back(
        {"fit." + limb.name, "fit that the file leaves at the " + limb.name + " blade's upper joint", false});
    out.outputs.push_back({"gap_" + limb.name, "gap at the " + limb.name + " blade's upper joint", "mm"});
    sides.push_back(std::move(side));
  }
  out.value = [sides, spare = wishes.spare](std::span<const double> deviations) {
    std::vector<double> gaps;
    for (const Side& side : sides) {
      double longer = spare;
      for (const Effect& e : side.effects) longer += e.longer * deviations[e.dimension];
      gaps.push_back(std::max(-longer, 0.0) + std::abs(deviations[side.fit]));
    }
    return gaps;
  };
  return out;
}

}  // namespace halfround::study
