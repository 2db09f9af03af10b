// The examples, the starter job and every old job: they read, they lay out, and what comes out is a fork one
// can build.
#include <gtest/gtest.h>

#include <cstdio>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "job/intent.h"
#include "job/read.h"
#include "job/starter.h"

namespace halfround::solve {
namespace {

std::string slurp(const std::filesystem::path& path) {
  std::ostringstream out;
  out << std::ifstream(path, std::ios::binary).rdbuf();
  return out.str();
}

std::string all(const base::Problems& problems) {
  std::string out;
  for (const auto& p : problems) out += base::sentence(p) + "\n";
  return out;
}

void expect_buildable(const std::string& text, const std::string& name) {
  const auto job = job::read_job(text, name);
  ASSERT_TRUE(job) << all(job.error());
  const auto intent = job::intent_of(*job);
  ASSERT_TRUE(intent) << base::sentence(intent.error());
  const auto fork = layout::lay_out(*intent);
  ASSERT_TRUE(fork) << name << ": " << base::sentence(fork.error());
  for (const layout::Placed* p : {&fork->left, &fork->right}) {
    std::printf(
        "%s: splay %.2f deg, trim %.2f, tilt %.2f deg, crown %.2f, top %.2f deg, gap %.2f at %.0f, s_crown "
        "%.1f of %.1f\n",
        name.c_str(), base::to_deg(p->splay), p->lower_trim, base::to_deg(p->tilt_angle), p->crown_height,
        base::to_deg(p->top_angle), p->clearance.value, p->clearance.s, p->s_crown,
        intent->left.stock_length);
    EXPECT_GE(p->clearance.value, 6) << "air round the tyre";
    EXPECT_GE(base::to_deg(p->splay), -2);
    EXPECT_LE(base::to_deg(p->splay), 12);
    EXPECT_LE(std::abs(base::to_deg(p->tilt_angle)), 10);
    EXPECT_LE(p->s_crown, intent->left.stock_length) << "the stock is long enough";
    // what meets the steerer: the blade itself, or half of it at the most where a crown tube or plate does
    const double half = layout::crown_line(intent->crown) ? 5 : p->tube.profile.width(p->s_crown) / 2;
    EXPECT_GE(p->crown_height - half, 5) << "the blade stays below the seat";
    EXPECT_LE(p->crown_height + half, intent->steerer.below_seat + 1)
        << "the steerer reaches down past the blade";
    EXPECT_NEAR(p->shares.sum(), intent->offset, 1e-9);
  }
}

TEST(Example, IslandMailCanBeBuilt) {
  expect_buildable(slurp(SOURCE_DIR "/examples/island-mail/fork.toml"), "island-mail");
}

TEST(Example, HarbourMailCanBeBuilt) {
  expect_buildable(slurp(SOURCE_DIR "/examples/harbour-mail/fork.toml"), "harbour-mail");
}

TEST(Example, FerryMailCanBeBuilt) {
  expect_buildable(slurp(SOURCE_DIR "/examples/ferry-mail/fork.toml"), "ferry-mail");
}

TEST(Example, QuarryMailCanBeBuilt) {
  expect_buildable(slurp(SOURCE_DIR "/examples/quarry-mail/fork.toml"), "quarry-mail");
}

TEST(Example, SlipMailCanBeBuilt) {
  expect_buildable(slurp(SOURCE_DIR "/examples/slip-mail/fork.toml"), "slip-mail");
}

TEST(Example, TheStarterJobCanBeBuiltAsItStands) {
  expect_buildable(job::starter_job(), "starter");
}

TEST(Example, OldJobsLoadForEver) {
  int n = 0;
  for (const auto& entry : std::filesystem::directory_iterator(SOURCE_DIR "/tests/jobs/v1")) {
    if (entry.path().extension() != ".toml") continue;
    const auto job = job::read_job(slurp(entry.path()), entry.path().filename().string());
    EXPECT_TRUE(job) << all(job.error());
    if (job) {
      const auto intent = job::intent_of(*job);
      EXPECT_TRUE(intent) << entry.path();
    }
    ++n;
  }
  EXPECT_GE(n, 4);
}

}  // namespace
}  // namespace halfround::solve
