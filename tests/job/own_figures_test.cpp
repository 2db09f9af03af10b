// What a builder can weigh, measure or read off a mill's sheet instead of typing a number nobody told him.
#include <gtest/gtest.h>

#include <cmath>

#include "job/edit.h"
#include "job/intent.h"
#include "job/read.h"
#include "job/starter.h"
#include "solve/documented.h"
#include "solve/solve.h"

namespace halfround::job {
namespace {

using solve::told;

std::string edited(std::string text, const std::vector<Edit>& edits) {
  auto out = edited_text(text, edits, "job.toml");
  EXPECT_TRUE(out) << (out ? "" : base::sentence(out.error()));
  return out ? *out : text;
}

solve::Answer solved(const std::string& text) {
  const auto job = read_job(text, "job.toml");
  EXPECT_TRUE(job) << (job ? "" : base::sentence(job.error().front()));
  auto answer = solve::solve(*job, {.tolerance = false, .changes = false});
  EXPECT_TRUE(answer) << (answer ? "" : base::sentence(answer.error()));
  return std::move(*answer);
}

base::Problem refusal(const std::string& text) {
  const auto job = read_job(text, "job.toml");
  if (!job) return told(job.error().front());
  const auto answer = solve::solve(*job, {.tolerance = false, .changes = false});
  return answer ? base::Problem{"accepted", {}, "", ""} : told(answer.error());
}

bool noted(const solve::Answer& a, const std::string& code) {
  return std::ranges::find(a.notes, code, &solve::Note::code) != a.notes.end();
}

bike::Blade straight_tube(double at_tip, double at_top, double length) {
  bike::Blade out;
  out.stations = {{0, at_tip, at_tip, 0, nullptr}, {length, at_top, at_top, 0, nullptr}};
  out.runs = {{length, 0, 0}};
  out.stock_length = length;
  return out;
}

// closed forms: a round tube pi (D - t) t L, a cone the same with its mean diameter
TEST(WallByWeight, OfATubeAndAConeIsTheClosedForms) {
  constexpr double kDensity = 7850, kPerKg = 1e9;
  for (const auto& [tip, top] : {std::pair{24.0, 24.0}, {16.0, 28.6}, {28.6, 13.0}}) {
    for (const double wall : {0.5, 0.9, 1.37, 2.4}) {
      const double length = 437, mean = (tip + top) / 2;
      const double mass = base::kPi * (mean - wall) * wall * length * kDensity / kPerKg;
      const auto found = wall_by_weight(straight_tube(tip, top, length), mass, kDensity);
      ASSERT_TRUE(found);
      EXPECT_NEAR(*found, wall, 1e-7) << tip << " " << top;
    }
  }
}

TEST(WallByWeight, NoWallWeighsTooLittleOrTooMuch) {
  EXPECT_FALSE(wall_by_weight(straight_tube(24, 24, 400), 0.01, 7850));
  EXPECT_FALSE(wall_by_weight(straight_tube(24, 24, 400), 3, 7850));
}

std::string without_walls(const std::string& mass) {
  std::string text = starter_job();
  const auto job = read_job(text, "job.toml");
  std::vector<Edit> edits{{"blades.measured_mass", "\"" + mass + "\""}};
  std::string rows;
  for (const Station& s : job->left.stations)
    rows += "{at = " + s.at.typed + ", width = " + s.width.typed + ", depth = " + s.depth.typed + "}, ";
  edits.push_back({"blades.stations", "[" + rows + "]"});
  return edited(text, edits);
}

TEST(WallByWeight, AForkWithoutWallsGetsOneAndSaysSo) {
  const solve::Answer a = solved(without_walls("320 g"));
  EXPECT_TRUE(noted(a, "wall-by-weight"));
  ASSERT_GT(a.intent.left.stations.front().wall, 0.3);
  const auto mass = stock_mass(a.intent.left, 7850);
  ASSERT_TRUE(mass);
  EXPECT_NEAR(*mass, 0.320, 1e-6);
  EXPECT_TRUE(a.strength.unknown.empty()) << a.strength.unknown;
  const base::Problem p = refusal(without_walls("25 g"));
  EXPECT_EQ(p.code, "mass-without-wall");
  EXPECT_GT(p.where.line, 0);
}

TEST(WallByWeight, TypedWallsAreHeldAgainstTheScales) {
  const solve::Answer as_typed = solved(starter_job());
  const double grams = 1000 * *stock_mass(as_typed.intent.left, 7850);
  const auto with = [](double g) {
    return solved(edited(starter_job(), {{"blades.measured_mass", "\"" + std::to_string(g) + " g\""}}));
  };
  EXPECT_FALSE(noted(with(grams * 1.04), "weight-differs"));
  EXPECT_TRUE(noted(with(grams * 0.94), "weight-differs"));
  EXPECT_TRUE(noted(with(grams * 1.06), "weight-differs"));
}

TEST(LoadedRadius, TrailIsThatOfTheGroundTheRiderStandsOn) {
  const solve::Answer plain = solved(starter_job());
  const double less = plain.handling.wheel_radius - 6;
  const solve::Answer a = solved(edited(starter_job(), {{"wheel.loaded_radius", std::to_string(less)}}));
  ASSERT_TRUE(a.handling.loaded_trail);
  EXPECT_EQ(a.handling.trail, plain.handling.trail);
  // 6 mm of radius move the contact by 6 / tan(head angle) under the steering axis
  EXPECT_NEAR(plain.handling.trail - *a.handling.loaded_trail, 6 / std::tan(plain.handling.head_angle), 1e-5);
  const base::Problem p =
      refusal(edited(starter_job(), {{"wheel.loaded_radius", std::to_string(less + 12)}}));
  EXPECT_EQ(p.code, "loaded-radius");
  ASSERT_FALSE(p.offers.empty());
  EXPECT_EQ(refusal(edited(starter_job(), {{p.offers[0].key, p.offers[0].typed}})).code, "accepted");
}

TEST(LeaveOut, ALoadLeftOutIsNotJudgedAndItsReasonIsTold) {
  const solve::Answer all = solved(starter_job());
  for (const auto& row : study::kPublishedLoads) {
    const std::string name(row.key);
    const solve::Answer a = solved(edited(
        starter_job(),
        {{"strength.leave_out", "[{load = \"" + name + "\", reason = \"a fork for the stand only\"}]"}}));
    for (const study::CaseResult& c : a.strength.cases) EXPECT_NE(c.load.name, name);
    const auto there = [&](const study::CaseResult& c) { return c.load.name == name; };
    EXPECT_EQ(a.strength.cases.size() + (std::ranges::any_of(all.strength.cases, there) ? 1 : 0),
              all.strength.cases.size());
    const auto note = std::ranges::find(a.notes, std::string("load-left-out"), &solve::Note::code);
    ASSERT_NE(note, a.notes.end());
    EXPECT_NE(note->what.find("a fork for the stand only."), std::string::npos) << note->what;
  }
  EXPECT_EQ(refusal(edited(starter_job(), {{"strength.leave_out", "[{load = \"rearward impact\"}]"}})).code,
            "key-missing");
}

std::string of_own(double yield, const std::vector<Edit>& more = {}) {
  std::vector<Edit> edits{{"material.blades", "\"own\""},
                          {"material.steerer", "\"own\""},
                          {"material.own.yield", std::to_string(yield)},
                          {"material.own.ultimate", "1600"},
                          {"material.own.joined_yield", std::to_string(yield)},
                          {"material.own.joined_ultimate", "1600"},
                          {"material.own.source", "\"the mill's sheet\""}};
  edits.insert(edits.end(), more.begin(), more.end());
  return edited(starter_job(), edits);
}

TEST(OwnMaterial, TwiceTheYieldStrengthIsTwiceTheMargin) {
  const solve::Answer once = solved(of_own(400)), twice = solved(of_own(800));
  EXPECT_TRUE(noted(once, "own-material"));
  int compared = 0;
  for (std::size_t i = 0; i < once.strength.cases.size(); ++i) {
    const auto &p = once.strength.cases[i].yield, &q = twice.strength.cases[i].yield;
    if (!p || !q || once.strength.cases[i].load.kind == study::LoadKind::impact) continue;
    EXPECT_NEAR(q->margin, 2 * p->margin, 1e-9 * p->margin);
    ++compared;
  }
  EXPECT_GT(compared, 0);
}

TEST(OwnMaterial, FiguresThatCannotBeAreRefusedAndWhatIsMissingIsAskedFor) {
  EXPECT_EQ(refusal(of_own(1700)).code, "material-order");
  EXPECT_EQ(refusal(of_own(400, {{"material.own.joined_yield", "500"}})).code, "material-order");
  EXPECT_EQ(refusal(edited(starter_job(), {{"material.blades", "\"own\""}})).code, "key-missing");
}

TEST(Rows, AnUnknownWallIsLeftOutInBracesAsTheSentenceSays) {
  const base::Problem p =
      refusal(edited(starter_job(), {{"blades.stations", "[[0, 16, 16], [400, 28, 20]]"}}));
  EXPECT_EQ(p.code, "row-length");
  EXPECT_NE(p.fits.find("Without what is not known: {at ="), std::string::npos) << p.fits;
}

}  // namespace
}  // namespace halfround::job
