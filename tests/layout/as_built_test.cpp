// The as-built chain against the layout it came from: with nothing off it ends where the layout does, and
// with one dimension off it ends where the layout puts the blade with that dimension changed.
#include "layout/as_built.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "layout/place.h"
#include "layout_scene.h"

namespace halfround::layout {
namespace {

using namespace base::literals;

Intent raked_scene() {
  Intent u = scene();
  // a straight tip, a forward bend, a leg, the inward bend, the top
  u.left.runs = {{110, 0, 0},
                 {150 * 0.22, 0.22, bike::kForward},
                 {202, 0, 0},
                 {75 * 1.25, 1.25, bike::kInward},
                 {32, 0, 0}};
  u.left.stock_length = 377 + 150 * 0.22 + 75 * 1.25 - 33;
  u.offset = 52;
  return u;
}

std::size_t index_of(const bike::Chain& chain, const std::string& name) {
  for (std::size_t i = 0; i < chain.dimensions.size(); ++i) {
    if (chain.dimensions[i].name == name) return i;
  }
  ADD_FAILURE() << "no " << name;
  return 0;
}

/// The lower end of the left side by the chain, one dimension off.
bike::LowerEndPose chained(const bike::Chain& chain, const std::string& name, double off) {
  std::vector<double> deviations(chain.dimensions.size());
  deviations[index_of(chain, name)] = off;
  return bike::lower_end(chain.limbs[0], deviations);
}

base::Pose pose(const shape::Frame& f) {
  base::Pose X = base::Pose::Identity();
  X.linear().col(0) = f.m, X.linear().col(1) = f.b, X.linear().col(2) = f.t;
  X.translation() = f.c;
  return X;
}

enum class Fixed { crown_point, crown_frame };
/// Where the blade's lower end goes, as a rigid motion, when the tube `was` cut at `trim` becomes `is` cut at
/// `is_trim` and the crown stays.
base::Pose motion(const shape::Tube& was, double trim, const shape::Tube& is, double is_trim, double crown,
                  Fixed fixed) {
  const auto &a = was.centreline, &b = is.centreline;
  base::Pose back = base::Pose::Identity();
  if (fixed == Fixed::crown_point) back.translation() = a.point(crown) - b.point(crown);
  if (fixed == Fixed::crown_frame) back = pose(a.at(crown)) * pose(b.at(crown)).inverse();
  return back * pose(b.at(is_trim)) * pose(a.at(trim)).inverse();
}

void expect_near(const Vec3& a, const Vec3& b, double within, const std::string& what) {
  EXPECT_LT((a - b).norm(), within) << what << ": " << a.transpose() << " and " << b.transpose();
}

class AsBuilt : public testing::TestWithParam<bool> {
 protected:
  void SetUp() override {
    intent = GetParam() ? raked_scene() : scene();
    auto laid = lay_out(intent);
    ASSERT_TRUE(laid) << base::sentence(laid.error());
    fork = *laid;
    chain = as_built(intent, fork);
    bench = bike::on_bench(intent.left);
  }
  Intent intent;
  Fork fork;
  bike::Chain chain;
  shape::Tube bench;
};

TEST_P(AsBuilt, WithNothingOffItEndsWhereTheLayoutDoes) {
  const std::vector<double> none(chain.dimensions.size());
  for (const double side : {1.0, -1.0}) {
    const auto q = bike::lower_end(chain.limbs[side > 0 ? 0 : 1], none);
    expect_near(q.end, Vec3(intent.offset, side * intent.over_locknut / 2, -intent.drop), 1e-9, "end");
    expect_near(q.face, Vec3::UnitY(), 1e-12, "face");
  }
  // the blade's own end stands where the chain's lower end says: blade_from_hub outward
  const Vec3 low = fork.left.tube.centreline.point(fork.left.lower_trim);
  expect_near(low,
              Vec3(intent.offset, intent.over_locknut / 2 + intent.lower_end.blade_from_hub, -intent.drop),
              1e-9, "blade");
  const auto values = bike::measured(chain, none);
  const double expected[] = {0,
                             intent.offset,
                             std::hypot(intent.offset, intent.drop),
                             0,
                             0,
                             0,
                             0,
                             fork.left.clearance.value,
                             fork.right.clearance.value};
  ASSERT_EQ(values.size(), std::size(expected));
  for (std::size_t i = 0; i < values.size(); ++i)
    EXPECT_NEAR(values[i], expected[i], 1e-8) << bike::key_of(chain.measures[i]);
}

TEST_P(AsBuilt, AnglesAtTheCrownAreThoseOfTheLayout) {
  const Placed& was = fork.left;
  for (const double off : {0.3_deg, -2.0_deg}) {
    for (const std::string name : {"splay", "tilt"}) {
      Placed p = was;
      (name == "splay" ? p.splay : p.tilt_angle) += off;
      const auto X =
          motion(was.tube, p.lower_trim, put(intent, p, bench), p.lower_trim, p.s_crown, Fixed::crown_point);
      const auto got = chained(chain, name + ".left", off);
      expect_near(got.end, X * chain.limbs[0].end, 1e-9, name);
      expect_near(got.face, X.linear() * chain.limbs[0].face, 1e-12, name);
      expect_near(got.on_member, X * chain.limbs[0].nearest->on_member, 1e-9, name);
    }
  }
}

TEST_P(AsBuilt, LengthIsThatOfTheLayoutsTrim) {
  for (const double off : {0.4, -3.0}) {
    Placed p = fork.left;
    p.lower_trim -= off;
    const auto X = motion(fork.left.tube, fork.left.lower_trim, put(intent, p, bench), p.lower_trim,
                          p.s_crown, Fixed::crown_frame);
    expect_near(chained(chain, "length.left", off).end, X * chain.limbs[0].end, 1e-9, "length");
  }
}

TEST_P(AsBuilt, BendsAreThoseOfTheBlade) {
  const auto& runs = intent.left.runs;
  int number = 0;
  for (std::size_t i = runs.size(); i-- > 0;) {
    if (runs[i].angle == 0) continue;
    ++number;
    const std::string name = "bend" + std::to_string(number) + ".left";
    for (const double off : {0.01, -0.05}) {
      bike::Blade blade = intent.left;
      const double radius = runs[i].length / runs[i].angle;
      blade.runs[i].angle += off, blade.runs[i].length += radius * off,
          blade.runs[i - 1].length -= radius * off;
      const auto X = motion(fork.left.tube, fork.left.lower_trim, bike::on_bench(blade), fork.left.lower_trim,
                            fork.left.s_crown, Fixed::crown_frame);
      const auto got = chained(chain, name, off);
      expect_near(got.end, X * chain.limbs[0].end, 1e-9, name);
      expect_near(got.face, X.linear() * chain.limbs[0].face, 1e-9, name);
    }
  }
  EXPECT_EQ(number, GetParam() ? 2 : 1);
}

TEST_P(AsBuilt, TheOtherSideIsTheMirrorImage) {
  for (const auto& d : chain.dimensions) {
    const auto dot = d.name.find(".left");
    if (dot == std::string::npos) continue;
    const auto left = chained(chain, d.name, 0.02);
    std::vector<double> deviations(chain.dimensions.size());
    deviations[index_of(chain, d.name.substr(0, dot) + ".right")] = 0.02;
    const auto right = bike::lower_end(chain.limbs[1], deviations);
    const Vec3 flip(1, -1, 1);
    expect_near(left.end, right.end.cwiseProduct(flip), 1e-11, d.name);
    expect_near(left.face, -right.face.cwiseProduct(flip), 1e-11, d.name);
    expect_near(left.on_member, right.on_member.cwiseProduct(flip), 1e-11, d.name);
  }
}

/// docs/tolerance.md: the quick clearance stays within 0.06 mm of the real surfaces for shop tolerances.
TEST_P(AsBuilt, QuickClearanceStaysNearTheRealSurfaces) {
  std::vector<double> off(chain.dimensions.size());
  const auto shop = shop_tolerances(chain);
  std::uint32_t seed = 20261125;
  double worst = 0;
  for (int draw = 0; draw < 60; ++draw) {
    for (const auto& t : shop) {
      seed = seed * 1664525U + 1013904223U;
      off[index_of(chain, t.of)] = t.plus_minus * (2.0 * (seed >> 8) / 16777216.0 - 1);
    }
    // the blade as a rigid body, carried by the steps above its nearest place
    bike::Limb carrier = chain.limbs[0];
    carrier.steps.resize(carrier.nearest->steps);
    base::Pose X_blade = base::Pose::Identity(), X_wheel = base::Pose::Identity();
    const auto image = [&](const Vec3& p) {
      carrier.end = p;
      return bike::lower_end(carrier, off).end;
    };
    X_blade.translation() = image(Vec3::Zero());
    for (int k = 0; k < 3; ++k) X_blade.linear().col(k) = image(Vec3::Unit(k)) - X_blade.translation();
    const Vec3 l = bike::lower_end(chain.limbs[0], off).end, r = bike::lower_end(chain.limbs[1], off).end;
    X_wheel.linear() = Eigen::Quaterniond::FromTwoVectors(Vec3::UnitY(), l - r).toRotationMatrix();
    X_wheel.translation() = 0.5 * (l + r);
    const auto real = shape::least_gap(fork.left.tube.moved(X_blade), fork.left.lower_trim, fork.left.s_crown,
                                       intent.tyre.moved(X_wheel));
    worst = std::max(worst, std::abs(bike::measured(chain, off)[7] - real.value));
  }
  RecordProperty("worst_mm", std::to_string(worst));
  EXPECT_LT(worst, 0.06);
}

INSTANTIATE_TEST_SUITE_P(PlainAndRaked, AsBuilt, testing::Values(false, true));

}  // namespace
}  // namespace halfround::layout
