// Our separations against the dense long-double search of dense_search.h, on more than 1,000 random poses.
#include <gtest/gtest.h>

#include <random>

#include "outside/clearance/dense_search.h"
#include "shape/separation.h"

namespace halfround::shape {
namespace {

using dense::P3;
using dense::Real;

struct Scene {
  Tube tube;
  dense::PlainTube plain;
};

class Poses {
 public:
  double in(double lo, double hi) { return std::uniform_real_distribution<double>(lo, hi)(random_); }
  Vec3 direction() {
    std::normal_distribution<double> n;
    return Vec3(n(random_), n(random_), n(random_)).normalized();
  }
  /// A tapered oval tube, straight and then bent, whose middle stands about `at`.
  Scene tube(const Vec3& at, const Vec3& t, double straight) {
    Vec3 m = direction();
    m = (m - m.dot(t) * t).normalized();
    const double radius = in(60, 200), bend = in(0.2, 1.2), toward = in(0, 6.28);
    const double a0 = in(5, 16), b0 = in(5, 16), a1 = in(5, 16), b1 = in(5, 16),
                 len = straight + radius * bend;
    const Vec3 p = at - 0.5 * len * t;
    Scene out;
    out.tube.centreline = Centreline::from_runs({{straight, 0, 0}, {radius * bend, bend, toward}}, p, t, m);
    out.tube.profile = Profile({{0, 2 * a0, 2 * b0, 1, nullptr}, {len, 2 * a1, 2 * b1, 1, nullptr}});
    const Vec3 n = std::cos(toward) * m + std::sin(toward) * t.cross(m);
    out.plain = {dense::of(p),  dense::of(t), dense::of(m), dense::of(n), straight, radius,
                 radius * bend, a0,           b0,           a1,           b1};
    return out;
  }

 private:
  std::mt19937_64 random_{20261125};
};

struct Tally {
  int poses = 0, ends = 0, overlaps = 0, pieces = 0, most = 0;
  double above = 0, below = 0, loose = 0;
};

/// Counts one pose. Deeper inside than `smooth` a body has ridges, on which no Newton works: there only the
/// bound is held to the reference.
void compare(Tally& t, const Scene& scene, const Body& body, const dense::Field& field, double smooth,
             int along = 70, int around = 36) {
  const Separation ours = separation(scene.tube, 0, scene.tube.length(), body, {.gap = 0.01});
  const dense::Found ref = dense::least(scene.plain, field, along, around);
  const double off = static_cast<double>(ours.gap.value - ref.value);
  ++t.poses, t.ends += ref.at_end, t.overlaps += ref.value < 0;
  if (ref.value > 0) t.pieces += ours.pieces, t.most = std::max(t.most, ours.pieces);
  ASSERT_LE(ours.at_least, static_cast<double>(ref.value) + 1e-10) << "pose " << t.poses;
  ASSERT_LE(ours.at_least, ours.gap.value);
  if (ref.value < -smooth) return;
  EXPECT_LE(off, 1e-9) << "pose " << t.poses << " value " << ours.gap.value << " at " << ours.gap.s << " of "
                       << scene.tube.length() << (ref.at_end ? " end" : "");
  t.above = std::max(t.above, off), t.below = std::min(t.below, off);
  if (ref.value > 0) {
    EXPECT_LE(ours.gap.value - ours.at_least, 0.01 + 0.05 * std::max(0.0, ours.gap.value - 20)) << t.poses;
  }
  if (ref.value > 0)
    t.loose = std::max(t.loose, ours.gap.value - ours.at_least - 0.05 * std::max(0.0, ours.gap.value - 20));
}

void report(const char* name, const Tally& t) {
  std::printf(
      "%s: %d poses, %d at a closed end, %d overlapping; above the reference by %.2g mm at most, below by "
      "%.2g;"
      " bound within %.4f mm; %.0f pieces a pose that is clear, at most %d\n",
      name, t.poses, t.ends, t.overlaps, t.above, -t.below, t.loose,
      double(t.pieces) / (t.poses - t.overlaps), t.most);
}

/// Somewhere over the wheel's rim: (R, y) in a meridian plane turned by an angle.
Vec3 about_wheel(Poses& poses, double radius, double spread) {
  const double angle = poses.in(0, 6.28), r = radius + poses.in(-spread, spread);
  return {r * std::cos(angle), poses.in(-1.2 * spread, 1.2 * spread), r * std::sin(angle)};
}

TEST(DenseSearch, TyreByDesignation) {
  Poses poses;
  Tally tally;
  for (int i = 0; i < 560 && !HasFatalFailure(); ++i) {
    const double R = poses.in(180, 320), a = poses.in(10, 32), b = poses.in(10, 32);
    const Tube tyre{Centreline::circle(Vec3::Zero(), Vec3::UnitY(), R),
                    Profile({{0, 2 * a, 2 * b, 0, nullptr}})};
    const Scene scene = poses.tube(about_wheel(poses, R, 75), poses.direction(), poses.in(60, 220));
    const auto field = [=](int halvings) {
      return [=](const P3& p) { return dense::to_ellipse(a, b, std::hypot(p.x, p.z) - R, p.y, halvings); };
    };
    // rough: a circle of the same size is never farther off than the ellipse's own unroundness
    const auto rough = [=](const P3& p) {
      double x = std::abs(std::hypot(double(p.x), double(p.z)) - R), y = std::abs(double(p.y));
      double tx = 0.7071, ty = 0.7071;
      for (int k = 0; k < 4; ++k) {
        const double ex = (a * a - b * b) * tx * tx * tx / a, ey = (b * b - a * a) * ty * ty * ty / b;
        const double rr = std::hypot(a * tx - ex, b * ty - ey), q = std::hypot(x - ex, y - ey) + 1e-12;
        tx = std::clamp((std::max(0.0, x - ex) * rr / q + ex) / a, 0.0, 1.0);
        ty = std::clamp((std::max(0.0, y - ey) * rr / q + ey) / b, 0.0, 1.0);
        const double n = std::hypot(tx, ty) + 1e-300;
        tx /= n, ty /= n;
      }
      const double d = std::hypot(a * tx - x, b * ty - y);
      return x * x / (a * a) + y * y / (b * b) < 1 ? -d : d;
    };
    compare(tally, scene, Body::ring(tyre), {rough, field(70)}, 0.8 * std::min(a * a / b, b * b / a));
  }
  report("tyre by designation", tally);
}

TEST(DenseSearch, MeasuredTyre) {
  Poses poses;
  Tally tally;
  std::vector<Vec2> points;
  for (int k = 0; k < 24; ++k) {
    const double u = 2 * base::kPi * k / 24;
    points.emplace_back(u, 26 + 1.5 * std::cos(u) - 1.0 * std::cos(2 * u) + 0.15 * std::cos(6 * u));
  }
  const auto outline = std::make_shared<PolarOutline>(points);
  const double R = 300;
  const Tube tyre{Centreline::circle(Vec3::Zero(), Vec3::UnitY(), R), Profile({{0, 0, 0, 0, outline}})};
  Body body = Body::ring(tyre);
  body.prepare_support();
  // b of that circle is -y
  constexpr int n = 720;
  std::vector<std::array<double, 2>> table;
  for (int k = 0; k < n; ++k) {
    const double u = 2 * base::kPi * k / n, r = outline->at(u).r;
    table.push_back({r * std::cos(u), r * std::sin(u)});
  }
  const auto nearest = [&](double x, double y) {
    int best = 0;
    double d2 = INFINITY;
    for (int k = 0; k < n; ++k) {
      const double dx = table[size_t(k)][0] - x, dy = table[size_t(k)][1] - y, d = dx * dx + dy * dy;
      if (d < d2) d2 = d, best = k;
    }
    return std::pair{best, std::sqrt(d2)};
  };
  const auto sign = [&](double x, double y) {
    return std::hypot(x, y) < outline->at(std::atan2(y, x)).r ? -1.0 : 1.0;
  };
  const auto rough = [&](const P3& p) {
    const double x = std::hypot(double(p.x), double(p.z)) - R, y = -double(p.y);
    return sign(x, y) * nearest(x, y).second;
  };
  const auto exact = [&](const P3& p) -> Real {
    const Real x = std::hypot(p.x, p.z) - R, y = -p.y;
    Real at = 2 * std::numbers::pi_v<Real> * nearest(double(x), double(y)).first / n, step = 0.01L;
    const auto d = [&](Real u) {
      const Real r = outline->at(double(u)).r;
      return std::hypot(r * std::cos(u) - x, r * std::sin(u) - y);
    };
    Real here = d(at);
    while (step > 1e-9L) {
      const Real up = d(at + step), down = d(at - step);
      if (up < here)
        here = up, at += step;
      else if (down < here)
        here = down, at -= step;
      else
        step /= 2;
    }
    return sign(double(x), double(y)) * here;
  };
  for (int i = 0; i < 50 && !HasFatalFailure(); ++i) {
    const Scene scene = poses.tube(about_wheel(poses, R, 75), poses.direction(), poses.in(60, 200));
    compare(tally, scene, body, {rough, exact}, 15);
  }
  report("measured tyre", tally);
}

/// Signed distance to a box of half sizes h about the origin.
Real to_box(std::initializer_list<Real> over) {
  Real out = 0, in = -INFINITY;
  for (const Real o : over) out += o > 0 ? o * o : 0, in = std::max(in, o);
  return out > 0 ? std::sqrt(out) : in;
}

TEST(DenseSearch, RimRotorAndCalliper) {
  Poses poses;
  Tally rims, discs, boxes;
  for (int i = 0; i < 150 && !HasFatalFailure(); ++i) {
    const double r0 = poses.in(240, 290), r1 = r0 + poses.in(15, 30), y = poses.in(8, 20);
    const Scene scene = poses.tube(about_wheel(poses, r0, 70), poses.direction(), poses.in(60, 220));
    const auto exact = [=](const P3& p) -> Real {
      const Real r = std::hypot(p.x, p.z);
      return to_box({std::abs(r - (Real(r0) + r1) / 2) - (Real(r1) - r0) / 2, std::abs(p.y) - y});
    };
    compare(rims, scene, Body::turned(Vec3::Zero(), Vec3::UnitY(), {{r0, -y}, {r1, -y}, {r1, y}, {r0, y}}),
            {exact, exact}, 0);
  }
  for (int i = 0; i < 140 && !HasFatalFailure(); ++i) {
    const double r = poses.in(70, 101), y0 = poses.in(35, 45), y1 = y0 + 1.8;
    const Scene scene = poses.tube(Vec3(poses.in(-90, 90), poses.in(10, 110), poses.in(-90, 90)),
                                   poses.direction(), poses.in(40, 150));
    const auto exact = [=](const P3& p) -> Real {
      return to_box({std::hypot(p.x, p.z) - r, std::abs(p.y - (Real(y0) + y1) / 2) - (Real(y1) - y0) / 2});
    };
    compare(discs, scene, Body::turned(Vec3::Zero(), Vec3::UnitY(), {{-r, y0}, {r, y0}, {r, y1}, {-r, y1}}),
            {exact, exact}, 0);
  }
  for (int i = 0; i < 140 && !HasFatalFailure(); ++i) {
    const Vec3 half(poses.in(8, 30), poses.in(8, 30), poses.in(8, 50));
    const Scene scene = poses.tube(Vec3(poses.in(-60, 60), poses.in(-60, 60), poses.in(-60, 60)),
                                   poses.direction(), poses.in(40, 150));
    const auto exact = [=](const P3& p) -> Real {
      return to_box({std::abs(p.x) - half.x(), std::abs(p.y) - half.y(), std::abs(p.z) - half.z()});
    };
    compare(boxes, scene, Body::box(Pose::Identity(), half), {exact, exact}, 0);
  }
  report("rim", rims), report("rotor", discs), report("calliper", boxes);
}

}  // namespace
}  // namespace halfround::shape
