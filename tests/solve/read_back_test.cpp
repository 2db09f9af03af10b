// The measuring plan read back: a fork bent by a known amount is found again, and the pushes make it true.
#include "solve/read_back.h"

#include <gtest/gtest.h>

#include <fstream>
#include <random>
#include <sstream>

#include "job/read.h"
#include "solve/documented.h"
#include "speak/read_back_text.h"

namespace halfround::solve {
namespace {

using base::Vec3;

struct Bench {
  job::Job job;
  Answer answer;
  explicit Bench(const std::string& name) {
    std::ostringstream text;
    text << std::ifstream(SOURCE_DIR "/examples/" + name + "/fork.toml").rdbuf();
    job = *job::read_job(text.str(), name);
    answer = *solve(job, {.tolerance = false, .changes = false});
  }
  [[nodiscard]] std::pair<Vec3, Vec3> ends() const {
    return {answer.chain.limbs[0].end, answer.chain.limbs[1].end};
  }
};

TEST(ReadBack, ATrueForkNeedsNothing) {
  for (const char* name : {"island-mail", "harbour-mail"}) {
    const Bench b(name);
    const auto [left, right] = b.ends();
    const ReadBack found = read_back(b.job, b.answer, readings_of(left, right));
    EXPECT_TRUE(found.settings.empty());
    EXPECT_TRUE(found.remains.empty());
    EXPECT_NEAR(found.now.centring, 0, 1e-9);
    EXPECT_NEAR(found.now.offset, b.answer.intent.offset, 1e-9);
    EXPECT_NE(speak::read_back_text(found).find("Nothing to cold set"), std::string::npos);
  }
}

TEST(ReadBack, AnyBentForkIsFoundAgainAndStandsTrueOnceSet) {
  const Bench b("island-mail");
  const auto [left, right] = b.ends();
  std::mt19937 engine(3);
  std::uniform_real_distribution<double> off(-3, 3);
  for (int i = 0; i < 200; ++i) {
    const Vec3 l = left + Vec3(off(engine), off(engine), off(engine) / 10);
    const Vec3 r = right + Vec3(off(engine), off(engine), off(engine) / 10);
    const ReadBack found = read_back(b.job, b.answer, readings_of(l, r));
    EXPECT_LT((found.now.left - l).norm() + (found.now.right - r).norm(), 1e-9);
    EXPECT_NEAR(found.now.height, l.z() - r.z(), 1e-9);
    // each push is smaller than twice what it mends, and afterwards only what nobody pushes is left
    EXPECT_NEAR(found.then.centring, 0, 0.06);
    EXPECT_NEAR(found.then.lead, 0, 0.06);
    EXPECT_NEAR(found.then.spacing, b.answer.intent.over_locknut, 0.11);
    EXPECT_LE(found.settings.size(), 3U);
  }
}

TEST(ReadBack, NamesTheBladeTheWayAndHowFar) {
  const Bench b("harbour-mail");
  auto [left, right] = b.ends();
  right.y() -= 1.5;  // farther out
  left.x() += 0.8;
  const ReadBack found = read_back(b.job, b.answer, readings_of(left, right));
  ASSERT_EQ(found.settings.size(), 2U);
  EXPECT_EQ(found.settings[0].blade + " " + found.settings[0].way, "right blade inward");
  EXPECT_NEAR(found.settings[0].by, 1.5, 1e-9);
  EXPECT_EQ(found.settings[0].until, "G reads 50.00 mm");
  EXPECT_EQ(found.settings[1].blade + " " + found.settings[1].way, "left blade rearward");
  EXPECT_NEAR(found.settings[1].by, 0.8, 1e-9);
}

TEST(ReadBack, AnEndTooHighIsFiledInASlotAndSaidOfAClosedEnd) {
  for (const std::string name : {"harbour-mail", "island-mail"}) {
    const Bench b(name);
    auto [left, right] = b.ends();
    left.z() += 0.4;
    const ReadBack found = read_back(b.job, b.answer, readings_of(left, right));
    ASSERT_FALSE(found.remains.empty());
    EXPECT_NE(found.remains[0].find(name == "harbour-mail" ? "File the other" : "closed fork end"),
              std::string::npos);
    EXPECT_NEAR(found.then.centring, 0, 0.06);
  }
}

TEST(ReadBack, WhatIsNoReadingIsSaidInAPlainSentence) {
  EXPECT_EQ(told(plate_readings({"A=1", "A=2"}).error()).code, "reading-twice");
  EXPECT_EQ(told(plate_readings({"K=1"}).error()).code, "reading-unknown");
  EXPECT_EQ(told(plate_readings({"A"}).error()).code, "reading-unknown");
  EXPECT_EQ(told(plate_readings({"A=400", "B=400", "D=44", "E=44", "F=50"}).error()).code, "reading-missing");
  EXPECT_FALSE(plate_readings({"A=wide"}));
  const auto inches = plate_readings({"A=16 in", "B=406.4", "D=44", "E=44", "F=50", "G=50"});
  ASSERT_TRUE(inches);
  EXPECT_NEAR(inches->a, inches->b, 1e-9);
}

}  // namespace
}  // namespace halfround::solve
