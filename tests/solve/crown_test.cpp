// Crowns in the job file: keys, defaults, and the sentence where one does not belong; steerers that taper.
#include <gtest/gtest.h>

#include <fstream>
#include <sstream>

#include "base/maths.h"
#include "job/intent.h"
#include "job/read.h"
#include "solve/documented.h"
#include "solve/solve.h"

namespace halfround::solve {
namespace {

/// An example with one piece of text exchanged.
std::string example(const std::string& name, const std::string& from = "", const std::string& to = "") {
  std::ostringstream in;
  in << std::ifstream(SOURCE_DIR "/examples/" + name + "/fork.toml").rdbuf();
  std::string text = in.str();
  if (from.empty()) return text;
  const auto at = text.find(from);
  EXPECT_NE(at, std::string::npos) << from;
  return at == std::string::npos ? text : text.replace(at, from.size(), to);
}
std::string all(const base::Problems& problems) {
  std::string out;
  for (const base::Problem& p : problems) out += base::sentence(p) + "\n";
  return out;
}
void expect_one(const std::string& text, const std::string& code, const std::string& key) {
  const auto job = job::read_job(text, "f");
  ASSERT_FALSE(job) << code;
  EXPECT_EQ(told(job.error()[0]).code, code) << all(job.error());
  EXPECT_EQ(job.error()[0].where.key, key);
  EXPECT_GT(job.error()[0].where.line, 0);
}

TEST(Crown, WhatAJobLeavesOutIsTakenAsUsual) {
  const auto job = job::read_job(example("quarry-mail", "edge = 9\n", ""), "f");
  ASSERT_TRUE(job) << all(job.error());
  EXPECT_EQ(job->crown.edge.value, 8);
  EXPECT_NE(std::find(job->assumed.begin(), job->assumed.end(), "crown.edge"), job->assumed.end());
  const auto socket = job::read_job(example("pier-mail", "lean = 0\n", ""), "f");
  ASSERT_TRUE(socket) << all(socket.error());
  EXPECT_EQ(socket->crown.lean.value, 0);
}

TEST(Crown, ASocketCrownLeavesOneWishAndHasItsOwnPlace) {
  expect_one(example("pier-mail", "lower_trim = 4", "lower_trim = 4\nclearance = 6"), "wishes-not-two",
             "wishes");
  expect_one(example("pier-mail", "lower_trim = 4", "spacing = 96"), "wish-not-for-crown", "wishes.spacing");
  expect_one(example("pier-mail", "lower_trim = 4", "crown_height = 30"), "wish-not-for-crown",
             "wishes.crown_height");
  expect_one(example("pier-mail", "tilt = 0", "tilt = 0\nmitre_offset = 4"), "share-not-for-crown",
             "shares.mitre_offset");
  expect_one(example("pier-mail", "edge = 4", "edge = 4\nplates = 2"), "crown-key-unused", "crown.plates");
  expect_one(example("ferry-mail", "[crown]\n", "[crown]\nsocket_reach = 20\n"), "crown-key-unused",
             "crown.socket_reach");
  const auto job = job::read_job(example("pier-mail", "socket_depth = 28.4\n", ""), "f");
  ASSERT_TRUE(job) << all(job.error());
  EXPECT_EQ(job->crown.socket_depth.value, job->crown.socket_width.value) << "round where one width is given";
}

TEST(Crown, SocketsThatDontFitTheBladesAreRefusedAtTheCrown) {
  const auto job = job::read_job(example("pier-mail", "socket_depth = 28.4", "socket_depth = 20"), "f");
  ASSERT_TRUE(job) << all(job.error());
  const auto answer = solve(*job, {.tolerance = false, .changes = false});
  ASSERT_FALSE(answer);
  EXPECT_EQ(told(answer.error()).code, "socket-too-narrow");
  EXPECT_EQ(answer.error().where.key, "crown");
  EXPECT_GT(answer.error().where.line, 0);
}

TEST(Crown, TheSolvedForkSaysHowTheBladesGoIn) {
  const auto job = job::read_job(example("pier-mail"), "f");
  ASSERT_TRUE(job) << all(job.error());
  const auto answer = solve(*job, {.tolerance = false, .changes = false});
  ASSERT_TRUE(answer) << base::sentence(answer.error());
  int gaps = 0;
  for (const bike::Verdict& v : answer->verdicts) gaps += v.code == "socket-gap";
  EXPECT_EQ(gaps, 1);  // both sockets alike: one line
  EXPECT_TRUE(answer->mass.total);
  EXPECT_TRUE(answer->strength.unknown.empty()) << answer->strength.unknown;
}

TEST(Steerer, ATaperIsStraightFromRowToRow) {
  const auto job = job::read_job(example("pier-mail"), "f");
  ASSERT_TRUE(job) << all(job.error());
  const auto intent = job::intent_of(*job);
  ASSERT_TRUE(intent);
  const shape::Profile p(intent->steerer.stations);
  EXPECT_NEAR(p.width(20), 38.1, 1e-9);
  EXPECT_NEAR(p.width(200), 28.575, 1e-9);
  EXPECT_NEAR(p.wall(50), 2.2, 1e-9);
  EXPECT_NEAR(p.wall(150), 1.6, 1e-9);
  for (double s = 63; s <= 116; ++s) {
    EXPECT_LT(p.width(s), p.width(s - 1)) << s;
    EXPECT_NEAR(p.width(s), 38.1 + (s - 62) / 54 * (28.575 - 38.1), 1e-9) << s;
  }
}

TEST(Steerer, TheTablesPlacesRiseAndLieOnTheSteerer) {
  expect_one(example("pier-mail", "[62, \"1 1/2 in\"]", "[130, \"1 1/2 in\"]"), "stations-not-rising",
             "steerer.diameters[3].at");
  expect_one(example("pier-mail", "[116, \"1 1/8 in\"]", "[300, \"1 1/8 in\"]"), "station-beyond-stock",
             "steerer.diameters[3].at");
  expect_one(example("pier-mail", "length = 215", "length = 215\ndiameter = 28.6"), "both-given",
             "steerer.diameters");
  expect_one(example("pier-mail", "[116, \"1 1/8 in\"]", "[116, \"3 mm\"]"), "out-of-range",
             "steerer.diameters[3].diameter");
}

}  // namespace
}  // namespace halfround::solve
