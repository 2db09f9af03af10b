// Fillets against closed forms and quadratures, fillers and shades against the sources' own tables.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "bike/filler.h"
#include "mitre_scene.h"
#include "outside/table.h"
#include "parts.h"
#include "study/braze.h"

namespace halfround::study {
namespace {

TEST(Fillets, AreasAreTheTabledOnes) {
  const auto rows = outside::table("fillets/areas.tsv");
  ASSERT_EQ(rows.size(), 7u);
  for (const auto& row : rows) {
    const double psi = base::to_rad(outside::number(row[0]));
    EXPECT_NEAR(fillet_area(6, psi) / 36, outside::number(row[1]), 6e-7) << row[0];
  }
  // the two closed forms of a right angle: 1 - pi/4, and a quarter square's centre of area
  EXPECT_NEAR(fillet_area(1, base::kPi / 2), 1 - base::kPi / 4, 1e-15);
  const double x = (5.0 / 6 - base::kPi / 4) / (1 - base::kPi / 4);
  EXPECT_NEAR(fillet_centroid(1, base::kPi / 2), std::sqrt(2.0) * x, 1e-14);
  EXPECT_NEAR(fillet_leg(6, base::kPi / 2), 6, 1e-14);
}

/// The centre of area at any angle by plain summing over the region, 400 strips square to the angle's middle.
TEST(Fillets, TheCentreOfAreaIsWhereSummingFindsIt) {
  for (const double deg : {45.0, 60.0, 90.0, 120.0, 150.0, 177.0}) {
    const double psi = base::to_rad(deg), tan_half = std::tan(psi / 2), centre = 1 / std::sin(psi / 2);
    double area = 0, moment = 0;
    const int n = 200000;
    const double reach = std::cos(psi / 2) / std::tan(psi / 2);  // where the fillet touches the sides
    for (int i = 0; i < n; ++i) {
      const double x = std::max(reach, centre - 1) * (i + 0.5) / n;
      // between the sides, less the chord of the arc's circle; beyond the touching points nothing is left
      double width = x <= reach ? x * tan_half : 0;
      if (x > centre - 1) {
        const double chord = std::sqrt(std::max(0.0, 1 - (centre - x) * (centre - x)));
        width = x <= reach ? width - chord : 0;
      }
      area += width, moment += width * x;
    }
    const double step = std::max(reach, centre - 1) / n;
    EXPECT_NEAR(2 * area * step, fillet_area(1, psi), 2e-5 * fillet_area(1, psi)) << deg;
    EXPECT_NEAR(moment / area, fillet_centroid(1, psi), 2e-5 * fillet_centroid(1, psi)) << deg;
  }
}

/// A circle of radius a: a round boss square on a plate (filler outside), or the bottom of a round pocket.
std::vector<SeamPoint> ring(double a, double outward) {
  std::vector<SeamPoint> out;
  const int n = 720;
  for (int i = 0; i < n; ++i) {
    const Vec2 e = base::unit_at(2 * base::kPi * i / n);
    SeamPoint q;
    q.point = a * Vec3(e.x(), e.y(), 0), q.psi = base::kPi / 2, q.share = 1;
    q.middle = Vec3(outward * e.x(), outward * e.y(), 1).normalized();
    out.push_back(q);
  }
  return out;
}

/// Pappus, and the solid of revolution done by hand: 2 pi [a rho^2 (1 - pi/4) +- rho^3 (5/6 - pi/4)].
TEST(Fillets, ATorusFilletFollowsPappus) {
  for (const double a : {8.0, 14.3, 40.0}) {
    for (const double rho : {2.0, 6.0}) {
      for (const double side : {1.0, -1.0}) {
        const double first = a * rho * rho * (1 - base::kPi / 4);
        const double exact = 2 * base::kPi * (first + side * std::pow(rho, 3) * (5.0 / 6 - base::kPi / 4));
        const FilletVolume v = fillet_volume(ring(a, side), {rho, 0, 0});
        EXPECT_NEAR(v.along_centroid, exact, 2e-5 * exact) << a << ' ' << rho << ' ' << side;
        EXPECT_NEAR(v.along_line, 2 * base::kPi * first, 2e-5 * first * 2 * base::kPi);
      }
    }
  }
}

bike::Assembly pair_of(double r, double R, double beta_deg, double e) {
  using shape::Profile;
  bike::Assembly a;
  bike::Member branch, header;
  branch.part = "branch"_part, header.part = "header"_part;
  branch.tube = {shape::scene_line({{300, 0, 0}}, 150, base::to_rad(beta_deg), e), Profile::round(2 * r, 0)};
  branch.s_end = 150, branch.stock_length = 300;
  header.tube = {shape::Centreline::from_runs({{800, 0, 0}}, Vec3(0, 0, -400), Vec3::UnitZ(), Vec3::UnitX()),
                 Profile::round(2 * R, 0)};
  header.s_end = header.stock_length = 800;
  a.members = {branch, header};
  a.joints = {{"branch"_part, bike::End::end, "header"_part, bike::JointKind::mitred}};
  return a;
}

TEST(Fillets, RoundTubesTakeTheTabledVolumes) {
  const auto rows = outside::table("fillets/round_on_round.tsv");
  ASSERT_EQ(rows.size(), 6u);
  for (const auto& row : rows) {
    const bike::Assembly a = pair_of(outside::number(row[1]), outside::number(row[2]),
                                     outside::number(row[3]), outside::number(row[4]));
    const auto cut = mitres(a, {});
    ASSERT_TRUE(cut) << row[0] << base::sentence(cut.error());
    const auto line = seam(a, cut->front());
    const FilletVolume v = fillet_volume(line, {6, 0, 0});
    // the polyline's points lie as far apart as 0.001 mm of bow allows; equal tubes have a kink at the sides
    EXPECT_NEAR(v.along_line, outside::number(row[5]), 5e-4 * outside::number(row[5])) << row[0];
    const auto plan = joining_plan(a, *cut, {});
    ASSERT_TRUE(plan);
    EXPECT_NEAR(plan->joints[0].flat_guess, outside::number(row[6]), 2e-4 * outside::number(row[6]))
        << row[0];
  }
}

TEST(Fillets, ASleeveTakesPiTimesDiameterLengthAndGap) {
  const Capillary lug = socket("lug", 28.6, 25, 0.08);
  EXPECT_NEAR(lug.area * lug.gap, 179.70, 0.005);
}

TEST(Fillets, RodsHoldTheirTabledLength) {
  const auto rows = outside::table("fillets/rods.tsv");
  ASSERT_EQ(rows.size(), 4u);
  for (const auto& row : rows)
    EXPECT_NEAR(rod_length(1000, outside::number(row[1])), outside::number(row[2]), 0.06) << row[0];
}

TEST(Fillets, FillersMeltWhereTheHandbookSays) {
  const auto rows = outside::table("fillets/fillers.tsv");
  ASSERT_EQ(rows.size(), bike::fillers().size());
  const auto celsius = [](const std::string& f) { return (outside::number(f) - 32) / 1.8; };
  for (const auto& row : rows) {
    const auto f = bike::find_filler(row[0]);
    ASSERT_TRUE(f) << row[0];
    EXPECT_NEAR((*f)->solidus_C, celsius(row[1]), 0.6) << row[0];  // the table rounds to whole degrees
    EXPECT_NEAR((*f)->liquidus_C, celsius(row[2]), 0.6) << row[0];
    EXPECT_EQ((*f)->work_from_C, outside::number(row[3])) << row[0];
    EXPECT_EQ((*f)->work_to_C, outside::number(row[4])) << row[0];
    EXPECT_EQ((*f)->made_of.find("Cd"), std::string_view::npos);
  }
}

TEST(Fillets, EveryAlloyWithCadmiumIsRefused) {
  const auto rows = outside::table("fillets/cadmium.tsv");
  ASSERT_EQ(rows.size(), 6u);
  for (const auto& row : rows) {
    const auto f = bike::find_filler(row[0]);
    ASSERT_FALSE(f) << row[0];
    EXPECT_EQ(f.error().code, "filler-cadmium") << row[0];
  }
}

TEST(Fillets, ShadesAreThoseOfTheRegulation) {
  const auto rows = outside::table("fillets/shades.tsv");
  ASSERT_EQ(rows.size(), bike::shades().size());
  for (const auto& row : rows) {
    const auto at = std::find_if(bike::shades().begin(), bike::shades().end(),
                                 [&](const bike::Shade& s) { return s.process == row[0]; });
    ASSERT_NE(at, bike::shades().end()) << row[0];
    EXPECT_EQ(at->shade, row[1]);
  }
}

}  // namespace
}  // namespace halfround::study
