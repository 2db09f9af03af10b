// Areas, second moments, torsion and weight of sections against tables of closed forms.
#include <gtest/gtest.h>

#include <cmath>

#include "outside/table.h"
#include "study/mass.h"

namespace halfround {
namespace {

void expect_printed(double found, const std::string& cell, const std::string& what) {
  const auto dot = cell.find('.');
  const int decimals = dot == std::string::npos ? 0 : static_cast<int>(cell.size() - dot) - 1;
  const double printed = outside::number(cell);
  EXPECT_NEAR(found, printed, 0.5 * std::pow(10.0, -decimals) * (1 + 1e-6)) << what;
}

TEST(Sections, RoundTubesAreThoseOfTheTable) {
  const auto rows = outside::table("sections/round_tubes.tsv");
  ASSERT_EQ(rows.size(), 13U);
  for (const auto& row : rows) {
    const auto profile = shape::Profile::round(outside::number(row[0]), outside::number(row[1]));
    const auto q = study::section_at(profile, 0);
    ASSERT_TRUE(q);
    const std::string name = row[0] + " x " + row[1];
    expect_printed(q->area, row[2], name + " A");
    expect_printed(q->I_m, row[3], name + " I");
    expect_printed(q->I_b, row[3], name + " I");
    expect_printed(q->J, row[4], name + " J");
    expect_printed(q->Z_m, row[5], name + " Z");
    expect_printed(q->area * study::kCrMoDensity_kg_m3 * 1e-9 * 1000 * 1000, row[6], name + " g/m");
  }
}

TEST(Sections, AnOvalIsThatOfTheTableEitherWayRound) {
  for (const auto& row : outside::table("sections/ovals.tsv")) {
    const double wide = outside::number(row[0]), deep = outside::number(row[1]),
                 wall = outside::number(row[2]);
    const auto flat = study::section_at(shape::Profile({{0, wide, deep, wall, nullptr}}), 0);
    const auto upright = study::section_at(shape::Profile({{0, deep, wide, wall, nullptr}}), 0);
    ASSERT_TRUE(flat && upright);
    for (const auto& [q, weak, strong] :
         {std::tuple{*flat, flat->I_m, flat->I_b}, std::tuple{*upright, upright->I_b, upright->I_m}}) {
      expect_printed(q.area, row[3], "A");
      expect_printed(weak, row[4], "I weak");
      expect_printed(strong, row[5], "I strong");
      expect_printed(q.J, row[6], "J");
    }
  }
}

}  // namespace
}  // namespace halfround
