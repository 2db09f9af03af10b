// Beyond first yield: shape factors of the handbooks, and a cantilever whose every fibre is summed here,
// against the strength study's permanent set.
#include <gtest/gtest.h>

#include <cmath>

#include "parts.h"
#include "study/strength.h"

namespace halfround {
namespace {

using base::Vec3;

// plastic section factors: solid round 1.70, thin tube 1.27, tube with a bore of 0.9 and 0.8 of the diameter
// by 1.70 (1 - k^3) / (1 - k^4) [Roark's Formulas for Stress and Strain, table of section properties: solid
// and hollow circle, from memory]
TEST(Plastic, ShapeFactorsAreThoseOfTheHandbooks) {
  EXPECT_NEAR(study::shape_factor(20, 0), 1.70, 0.005);
  EXPECT_NEAR(study::shape_factor(20, 19.98), 1.27, 0.005);
  EXPECT_NEAR(study::shape_factor(20, 18), 1.70 * (1 - 0.729) / (1 - 0.6561), 0.005);
  EXPECT_NEAR(study::shape_factor(30, 24), 1.70 * (1 - 0.512) / (1 - 0.4096), 0.005);
}

/// Bending moment of a tube at a curvature, fibre by fibre, elastic and then yielding.
double moment_at(double curvature, double ro, double ri, double E, double yield) {
  constexpr int kRings = 40, kAround = 400;
  double out = 0;
  for (int i = 0; i < kRings; ++i) {
    const double r = ri + (ro - ri) * (i + 0.5) / kRings, dr = (ro - ri) / kRings;
    for (int k = 0; k < kAround; ++k) {
      const double a = 2 * base::kPi * (k + 0.5) / kAround, y = r * std::sin(a);
      const double stress = std::clamp(E * curvature * y, -yield, yield);
      out += stress * y * r * dr * 2 * base::kPi / kAround;
    }
  }
  return out;
}

double curvature_at(double moment, double ro, double ri, double E, double yield) {
  double low = 0, high = 1e-2;
  for (int i = 0; i < 50; ++i) {
    const double mid = (low + high) / 2;
    (moment_at(mid, ro, ri, E, yield) < moment ? low : high) = mid;
  }
  return high;
}

TEST(Plastic, ACurvatureBeyondYieldIsTheSumOfTheFibres) {
  const double ro = 14.3, ri = 14.25, E = 205e3, yield = 435;
  const double I = base::kPi / 4 * (std::pow(ro, 4) - std::pow(ri, 4)), M_y = yield * I / ro;
  for (const double ratio : {1.05, 1.1, 1.2}) {
    const double whole = curvature_at(ratio * M_y, ro, ri, E, yield), elastic = ratio * M_y / (E * I);
    EXPECT_NEAR(study::plastic_share(ratio), whole / elastic - 1, 0.02 * (whole / elastic)) << ratio;
  }
  EXPECT_EQ(study::plastic_share(0.99), 0);
  EXPECT_TRUE(std::isinf(study::plastic_share(1.28)));
}

/// A tube held at its upper end, pushed at its lower one.
study::Strength pushed(double length, double wall, double force, double set_limit) {
  bike::Assembly a;
  bike::Material stiff = *bike::find_material("Cr-Mo 4130");
  stiff.E = stiff.G = 1e12, stiff.yield = stiff.joined_yield = 1e9;
  const auto along_z = [](double from, double long_) {
    return shape::Centreline::from_runs({{long_, 0, 0}}, Vec3(0, 0, from), Vec3::UnitZ(), Vec3::UnitX());
  };
  a.members.push_back({"steerer"_part, {along_z(0, 150), shape::Profile::round(60, 10)}, 0, 150, 150});
  a.members.push_back(
      {"blade.left"_part, {along_z(-length, length), shape::Profile::round(28.6, wall)}, 0, length, length});
  a.joints.push_back({"blade.left"_part, bike::End::end, "steerer"_part, bike::JointKind::butted});
  a.axle = Vec3(0, 0, -length);
  study::StrengthOptions o;
  o.published = false, o.station_step = 1;
  o.other_materials = {{"steerer"_part, stiff}};
  o.axle = {60, 0, 1e9, 1e9, true};
  study::LoadCase c;
  c.name = "push", c.force = Vec3(-force, 0, 0), c.set_limit = set_limit;
  o.own = {c};
  return *study::strength(a, o);
}

// the set of a cantilever: plastic curvature times lever, summed along it (virtual work, any textbook)
TEST(Plastic, ACantileversSetIsTheSumOfItsFibres) {
  const double L = 395, E = 205e3, yield = 435;
  for (const double wall : {1.6, 2.3}) {
    const double ro = 14.3, ri = ro - wall, I = base::kPi / 4 * (std::pow(ro, 4) - std::pow(ri, 4));
    const double F = 1.25 * yield * I / ro / L;
    double set = 0;
    constexpr int kSteps = 400;
    for (int i = 0; i < kSteps; ++i) {
      const double x = L * (i + 0.5) / kSteps, M = F * x;
      if (M < yield * I / ro) continue;
      set += (curvature_at(M, ro, ri, E, yield) - M / (E * I)) * x * L / kSteps;
    }
    const study::Strength s = pushed(L, wall, F, 5);
    ASSERT_TRUE(s.cases[0].set);
    EXPECT_NEAR(*s.cases[0].set / set, 1, 0.03) << wall << " mm: " << *s.cases[0].set << " and " << set;
    EXPECT_NEAR(s.cases[0].yield->margin, 1 / 1.25, 1e-3);
  }
}

TEST(Plastic, BelowFirstYieldNothingStaysAndBeyondTheHingeItFolds) {
  const double Z = base::kPi / 32 * (std::pow(28.6, 4) - std::pow(25.4, 4)) / 28.6, F_y = 435 * Z / 395;
  EXPECT_EQ(*pushed(395, 1.6, 0.99 * F_y, 5).cases[0].set, 0);
  const study::Strength folds = pushed(395, 1.6, 1.36 * F_y, 5);
  EXPECT_TRUE(std::isinf(*folds.cases[0].set));
  const bike::Verdict v = study::verdicts(folds)[0];
  EXPECT_EQ(v.code, "strength-fold");
  EXPECT_EQ(v.standing(), bike::Standing::not_met);
  EXPECT_LT(*v.value, 1);
}

}  // namespace
}  // namespace halfround
