// Rings of a blade and rows of a steerer as the job tells them: where they are and what lies between.
#include <gtest/gtest.h>

#include <cmath>
#include <fstream>
#include <sstream>

#include "job/intent.h"
#include "job/read.h"

namespace halfround::solve {
namespace {

std::string island(const std::string& from = "", const std::string& to = "", const std::string& from2 = "",
                   const std::string& to2 = "") {
  std::stringstream text;
  text << std::ifstream(SOURCE_DIR "/examples/island-mail/fork.toml").rdbuf();
  std::string out = text.str();
  if (!from.empty()) out.replace(out.find(from), from.size(), to);
  if (!from2.empty()) out.replace(out.find(from2), from2.size(), to2);
  return out;
}

layout::Intent read(const std::string& text) {
  const auto job = job::read_job(text, "fork.toml");
  EXPECT_TRUE(job) << (job ? "" : base::sentence(job.error().front()));
  const auto intent = job::intent_of(*job);
  EXPECT_TRUE(intent);
  return *intent;
}

TEST(Rings, ByATapeAlongTheOutsideTheyLieNearerToTheTipThanTheTapeShows) {
  // the last of the island's rings lies behind the bend of 71 degrees, where the blade is 24 mm wide
  const double bend = 71 * base::kRadPerDeg;
  const auto outside = read(island()).left.stations;
  EXPECT_NEAR(outside.back().s, 470 - 12.03 * bend, 0.1);
  EXPECT_EQ(outside[3].s, 330) << "below the bend nothing changes";
  const auto middle = read(island("[blades]\n", "[blades]\nrings_along = \"centreline\"\n")).left.stations;
  EXPECT_EQ(middle.back().s, 470);
  const auto inside =
      read(island("[blades]\nstations = [   # at, width across the bicycle, depth fore and aft, wall\n",
                  "[blades]\nrings_along = \"inside\"\nstations = [\n"))
          .left.stations;
  EXPECT_NEAR(inside.back().s, 470 + 12.03 * bend, 0.1);
}

TEST(Rings, WithStockBelowTheShapeTheyStillCountFromTheShape) {
  const auto plain = read(island());
  const auto longer = read(island("stock_length = 472", "stock_length = 492\nbelow_shape = 20"));
  for (std::size_t i = 0; i < plain.left.stations.size(); ++i)
    EXPECT_NEAR(longer.left.stations[i].s, plain.left.stations[i].s, 1e-9);
  EXPECT_EQ(longer.left.below_shape, 20);
  EXPECT_NEAR(bike::on_bench(longer.left).length(), 492, 1e-9);
}

TEST(Rings, WithoutAStockLengthTheStockIsTheShapeAndWhatLiesBelowIt) {
  const auto u = read(island("stock_length = 472", "below_shape = 20"));
  EXPECT_NEAR(u.left.stock_length, 345 + 75 * 71 * base::kRadPerDeg + 34 + 20, 1e-9);
}

TEST(Rings, MoreBelowTheShapeThanTheStockHasIsRefusedWithWhatFits) {
  const auto job =
      job::read_job(island("stock_length = 472", "stock_length = 472\nbelow_shape = 20"), "fork.toml");
  ASSERT_FALSE(job);
  EXPECT_EQ(job.error().front().code, "stock-too-short");
  EXPECT_NE(base::sentence(job.error().front()).find("Give 492 mm or more"), std::string::npos)
      << base::sentence(job.error().front());
  EXPECT_TRUE(
      job::read_job(island("stock_length = 472", "stock_length = 492\nbelow_shape = 20"), "fork.toml"));
}

TEST(Rings, AreJoinedStraightUnlessTheBuilderSaysSmooth) {
  const shape::Profile straight(read(island()).left.stations);
  EXPECT_NEAR(straight.width(45), (16.1 + 18.9) / 2, 1e-9);
  EXPECT_NEAR(straight.depth(155), (20.4 + 27.1) / 2, 1e-9);
  EXPECT_NEAR(straight.wall(155), 1.5, 1e-9);
  const shape::Profile smooth(
      read(island("[blades]\n", "[blades]\nbetween_rings = \"smooth\"\n")).left.stations);
  EXPECT_GT(std::abs(smooth.depth(275) - straight.depth(275)), 0.1);
  EXPECT_NEAR(smooth.depth(220), 27.1, 1e-9);
}

TEST(Rings, ASteerersWallGoesOverEvenlyBetweenItsRows) {
  const shape::Profile p(
      read(island("walls = [[0, 2.9], [90, 2.9], [130, 1.6]]", "walls = [[0, 3], [90, 3], [130, 1.7]]"))
          .steerer.stations);
  EXPECT_NEAR(p.wall(110), 2.35, 1e-9);
}

TEST(Rings, ATaperedSteerersBoreIsItsOutsideLessItsWall) {
  const shape::Profile p(read(island("diameter = \"1 1/8 in\"\nwalls = [[0, 2.9], [90, 2.9], [130, 1.6]]",
                                     "diameters = [[0, 38.1], [62, 38.1], [116, 28.6]]\n"
                                     "walls = [[0, 2.2], [70, 2.2], [120, 1.6]]",
                                     "crown_race = 30", "crown_race = 39.8"))
                             .steerer.stations);
  for (double s = 0; s < 240; s += 0.7) {
    EXPECT_NEAR((p.width(s) - p.inner().width(s)) / 2, p.wall(s), 1e-12) << s;
    EXPECT_NEAR(p.width(s), 38.1 - 9.5 * std::clamp((s - 62) / 54, 0.0, 1.0), 1e-9) << s;
  }
}

}  // namespace
}  // namespace halfround::solve
