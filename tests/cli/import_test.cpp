// `halfround import` as a builder meets it: the piece of a job it writes goes into a job and is read there;
// exit codes; nothing half-written.
#include "cli/import.h"

#include <fmt/format.h>
#include <gtest/gtest.h>
#include <unistd.h>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "base/maths.h"
#include "cli/commands.h"
#include "job/read.h"
#include "parts.h"
#include "solve/solve.h"

namespace halfround::cli {
namespace {

namespace fs = std::filesystem;

std::string read(const fs::path& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

/// An oval of half axes a, b about (cx, cy), as "x y" pairs put through `pair`.
template <class Pair>
std::string oval(double a, double b, int n, double cx, double cy, Pair pair) {
  std::string out;
  for (int i = 0; i < n; ++i) {
    const base::Vec2 e = base::unit_at(2 * base::kPi * i / n);
    out += pair(cx + a * e.x(), cy + b * e.y());
  }
  return out;
}

std::string dxf_oval(const std::string& header = "") {
  return "0\nSECTION\n2\nHEADER\n" + header +
         "0\nENDSEC\n0\nSECTION\n2\nENTITIES\n0\nPOLYLINE\n8\n0\n66\n1\n70\n1\n" +
         oval(11, 14, 180, 40, 60,
              [](double x, double y) {
                return fmt::format("0\nVERTEX\n8\n0\n10\n{:.5f}\n20\n{:.5f}\n", x, y);
              }) +
         "0\nSEQEND\n0\nENDSEC\n0\nEOF\n";
}

/// A blade bent by a radius of 75 mm, as a table.
std::string csv_blade(double scale = 1) {
  std::string out = "x (mm);y (mm)\n";
  for (double s = 0; s <= 430; s += 2) {
    const double a = std::clamp((s - 345) / 75, 0.0, 1.0), on = std::max(0.0, s - 345 - 75);
    const double x = s <= 345 ? s : 345 + 75 * std::sin(a) + on * std::cos(1.0);
    const double y = s <= 345 ? 0 : 75 - 75 * std::cos(a) + on * std::sin(1.0);
    out += fmt::format("{:.4f};{:.4f}\n", scale * x, scale * y);
  }
  return out;
}

class Import : public testing::Test {
 protected:
  void SetUp() override {
    folder = fs::temp_directory_path() / ("halfround-import-" + std::to_string(::getpid()) + "-" +
                                          testing::UnitTest::GetInstance()->current_test_info()->name());
    fs::remove_all(folder);
    fs::create_directories(folder);
  }
  void TearDown() override {
    std::error_code ignored;
    fs::permissions(folder, fs::perms::owner_all, ignored);
    fs::remove_all(folder);
  }
  std::string write(const char* name, const std::string& text) const {
    std::ofstream(folder / name, std::ios::binary) << text;
    return (folder / name).string();
  }
  int run(const std::string& file, ImportWords words) {
    out.str(""), err.str("");
    if (!words.output.empty()) words.output = (folder / words.output).string();
    return import(file, words, out, err);
  }
  std::size_t files() const {
    return static_cast<std::size_t>(std::distance(fs::directory_iterator(folder), fs::directory_iterator()));
  }

  fs::path folder;
  std::ostringstream out, err;
};

/// The island's job with the list of `key` taken out and `piece`'s list in its place.
std::string pasted(const std::string& key, const std::string& piece, const std::string& as) {
  std::string job = read(SOURCE_DIR "/examples/island-mail/fork.toml");
  const auto at = job.find("\n" + key + " = ["), end = job.find("\n]\n", at);
  const auto from = piece.find("\n" + as + " = ["), to = piece.rfind("\n]\n");
  EXPECT_NE(at, std::string::npos);
  EXPECT_NE(from, std::string::npos) << piece;
  if (at == std::string::npos || from == std::string::npos) return {};
  return job.replace(at, end - at, piece.substr(from, to - from));
}

TEST_F(Import, ATracedTyreGoesIntoAJobAndIsTheTyreOfTheFork) {
  const std::string svg =
      "<svg xmlns='http://www.w3.org/2000/svg' width='100mm' height='80mm' viewBox='0 0 100 80'><polyline "
      "points='" +
      // upper part of a circle of 27 mm round (50, 40), y down
      [] {
        std::string points;
        for (int i = -120; i <= 120; i += 2) {
          const double a = base::to_rad(i);
          points += fmt::format("{:.4f},{:.4f} ", 50 + 27 * std::sin(a), 40 - 27 * std::cos(a));
        }
        return points;
      }() +
      "'/></svg>";
  ASSERT_EQ(run(write("tyre.svg", svg), {.as = "tyre", .output = "piece.toml"}), kDone) << err.str();
  EXPECT_EQ(files(), 4u);
  EXPECT_EQ(read(folder / "piece.pdf").substr(0, 5), "%PDF-");
  EXPECT_NE(read(folder / "piece.svg").find("<svg"), std::string::npos);
  const auto job =
      job::read_job(pasted("half_profile", read(folder / "piece.toml"), "half_profile"), "pasted");
  ASSERT_TRUE(job) << base::sentence(job.error()[0]);
  double widest = 0;
  for (const job::TyrePoint& p : job->wheel.half_profile) widest = std::max(widest, p.half_width.value);
  EXPECT_NEAR(widest, 27, 0.04);  // the points picked need not stand at the widest place
  const auto answer = solve::solve(*job, {.tolerance = false, .changes = false});
  EXPECT_TRUE(answer) << base::sentence(answer.error());
}

TEST_F(Import, ATracedMiddleLineBendsTheBladeOfTheFork) {
  ASSERT_EQ(run(write("blade.csv", csv_blade()), {.as = "blade-centreline"}), kDone) << err.str();
  const std::string text = pasted("shape", out.str(), "traced");
  const auto job = job::read_job(text, "pasted");
  ASSERT_TRUE(job) << base::sentence(job.error()[0]);
  EXPECT_NEAR(job->left.traced.back().inward.value, 75 - 75 * std::cos(1.0) + 10 * std::sin(1.0), 0.05);
  EXPECT_EQ(files(), 1u) << "without -o only the terminal";
}

TEST_F(Import, ATracedSectionStandsInTheStationsOfABlade) {
  const std::string file = write("section.dxf", dxf_oval("9\n$INSUNITS\n70\n4\n"));
  ASSERT_EQ(run(file, {.as = "blade-outline"}), kDone) << err.str();
  std::string piece = out.str();
  const auto open = piece.find("{at = 0,"), close = piece.find("]},\n", open) + 2;
  const std::string station = piece.substr(open, close - open);
  std::string upper = station;
  upper.replace(upper.find("at = 0"), 6, "at = 470");
  const std::string with = ", wall = 1.1";
  for (std::string* s : {&upper}) s->insert(s->size() - 1, with);
  std::string lower = station;
  lower.insert(lower.size() - 1, with);
  const auto job = job::read_job(
      pasted("stations", "\nstations = [\n" + lower + ",\n" + upper + "\n]\n", "stations"), "pasted");
  ASSERT_TRUE(job) << base::sentence(job.error()[0]);
  const auto answer = solve::solve(*job, {.tolerance = false, .changes = false});
  ASSERT_TRUE(answer) << base::sentence(answer.error());
  // an oval of 11 by 14 carries what an ellipse of that size carries
  const bike::Member* blade = bike::find_member(answer->fork.assembly, "blade.left"_part);
  ASSERT_NE(blade, nullptr);
  EXPECT_NEAR(blade->tube.profile.width(200), 22, 0.04);
  EXPECT_NEAR(blade->tube.profile.depth(200), 28, 0.04);
}

TEST_F(Import, AFileWithoutAUnitIsAskedForItAndThenServes) {
  const std::string file = write("section.dxf", dxf_oval());
  EXPECT_EQ(run(file, {.as = "blade-outline", .output = "piece.toml"}), kJobMistakes);
  EXPECT_NE(err.str().find("--units"), std::string::npos) << err.str();
  EXPECT_EQ(files(), 1u) << "nothing is written";
  EXPECT_EQ(run(file, {.as = "blade-outline", .units = "mm", .output = "piece.toml"}), kDone) << err.str();
  // metres: 22 m across
  EXPECT_EQ(run(file, {.as = "blade-outline", .units = "m", .output = "other.toml"}), kJobMistakes);
  EXPECT_NE(err.str().find("mm"), std::string::npos) << "the unit that would fit is named: " << err.str();
}

TEST_F(Import, WhatCantBeUsedIsRefusedWithItsPlaceAndNothingIsWritten) {
  const auto refused = [&](const std::string& file, ImportWords words, const char* says) {
    words.output = "piece.toml";
    const std::size_t before = files();
    EXPECT_EQ(run(file, words), kJobMistakes) << says;
    EXPECT_NE(err.str().find(says), std::string::npos) << err.str();
    EXPECT_NE(err.str().find(file), std::string::npos) << err.str();
    EXPECT_EQ(files(), before);
  };
  std::string open = "x (mm),y (mm)\n", eight = open;
  for (int i = 0; i <= 60; ++i) {
    const double a = 1.5 * base::kPi * i / 60, b = 2 * base::kPi * i / 60;
    open += fmt::format("{:.3f},{:.3f}\n", 12 * std::cos(a), 12 * std::sin(a));
    eight += fmt::format("{:.3f},{:.3f}\n", 12 * std::sin(b), 12 * std::sin(2 * b));
  }
  refused(write("open.csv", open), {.as = "blade-outline"}, "apart");
  refused(write("eight.csv", eight), {.as = "blade-outline"}, "cross");
  refused(write("long.csv", csv_blade(35)), {.as = "blade-centreline"}, "m");  // a blade 15 m long
  refused(write("words.csv", "x (mm),y (mm)\n1,2\n3,left\n"), {.as = "tyre"}, "line 3");
}

TEST_F(Import, WordsThatAreOffFilesThatAreThereFoldersThatAreNot) {
  const std::string file = write("blade.csv", csv_blade());
  EXPECT_EQ(run(file, {.as = "handlebar"}), kUsage);
  EXPECT_EQ(run(file, {.as = "tyre", .units = "furlong"}), kUsage);
  EXPECT_EQ(run((folder / "none.csv").string(), {.as = "tyre"}), kFiles);
  write("there.toml", "mine");
  EXPECT_EQ(run(file, {.as = "blade-centreline", .output = "there.toml"}), kFiles);
  EXPECT_EQ(read(folder / "there.toml"), "mine");
  EXPECT_EQ(run(file, {.as = "blade-centreline", .output = "no/such/piece.toml"}), kFiles);
  EXPECT_EQ(files(), 2u);
}

TEST_F(Import, AMillionPointsAreGathered) {
  std::string text = "x (mm),y (mm)\n";
  text.reserve(20'000'000);
  text +=
      oval(11, 14, 1'000'000, 5, 5, [](double x, double y) { return fmt::format("{:.5f},{:.5f}\n", x, y); });
  ASSERT_EQ(run(write("million.csv", text), {.as = "blade-outline"}), kDone) << err.str();
  EXPECT_NE(err.str().find("1000000"), std::string::npos) << err.str();
}

}  // namespace
}  // namespace halfround::cli
