#include "study/fit_up.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "layout_scene.h"
#include "mitre_scene.h"
#include "parts.h"

namespace halfround::study {
namespace {

using shape::Profile;

struct Bench {
  bike::Assembly assembly;
  Mitre mitre;
};

Bench bench_of(const shape::Tube& member, const shape::Tube& target, double s_axis) {
  Bench b;
  bike::Member m, t;
  m.part = "blade.left"_part, m.tube = member, m.s_end = s_axis, m.stock_length = member.length();
  t.part = "steerer"_part, t.tube = target, t.s_end = t.stock_length = target.length();
  b.assembly.members = {m, t};
  b.assembly.tyre = target;  // of no account here, but it is mirrored too
  b.assembly.joints = {{"blade.left"_part, bike::End::end, "steerer"_part, bike::JointKind::mitred}};
  auto cut = mitre(b.assembly, b.assembly.joints[0], {});
  EXPECT_TRUE(cut) << base::sentence(cut.error());
  b.mitre = std::move(*cut);
  return b;
}

std::vector<Bench> benches() {
  std::vector<Bench> out;
  for (const shape::MitreScene& s :
       {shape::round_scene(), shape::taper_scene(), shape::partial_scene(), shape::wide_scene()})
    out.push_back(bench_of(s.member, s.target, 300));
  auto fork = layout::lay_out(layout::scene());
  EXPECT_TRUE(fork);
  auto cuts = mitres(fork->assembly, {});
  EXPECT_TRUE(cuts);
  for (const Mitre& m : *cuts) out.push_back({fork->assembly, m});
  return out;
}

struct Error {
  double height, angle, side;
};

/// The gap a feeler finds when the member stands wrong by `e`: every point of the edge is moved with the
/// member and its distance to a plain round bar of the target's diameter taken. Written apart from the study.
struct Synthetic {
  Vec3 c, t, e1, e2;
  double radius;
  Vec3 axle, axis;  // of the bar

  Synthetic(const bike::Assembly& a, const Mitre& m) {
    const bike::Member *member = bike::find_member(a, m.member), *target = bike::find_member(a, m.onto);
    double s = 0, n = 0;
    for (const EdgePoint& q : m.outer) {
      if (q.met) s += q.s, n += 1;
    }
    const shape::Frame f = member->tube.centreline.at(s / n);
    const double near = target->tube.centreline.nearest(f.c);
    axle = target->tube.centreline.point(near), axis = target->tube.centreline.at(near).t;
    c = f.c, t = m.end == bike::End::end ? f.t : Vec3(-f.t);
    e1 = (axis - axis.dot(t) * t).normalized(), e2 = t.cross(e1);
    radius = target->tube.profile.width(near) / 2;
  }
  [[nodiscard]] double gap(const Error& e, const Vec3& p) const {
    const Eigen::Matrix3d R =
        (Eigen::AngleAxisd(e.side, e1) * Eigen::AngleAxisd(e.angle, e2)).toRotationMatrix();
    const Vec3 q = c + R * (p - c) - e.height * t - axle;
    return (q - q.dot(axis) * axis).norm() - radius;
  }
};

Vec3 edge_point(const Mitre& m, double u) {
  for (const EdgePoint& q : m.outer) {
    if (std::abs(q.u - u) < 1e-9 && q.met) return q.point;
  }
  return Vec3::Constant(NAN);
}

/// Every `step`-th of the 24 clock positions that meet.
std::vector<GapReading> readings(const Bench& b, const Error& e, std::size_t step) {
  const Synthetic bench(b.assembly, b.mitre);
  std::vector<GapReading> out;
  for (std::size_t i = 0; i < 24; i += step) {
    const ClockDepth& q = b.mitre.clock[i];
    if (q.met) out.push_back({q.u, std::max(0.0, bench.gap(e, edge_point(b.mitre, q.u)))});
  }
  return out;
}

/// A height that lets it just touch somewhere: the least gap all round becomes 0.
Error touching(const Bench& b, Error e) {
  const Synthetic bench(b.assembly, b.mitre);
  double low = -5, high = 5;
  for (int i = 0; i < 60; ++i) {
    e.height = (low + high) / 2;
    double least = INFINITY;
    for (const EdgePoint& q : b.mitre.outer) {
      if (q.met) least = std::min(least, bench.gap(e, q.point));
    }
    (least < 0 ? low : high) = e.height;
  }
  return e;
}

TEST(FitUp, AnInjectedErrorComesBackWithinAFiftiethOfADegree) {
  for (const Bench& b : benches()) {
    for (const Error& wanted :
         {Error{0, 0.02, 0}, Error{0, 0, -0.015}, Error{0, -0.03, 0.02}, Error{0, 0, 0}}) {
      for (const std::size_t step : {1u, 2u, 3u, 4u}) {
        const Error e = touching(b, wanted);
        const auto list = readings(b, e, step);
        const auto f = fit_up(b.assembly, b.mitre, list);
        ASSERT_TRUE(f) << base::sentence(f.error());
        ASSERT_EQ(f->told, 3) << b.mitre.member << ' ' << list.size();
        const double off = std::max(std::abs(f->angle.value - e.angle), std::abs(f->side.value - e.side));
        EXPECT_LT(base::to_deg(off), 0.02) << b.mitre.member << " onto " << b.mitre.onto << " step " << step;
        EXPECT_NEAR(f->height.value, e.height, 0.01);
        EXPECT_LT(f->rms, 0.002);
      }
    }
  }
}

/// Gauge noise must show up in the answer as large as the answer says it will.
TEST(FitUp, TheStatedUncertaintyIsWhatNoiseDoes) {
  const Bench b = benches()[0];
  Error e = touching(b, {0, 0.01, 0.005});
  e.height += 0.3;  // keeps noise from being cut off at 0
  for (const std::size_t step : {2u, 6u}) {
    const auto list = readings(b, e, step);
    const auto clean = fit_up(b.assembly, b.mitre, list);
    std::mt19937 random(7);
    std::normal_distribution<double> noise(0, 0.02);
    double a2 = 0, s2 = 0;
    const int n = 400;
    for (int i = 0; i < n; ++i) {
      auto noisy = list;
      for (GapReading& r : noisy) r.gap += noise(random);
      const auto f = fit_up(b.assembly, b.mitre, noisy);
      ASSERT_TRUE(f);
      a2 += std::pow((f->angle.value - clean->angle.value) / *clean->angle.sd, 2) / n;
      s2 += std::pow((f->side.value - clean->side.value) / *clean->side.sd, 2) / n;
    }
    // 400 draws of a chi-square: 1 +- 0.07
    EXPECT_NEAR(a2, 1, 0.3) << step;
    EXPECT_NEAR(s2, 1, 0.3) << step;
  }
}

TEST(FitUp, FewPositionsAreLessSureAndSaySo) {
  const Bench b = benches()[0];
  const Error e = touching(b, {0, 0.01, 0});
  const auto many = fit_up(b.assembly, b.mitre, readings(b, e, 1));
  const auto few = fit_up(b.assembly, b.mitre, readings(b, e, 8));
  ASSERT_TRUE(many && few);
  ASSERT_TRUE(few->angle.sd && many->angle.sd);
  EXPECT_GT(*few->angle.sd, 1.5 * *many->angle.sd);
  EXPECT_NE(few->notes.front().find("nothing checks"), std::string::npos);
  const auto all = readings(b, e, 1);
  const auto two = fit_up(b.assembly, b.mitre, {all[0], all[12]});
  ASSERT_TRUE(two);
  EXPECT_LT(two->told, 3);
  EXPECT_FALSE(two->side.sd);  // both lie in the plane of the axes
  EXPECT_NE(two->notes.front().find("tell only 2"), std::string::npos);
}

/// What is taken off lets it seat: filed edges moved on by the advance leave nothing open.
TEST(FitUp, FiledByTheTableItSeats) {
  for (const Bench& b : benches()) {
    const Error e = touching(b, {0, 0.015, -0.01});
    const auto f = fit_up(b.assembly, b.mitre, readings(b, e, 1));
    ASSERT_TRUE(f);
    ASSERT_EQ(f->table.size(), 24u);
    EXPECT_GT(f->advance, 0.05);
    for (const TakeOff& row : f->table) {
      EXPECT_GE(row.take_off, 0);
      EXPECT_LE(row.take_off, f->advance + 0.01);
      if (!row.met) {
        EXPECT_EQ(row.take_off, 0);
      } else if (!row.grazing) {
        EXPECT_LT(row.left, 0.005) << b.mitre.member << ' ' << base::to_deg(row.u);
      }
    }
  }
}

TEST(FitUp, NothingIsTakenOffWhereItMustNotBeTouched) {
  const Bench b = benches()[0];
  const Error e = touching(b, {0, 0.02, 0});
  const auto list = readings(b, e, 1);
  const auto free = fit_up(b.assembly, b.mitre, list);
  ASSERT_TRUE(free);
  for (const TakeOff& kept : free->table) {
    const auto f = fit_up(b.assembly, b.mitre, list, {.no_touch = {kept.u, kept.u + 0.3}});
    ASSERT_TRUE(f);
    int marked = 0;
    for (const TakeOff& row : f->table) {
      if (!row.no_touch) continue;
      ++marked;
      EXPECT_EQ(row.take_off, 0);
      // nor may the advance press a kept place into the target
      EXPECT_LT(f->advance, row.gap / 0.2 + 0.01);
    }
    EXPECT_GE(marked, 2);
    EXPECT_LE(f->advance, free->advance + 1e-9);
  }
  // kept where it touches: it can't be seated at all, and that is said
  const auto stuck = fit_up(b.assembly, b.mitre, list, {.no_touch = {free->u_high}});
  ASSERT_TRUE(stuck);
  EXPECT_LT(stuck->advance, 0.03);
  EXPECT_GT(stuck->worst_left, 0.1);
  EXPECT_EQ(verdicts(*stuck)[0].standing(), bike::Standing::not_met);
  EXPECT_EQ(verdicts(*free)[0].standing(), bike::Standing::met);
}

/// Seen in a mirror the lean is the same, at the mirrored clock angle.
TEST(FitUp, MirroredItLeansTheOtherWay) {
  const Bench b = benches()[2];
  Bench r{bike::mirrored(b.assembly), {}};
  auto cut = mitre(r.assembly, r.assembly.joints[0], {});
  ASSERT_TRUE(cut);
  r.mitre = std::move(*cut);
  std::vector<GapReading> list = readings(b, touching(b, {0, 0.02, 0.01}), 1), other = list;
  for (GapReading& q : other) q.u = -q.u;
  const auto f = fit_up(b.assembly, b.mitre, list), g = fit_up(r.assembly, r.mitre, other);
  ASSERT_TRUE(f && g) << base::sentence(g.error());
  EXPECT_NEAR(f->lean, g->lean, 1e-6);
  EXPECT_NEAR(std::cos(f->u_high + g->u_high), 1, 1e-6);
  EXPECT_NEAR(f->advance, g->advance, 1e-6);
}

/// Where the lean alone stands, the edge at u_high is the one that reaches farthest.
TEST(FitUp, TheHighPlaceIsTheOneThatTouches) {
  const Bench b = benches()[0];
  const Synthetic bench(b.assembly, b.mitre);
  const Error e{0, 0.02, 0};
  const auto f = fit_up(b.assembly, b.mitre, readings(b, touching(b, e), 1));
  ASSERT_TRUE(f);
  double least = INFINITY, at = 0;
  for (const EdgePoint& q : b.mitre.outer) {
    const double g = bench.gap(e, q.point);
    if (g < least) least = g, at = q.u;
  }
  EXPECT_GT(std::cos(f->u_high - at), 0.8);
}

TEST(FitUp, WhatCannotBeReadIsRefusedPlainly) {
  const std::vector<Bench> all = benches();
  const auto code = [](const Bench& b, const std::vector<GapReading>& list) {
    const auto f = fit_up(b.assembly, b.mitre, list);
    return f ? std::string("accepted") : f.error().code;
  };
  EXPECT_EQ(code(all[0], {}), "fit-up-few");
  EXPECT_EQ(code(all[0], {{0, 0}}), "fit-up-few");
  EXPECT_EQ(code(all[0], {{0, 0}, {1, -0.1}}), "fit-up-gap");
  EXPECT_EQ(code(all[0], {{0, 0}, {1, NAN}}), "fit-up-gap");
  EXPECT_EQ(code(all[0], {{NAN, 0}, {1, 0}}), "fit-up-gap");
  EXPECT_EQ(code(all[0], {{0.5, 0}, {0.5 + 2 * base::kPi, 0.3}}), "fit-up-twice");
  const Bench& partial = all[2];
  ASSERT_FALSE(partial.mitre.passing.empty());
  const Passing& gone = partial.mitre.passing.front();
  EXPECT_EQ(code(partial, {{0, 0}, {(gone.from + gone.to) / 2, 0.2}}), "fit-up-passing");
}

}  // namespace
}  // namespace halfround::study
