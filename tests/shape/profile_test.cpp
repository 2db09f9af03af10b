// Sections between stations: plain tapers, smooth runs, the bore beside the outside.
#include "shape/profile.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

namespace halfround::shape {
namespace {

using base::kPi;

Station ring(double s, double across, double wall, bool smooth = false) {
  return {s, across, across, wall, nullptr, smooth};
}

std::shared_ptr<const PolarOutline> egg(double size) {
  std::vector<Vec2> p;
  for (int i = 0; i < 12; ++i)
    p.emplace_back(2 * kPi * i / 12, size * (1 + 0.1 * std::cos(2 * kPi * i / 12)));
  return std::make_shared<PolarOutline>(p);
}

TEST(Profile, APlainConeBetweenTwoStraightPartsStaysACone) {
  // stations where the taper begins and ends, as the job-file page asks for
  const Profile p({ring(0, 16, 1.2), ring(100, 16, 1.2), ring(300, 28, 0.9), ring(470, 28, 0.9)});
  for (double s = 0; s <= 470; s += 2.5) {
    const double part = std::clamp((s - 100) / 200, 0.0, 1.0);
    EXPECT_NEAR(p.width(s), 16 + 12 * part, 1e-12) << s;
    EXPECT_NEAR(p.depth(s), 16 + 12 * part, 1e-12) << s;
    EXPECT_NEAR(p.wall(s), 1.2 - 0.3 * part, 1e-12) << s;
  }
}

TEST(Profile, TwoMoreRingsOnAConeChangeNothing) {
  const Profile few({ring(0, 16, 1.2), ring(330, 28, 0.9), ring(470, 28, 0.9)});
  const Profile more({ring(0, 16, 1.2), ring(90, few.width(90), few.wall(90)),
                      ring(220, few.width(220), few.wall(220)), ring(330, 28, 0.9), ring(470, 28, 0.9)});
  for (double s = 0; s <= 470; s += 3.7) {
    EXPECT_NEAR(few.width(s), more.width(s), 1e-12) << s;
    EXPECT_NEAR(few.wall(s), more.wall(s), 1e-12) << s;
  }
}

TEST(Profile, AButtedWallGoesOverEvenlyBetweenItsRows) {
  // the rows of a butted steerer; half way the cubic gave 2.554
  const Profile p({ring(0, 28.6, 3.0), ring(90, 28.6, 3.0), ring(130, 28.6, 1.7), ring(240, 28.6, 1.7)});
  EXPECT_NEAR(p.wall(110), 2.35, 1e-12);
  EXPECT_NEAR(p.wall(100), 2.675, 1e-12);
}

TEST(Profile, OnlySpansMarkedSmoothAreRoundedOff) {
  const Profile p(
      {ring(0, 16, 1), ring(100, 18, 1, true), ring(150, 24, 1, true), ring(200, 27, 1), ring(300, 28, 1)});
  EXPECT_NEAR(p.width(50), 17, 1e-12);
  EXPECT_NEAR(p.width(250), 27.5, 1e-12);
  EXPECT_GT(std::abs(p.width(125) - 21), 0.05) << "a smooth span bows";
  const auto slope = [&](double s) { return p.at({1, 0}, s).rs; };
  EXPECT_NEAR(slope(150 - 1e-9), slope(150 + 1e-9), 1e-6) << "no corner within a smooth run";
  EXPECT_GT(std::abs(slope(100 - 1e-9) - slope(100 + 1e-9)), 0.01) << "a corner where it begins";
}

TEST(Profile, SlopesAreThoseOfTheRadii) {
  std::mt19937 random(4);
  std::uniform_real_distribution<double> at(-10, 310), turn(0, 2 * kPi);
  for (const bool measured : {false, true}) {
    std::vector<Station> q{ring(0, 16, 1), ring(80, 22, 1.1, true), ring(170, 25, 0.9, true),
                           ring(220, 30, 1), ring(300, 27, 1.3)};
    if (measured) q[2].outline = egg(12.5), q[3].outline = egg(15);
    const Profile p(q);
    for (int i = 0; i < 400; ++i) {
      const Vec2 e = base::unit_at(turn(random));
      const double s = at(random), h = 1e-5;
      const bool corner =
          std::ranges::any_of(q, [&](const Station& st) { return std::abs(st.s - s) < 2 * h; });
      if (corner) continue;
      EXPECT_NEAR(p.at(e, s).rs, (p.at(e, s + h).r - p.at(e, s - h).r) / (2 * h), 1e-6) << s;
    }
  }
}

/// Outside less bore is the wall everywhere, not at the stations only: mass and wall said 0.17 % apart.
TEST(Profile, TheBoreIsTheOutsideLessTheWallBetweenStationsToo) {
  for (const bool smooth : {false, true}) {
    for (const bool measured : {false, true}) {
      std::vector<Station> q{ring(0, 38.1, 2.2, smooth),   ring(62, 38.1, 2.2, smooth),
                             ring(70, 36.7, 2.2, smooth),  ring(116, 28.6, 1.65, smooth),
                             ring(120, 28.6, 1.6, smooth), ring(200, 28.6, 1.6)};
      if (measured) {
        for (Station& st : q) st.outline = egg(st.width / 2);
      }
      const Profile p(q), bore = p.inner();
      for (double s = -5; s < 210; s += 1.3) {
        for (const double u : {0.0, kPi / 2, kPi, 3.9}) {
          const Vec2 e = base::unit_at(u);
          EXPECT_NEAR(p.at(e, s).r - bore.at(e, s).r, p.wall(s), 1e-10) << s << " " << smooth << measured;
        }
      }
    }
  }
}

TEST(Profile, WalkedFromTheOtherEndItIsTheSameTube) {
  std::vector<Station> q{ring(0, 16, 1), ring(80, 22, 1.1, true), ring(170, 25, 0.9, true), ring(220, 30, 1),
                         ring(300, 27, 1.3)};
  q[1].depth = 26, q[3].depth = 24;
  for (const bool measured : {false, true}) {
    if (measured) q[2].outline = egg(12.5);
    for (const Profile& p : {Profile(q), Profile(q).inner(), Profile({ring(0, 25, 1)})}) {
      const Profile back = p.reversed(310), twice = back.reversed(310);
      for (double s = -20; s < 340; s += 2.9) {
        for (const double u : {0.0, 0.7, 2.0, 4.4}) {
          const auto a = p.at(base::unit_at(u), s), b = back.at(base::unit_at(-u), 310 - s),
                     c = twice.at(base::unit_at(u), s);
          EXPECT_NEAR(a.r, b.r, 1e-10) << s;
          EXPECT_NEAR(a.r, c.r, 1e-10) << s;
          EXPECT_NEAR(p.wall(s), back.wall(310 - s), 1e-12) << s;
        }
      }
    }
  }
}

TEST(Profile, GrownByAnAmountItIsThatMuchFartherOutEverywhere) {
  const Profile p({ring(0, 16, 1, true), ring(80, 22, 1, true), ring(220, 30, 1), ring(300, 27, 1)});
  const Profile out = p.grown(1.5);
  for (double s = 0; s < 310; s += 4.1) EXPECT_NEAR(out.width(s) - p.width(s), 3, 1e-12) << s;
}

}  // namespace
}  // namespace halfround::shape
