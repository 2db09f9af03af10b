// From a job to an answer: what can't be built is said with its amount, and the amount is right.
#include "solve/solve.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cstdio>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "job/read.h"
#include "job/revision_words.h"
#include "job/starter.h"
#include "parts.h"
#include "speak/answer_json.h"
#include "speak/answer_text.h"

namespace halfround::solve {
namespace {

/// The starter job with one line's value exchanged.
std::string starter_with(const std::string& key, const std::string& value) {
  std::string text = job::starter_job();
  const auto at = text.find("\n" + key + " = ");
  EXPECT_NE(at, std::string::npos) << key;
  const auto end = text.find('\n', at + 1);
  return text.replace(at + 1, end - at - 1, key + " = " + value);
}

base::Result<Answer> solved(const std::string& text) {
  auto job = job::read_job(text, "job.toml");
  EXPECT_TRUE(job) << (job ? "" : base::sentence(job.error().front()));
  return solve(*job);
}

TEST(Solve, BladesTooShortAreSaidWithTheLengthThatHelps) {
  const auto found = solved(starter_with("axle_to_crown", "470"));
  ASSERT_FALSE(found);
  EXPECT_EQ(found.error().code, "stock-too-short");
  EXPECT_GT(found.error().where.line, 0);
  double missing = 0;
  ASSERT_EQ(std::sscanf(found.error().fits.c_str(), "It fits with %lf mm less", &missing), 1)
      << found.error().fits;
  EXPECT_TRUE(solved(starter_with("axle_to_crown", std::to_string(470 - missing - 0.3))));
  EXPECT_FALSE(solved(starter_with("axle_to_crown", std::to_string(470 - 0.9 * missing))));
}

TEST(Solve, ARightBladeTooShortAtItsDropoutIsRefusedToo) {
  std::ifstream in(SOURCE_DIR "/examples/harbour-mail/fork.toml");
  std::stringstream text;
  text << in.rdbuf();
  ASSERT_TRUE(solved(text.str()));
  // the right blade lacks 30 mm below its forward bend
  const std::string shorter =
      "\n[blades.right]\nshape = [{bend = 20, radius = 240, toward = \"forward\"}, {straight = 200}, "
      "{bend = 68, radius = 60, toward = \"inward\"}, {straight = 40}]\nstock_length = 395\n";
  const auto found = solved(text.str() + shorter);
  ASSERT_FALSE(found);
  EXPECT_EQ(found.error().code, "stock-too-short");
  EXPECT_NE(found.error().what.find("right blade"), std::string::npos) << found.error().what;
}

TEST(Solve, WithoutAWallStrengthIsUnknownAndTheOthersAnswer) {
  std::string text = job::starter_job();
  const auto at = text.find("[330, 24, 30, 1.5]");
  ASSERT_NE(at, std::string::npos);
  text.replace(at, 18, "{at = 330, width = 24, depth = 30}");
  const auto a = solved(text);
  ASSERT_TRUE(a) << base::sentence(a.error());
  EXPECT_NE(a->strength.unknown.find("wall"), std::string::npos) << a->strength.unknown;
  EXPECT_FALSE(a->mass.total);
  EXPECT_FALSE(a->clearance.items.empty());
  EXPECT_TRUE(a->tolerance);
  bool said = false;
  for (const bike::Verdict& v : a->verdicts)
    said = said || (v.study == "strength" && v.standing() == bike::Standing::unknown && !v.value);
  EXPECT_TRUE(said);
}

/// The starter with another metal for its blades.
std::string with_blades_of(const std::string& material) {
  std::string text = job::starter_job();
  const std::string left_out = "# blades = \"Cr-Mo 4130\"";
  const auto at = text.find(left_out);
  EXPECT_NE(at, std::string::npos);
  return text.replace(at, left_out.size(), "blades = \"" + material + "\"");
}

// 2026-12-01: brass at 910 C was planned for aluminium, which melts below 650 C, without a word.
TEST(Solve, NoFillerIsPlannedForAMetalItDoesNotSuit) {
  for (const auto& [name, code] : {std::pair{"aluminium 6061-T6", "filler-material"},
                                   {"titanium 3Al-2.5V", "filler-material"},
                                   {"stainless 304", "filler-stainless"}}) {
    const auto a = solved(with_blades_of(name));
    ASSERT_TRUE(a) << base::sentence(a.error());
    ASSERT_TRUE(a->joining.refused) << name;
    EXPECT_EQ(a->joining.refused->code, code) << name;
    EXPECT_EQ(a->joining.refused->where.key, "material.blades");
    EXPECT_TRUE(a->joining.joints.empty() && a->joining.shopping.empty() && a->joining.steps.empty());
    EXPECT_FALSE(a->joining.vents.empty());  // closed tubes are not heated by any flame
    ASSERT_FALSE(a->notes.empty());
    EXPECT_EQ(a->notes.front().code, code) << name;
    EXPECT_EQ(a->mitres.size(), 4u);
    EXPECT_NE(speak::to_text(*a).find("Joining: no plan. " + a->joining.refused->what), std::string::npos);
  }
}

// 2026-12-01: a minus typed before the offset gave a fork with its axle behind the steering axis, and no
// word.
TEST(Solve, AnAxleBehindTheSteeringAxisIsWarnedOf) {
  std::string job = job::starter_job();
  const auto at = job.find("offset = 44");
  job.replace(at, 11, "offset = -44");
  const auto a = solved(job);
  ASSERT_TRUE(a) << base::sentence(a.error());
  EXPECT_EQ(a->notes.front().code, "offset-behind");
  EXPECT_EQ(a->notes.front().where, "steering.offset");
  EXPECT_NE(a->notes.front().what.find("-44.0 mm"), std::string::npos);
}

// one stainless part among steel ones is enough; the offered fillers are taken
TEST(Solve, TheFillersOfferedForStainlessSteelAreTaken) {
  for (const std::string part : {"steerer", "blades", "lower_end"}) {
    std::string job = job::starter_job();
    const auto at = job.find("[material]") + 10;
    const auto line = job.find("\n" + part + " = ", at);
    if (line != std::string::npos && line < job.find("\n[", at))
      job.erase(line, job.find('\n', line + 1) - line);
    job.insert(at, "\n" + part + " = \"stainless 304\"");
    const auto brass = solved(job);
    ASSERT_TRUE(brass) << base::sentence(brass.error());
    ASSERT_TRUE(brass->joining.refused) << part;
    EXPECT_EQ(brass->joining.refused->where.key, "material." + part);
    for (const char* silver : {"BAg-24", "BAg-22"}) {
      EXPECT_NE(brass->joining.refused->fits.find(silver), std::string::npos);
      std::string with = job;
      with.insert(with.find("[joining]") + 9, fmt::format("\npasses = [[\"{}\", 2]]", silver));
      const auto a = solved(with);
      ASSERT_TRUE(a) << base::sentence(a.error());
      EXPECT_FALSE(a->joining.refused) << part << ", " << silver;
      EXPECT_FALSE(a->joining.joints.empty());
    }
  }
}

TEST(Solve, StudiesAnswerWhatTheJobAsks) {
  const auto plain = solved(job::starter_job());
  ASSERT_TRUE(plain) << base::sentence(plain.error());
  ASSERT_TRUE(plain->strength.unknown.empty()) << plain->strength.unknown;
  EXPECT_GT(plain->strength.fore_aft, 0);
  EXPECT_GT(plain->joining.mass, 0);
  EXPECT_FALSE(plain->changes.empty());
  const auto guarded = solved(job::starter_job() + "\n[mudguard]\nhalf_width = 32\n");
  ASSERT_TRUE(guarded);
  const auto has = [](const Answer& a, bike::PartKind body) {
    return std::any_of(a.clearance.items.begin(), a.clearance.items.end(),
                       [&](const study::ClearanceItem& i) { return i.body.kind == body; });
  };
  EXPECT_TRUE(has(*guarded, bike::PartKind::mudguard));
  EXPECT_FALSE(has(*plain, bike::PartKind::mudguard));
  const auto toed =
      solved(job::starter_job() + "\n[pedals]\ncrank_length = 170\nfront_centre = 610\nbracket_drop = 60\n");
  ASSERT_TRUE(toed);
  EXPECT_TRUE(toed->clearance.toe);
  EXPECT_FALSE(plain->clearance.toe);
}

TEST(Solve, SmallPartsStandInTheOrderOfTheWork) {
  const std::string parts =
      "\n[[features]]\nkind = \"guide\"\non = \"left blade\"\nat = 200\nclock = 90\nsize = 6\n"
      "\n[[features]]\nkind = \"pinch lug\"\non = \"right insert\"\nat = 5\nsize = 10\n";
  const auto a = solved(job::starter_job() + parts);
  ASSERT_TRUE(a);
  ASSERT_GE(a->features.size(), 2u);
  EXPECT_EQ(a->features.front().kind, study::FeatureKind::pinch_lug);
  EXPECT_EQ(a->features.back().member, "blade.left"_part);
  EXPECT_NEAR(a->features.back().u, base::kPi / 2, 1e-12);
  const auto off = solved(job::starter_job() +
                          "\n[[features]]\nkind = \"boss\"\non = \"left blade\"\nat = 890\nsize = 9\n");
  ASSERT_FALSE(off);
  EXPECT_EQ(off.error().code, "feature-place");
  EXPECT_GT(off.error().where.line, 0);
}

TEST(Solve, ADiscBrakeHasItsMountAndTheRotorsPlaceMovesIt) {
  std::string disc = job::starter_job();
  disc.replace(disc.find("[brake]\n"), 8, "[brake]\nmount = \"post\"\nrotor = 160\n");
  const auto a = solved(disc);
  ASSERT_TRUE(a);
  ASSERT_TRUE(a->mount);
  EXPECT_EQ(a->mount->feet.size(), 2u);
  disc.replace(disc.find("[brake]\n"), 8, "[brake]\nrotor_from_hub = 12.5\n");
  const auto b = solved(disc);
  ASSERT_TRUE(b);
  EXPECT_NEAR(b->mount->lateral, a->mount->lateral - 2, 1e-12);
  EXPECT_FALSE(solved(job::starter_job())->mount);
}

TEST(Solve, AShopsRodsAndPlusMinusCount) {
  shop::Shop shop;
  shop.rods = {{"thick", "RBCuZn-C", 4}};
  shop.tolerances = {{"blade_from_hub", 0.001}};  // the starter says nothing of it
  const auto job = job::read_job(job::starter_job() + "\n", "job.toml");
  ASSERT_TRUE(job);
  const auto a = solve(*job, {.shop = &shop}), without = solve(*job);
  ASSERT_TRUE(a && without);
  ASSERT_EQ(a->joining.shopping.at(0).rods.size(), 1u);
  EXPECT_TRUE(a->joining.shopping[0].on_the_rack);
  EXPECT_FALSE(without->joining.shopping.at(0).on_the_rack);
  const auto scatter = [](const Answer& x) {
    double all = 0;
    for (const auto& m : x.tolerance->measures) all += m.sd;
    return all;
  };
  EXPECT_LT(scatter(*a), scatter(*without));
}

TEST(Solve, FillersAreTheBuilders) {
  std::string text = job::starter_job();
  text.replace(text.find("[joining]\n"), 10,
               "[joining]\npasses = [[\"RBCuZn-D\", 2], [\"BAg-24\", 6]]\nwaste = 1\n");
  const auto a = solved(text);
  ASSERT_TRUE(a) << base::sentence(a.error());
  EXPECT_EQ(a->joining.shopping.size(), 2u);
  EXPECT_EQ(a->joining.waste, 1);
  text.replace(text.find("BAg-24"), 6, "BAg-1");
  const auto refused = solved(text);
  ASSERT_FALSE(refused);
  EXPECT_EQ(refused.error().code, "filler-cadmium");
  EXPECT_GT(refused.error().where.line, 0);
}

TEST(Solve, FrontCentreFollowsFromTheFrame) {
  const auto a =
      solved(job::starter_job() + "\n[bicycle]\nwheelbase = 1050\nchainstay = 450\nbracket_drop = 60\n");
  ASSERT_TRUE(a);
  ASSERT_TRUE(a->front_centre);
  // equal wheels: level = 1050 - sqrt(450^2 - 60^2)
  EXPECT_NEAR(a->front_centre->level, 1050 - std::sqrt(450.0 * 450 - 60 * 60), 1e-9);
  EXPECT_NEAR(a->front_centre->straight, std::hypot(a->front_centre->level, 60), 1e-9);
}

TEST(Solve, ATyreTooWideForTheBladesIsRefusedEitherWay) {
  const auto wished = solved(starter_with("tyre", "\"110-559\""));
  ASSERT_FALSE(wished);
  EXPECT_EQ(wished.error().code, "wish-unreachable");
  EXPECT_NE(wished.error().fits.find("narrower tyre"), std::string::npos) << wished.error().fits;
  std::string text = starter_with("tyre", "\"80-559\"");
  const auto at = text.find("\nclearance = ");
  text.replace(at + 1, text.find('\n', at + 1) - at - 1, "splay = 2");
  const auto blind = solved(text);
  ASSERT_FALSE(blind);
  EXPECT_EQ(blind.error().code, "tyre-too-wide");
}

TEST(Solve, AJointAboveTheSeatIsRefused) {
  const auto found = solved(starter_with("crown_height", "4"));
  ASSERT_FALSE(found);
  EXPECT_EQ(found.error().code, "joint-above-seat");
  double lower = 0;
  ASSERT_EQ(std::sscanf(found.error().fits.c_str(), "It fits with a crown height of %lf mm or more", &lower),
            1)
      << found.error().fits;
  EXPECT_TRUE(solved(starter_with("crown_height", std::to_string(lower))));
}

TEST(Solve, TheNumbersAskedForComeOut) {
  const auto a = solved(job::starter_job());
  ASSERT_TRUE(a);
  EXPECT_NEAR(a->handling.axle_to_crown_straight, 408, 1e-9);
  EXPECT_NEAR(a->fork.left.clearance.value, 8, 1e-6);
  EXPECT_NEAR(a->fork.left.crown_height, 34, 1e-6);
  EXPECT_NEAR(a->fork.left.shares.sum(), 44, 1e-9);
  EXPECT_EQ(a->mitres.size(), 4u);
}

TEST(Solve, AWiderHubOnlySpreadsTheBlades) {
  const auto narrow = solved(job::starter_job()), wide = solved(starter_with("over_locknut", "110"));
  ASSERT_TRUE(narrow && wide);
  EXPECT_NEAR(wide->fork.left.clearance.value, 8, 1e-6);
  const auto end = [](const Answer& a) {
    const bike::Member* m = bike::find_member(a.fork.assembly, "blade.left"_part);
    return m->tube.centreline.point(m->s_start).y();
  };
  EXPECT_NEAR(end(*wide) - end(*narrow), 5.0, 1e-9);  // 100 to 110 mm takes 5.0 mm a side [common practice]
  EXPECT_GT(wide->fork.left.splay, narrow->fork.left.splay);
}

TEST(Solve, TheMassIsInTheTablesAndInTheJson) {
  auto a = solved(job::starter_job());
  ASSERT_TRUE(a && a->mass.total);
  // members, plates and the filler of four joints
  ASSERT_EQ(a->mass.parts.size(), a->fork.assembly.members.size() + a->fork.assembly.plates.size() + 4);
  const auto& insert = a->mass.parts[2];
  EXPECT_EQ(insert.part, "insert.left"_part);
  EXPECT_NEAR(*insert.mass, base::kPi / 4 * (24 * 24 - 12 * 12) * 20 * 7850e-9, 1e-12);
  EXPECT_NEAR(*a->mass.parts[1].mass, *a->mass.parts[3].mass, 1e-6);  // mirror images
  const auto j = nlohmann::json::parse(speak::to_json(*a));
  EXPECT_DOUBLE_EQ(j["mass"]["total"].get<double>(), *a->mass.total);
  a->mass.parts[1].mass.reset(), a->mass.total.reset();
  EXPECT_NE(speak::to_text(*a).find("unknown: its wall isn't given"), std::string::npos);
  EXPECT_TRUE(nlohmann::json::parse(speak::to_json(*a))["mass"]["total"].is_null());
}

TEST(Solve, ABicycleSectionAddsItsTableAndChangesNothingElse) {
  const auto plain = solved(job::starter_job()),
             ridden = solved(job::starter_job() + "\n[bicycle]\nwheelbase = 1020\n");
  ASSERT_TRUE(plain && ridden);
  EXPECT_FALSE(plain->bicycle);
  ASSERT_TRUE(ridden->bicycle);
  EXPECT_NEAR(ridden->bicycle->drawn.trail, ridden->handling.trail, 1e-9);
  EXPECT_EQ(ridden->bicycle->drawn.wheelbase, 1020);
  EXPECT_EQ(speak::to_text(*plain).find("hands off"), std::string::npos);
  EXPECT_NE(speak::to_text(*ridden).find("holds itself upright"), std::string::npos);
  auto a = nlohmann::json::parse(speak::to_json(*plain)), b = nlohmann::json::parse(speak::to_json(*ridden));
  EXPECT_FALSE(a.contains("bicycle"));
  EXPECT_EQ(b["bicycle"]["by_offset"].size(), 3u);
  b.erase("bicycle");
  a.erase("notes"), b.erase("notes");  // the defaults that were taken
  EXPECT_EQ(a, b);
}

TEST(Solve, ABicycleThatNeverHoldsItselfUpIsAnswered) {
  auto a = solved(job::starter_job() + "\n[bicycle]\n");
  ASSERT_TRUE(a);
  a->bicycle->drawn.steady.reset();
  a->bicycle->drawn.weave_m_s.reset();
  EXPECT_NE(speak::to_text(*a).find("at no speed"), std::string::npos);
  EXPECT_TRUE(nlohmann::json::parse(speak::to_json(*a))["bicycle"]["drawn"]["weave_m_s"].is_null());
}

TEST(Solve, TheSameTextGivesTheSameAnswer) {
  const auto a = solved(job::starter_job()), b = solved(job::starter_job());
  ASSERT_TRUE(a && b);
  EXPECT_EQ(speak::to_json(*a), speak::to_json(*b));
  EXPECT_EQ(speak::to_text(*a), speak::to_text(*b));
}

TEST(Solve, TheRevisionFollowsTheText) {
  EXPECT_EQ(job::revision_of(""), "811c9dc5");   // FNV-1a's offset basis
  EXPECT_EQ(job::revision_of("a"), "e40c292c");  // published test vector of FNV-1a, 32 bits [memory]
  EXPECT_NE(job::revision_of("offset = 44"), job::revision_of("offset = 45"));
}

}  // namespace
}  // namespace halfround::solve
