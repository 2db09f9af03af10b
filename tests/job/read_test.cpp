// Broken jobs: each gets a located, plain sentence; whole jobs keep what was typed.
#include "job/read.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <fstream>
#include <sstream>

#include "base/maths.h"
#include "job/intent.h"
#include "job/starter.h"
#include "job/text_door.h"
#include "solve/documented.h"

namespace halfround::job {
namespace {

using base::Problem;
using base::Problems;
using solve::told;

/// The island's job with one piece of its text replaced.
std::string island(const std::string& from = "", const std::string& to = "") {
  std::ostringstream out;
  out << std::ifstream(SOURCE_DIR "/tests/jobs/v1/island-mail.toml", std::ios::binary).rdbuf();
  std::string text = out.str();
  if (from.empty()) return text;
  const auto at = text.find(from);
  EXPECT_NE(at, std::string::npos) << from;
  if (at != std::string::npos) text.replace(at, from.size(), to);
  return text;
}

std::string all(const Problems& problems) {
  std::string out;
  for (const Problem& p : problems) out += p.code + ": " + base::sentence(p) + "\n";
  return out;
}

/// Exactly one complaint of this code at this key, with a line, and with what was found and what would fit.
void expect_one(const std::string& text, const std::string& code, const std::string& key) {
  const auto job = read_job(text, "fork.toml");
  ASSERT_FALSE(job) << "expected " << code;
  ASSERT_EQ(job.error().size(), 1U) << all(job.error());
  const Problem& p = told(job.error().front());
  EXPECT_EQ(p.code, code) << all(job.error());
  EXPECT_EQ(p.where.key, key) << all(job.error());
  EXPECT_EQ(p.where.file, "fork.toml");
  EXPECT_GT(p.where.line, 0) << all(job.error());
  EXPECT_FALSE(p.what.empty());
  EXPECT_FALSE(p.fits.empty()) << p.what;
}

TEST(ReadJob, KeepsWhatWasTypedAndWhereItStands) {
  const auto job = read_job(island("offset = 44", "offset = \"1 3/4 in\""), "fork.toml");
  ASSERT_TRUE(job) << all(job.error());
  EXPECT_EQ(job->steerer.diameter.typed, "1 1/8 in");
  EXPECT_DOUBLE_EQ(job->steerer.diameter.value, 28.575);
  EXPECT_TRUE(job->steerer.diameter.inches);
  EXPECT_EQ(job->steering.offset.typed, "1 3/4 in");
  EXPECT_EQ(job->steering.axle_to_crown.typed, "407");
  EXPECT_EQ(job->steering.head_angle.typed, "71°30'");
  EXPECT_DOUBLE_EQ(job->steering.head_angle.value, base::to_rad(71.5));
  EXPECT_EQ(job->left.stations[1].width.typed, "18.9");
  EXPECT_EQ(job->left.shape[1].angle.typed, "71 deg");
  EXPECT_FALSE(job->right);
  const base::Place place = place_of(*job, "steering.offset");
  EXPECT_EQ(place.line, 34);
  EXPECT_EQ(place.file, "fork.toml");
  EXPECT_EQ(place_of(*job, "wishes.splay").line, place_of(*job, "wishes").line);
}

TEST(ReadJob, AssumptionsAreNamed) {
  const auto job = read_job(island(), "fork.toml");
  ASSERT_TRUE(job) << all(job.error());
  // every key with a default that the job leaves out, and no key that stands in it
  for (const char* key : {"shares.tilt", "shares.mitre_offset", "shares.dropout_lead", "wishes.lean_to",
                          "sheets.scribe_gap", "printer.paper_thickness", "strength.notch_factor"})
    EXPECT_EQ(std::count(job->assumed.begin(), job->assumed.end(), key), 1) << key;
  for (const std::string& key : job->assumed) EXPECT_FALSE(job->lines.contains(key)) << key;
  EXPECT_EQ(job->shares.remainder, Share::tilt);
}

TEST(ReadJob, ABicycleIsReadOnlyWhereItsSectionStands) {
  const auto without = read_job(island(), "fork.toml");
  ASSERT_TRUE(without) << all(without.error());
  EXPECT_FALSE(without->bicycle);
  const auto empty = read_job(island() + "\n[bicycle]\n", "fork.toml");
  ASSERT_TRUE(empty) << all(empty.error());
  ASSERT_TRUE(empty->bicycle);
  EXPECT_EQ(empty->assumed.size(), without->assumed.size() + 13);
  EXPECT_EQ(empty->bicycle->rider_mass.value, 75);
  EXPECT_FALSE(empty->bicycle->rear_radius);
  const auto some =
      read_job(island() + "\n[bicycle]\nrider_mass = \"150 lb\"\nrear_radius = 310\n", "fork.toml");
  ASSERT_TRUE(some) << all(some.error());
  EXPECT_DOUBLE_EQ(some->bicycle->rider_mass.value, 150 * 0.45359237);
  EXPECT_EQ(some->bicycle->rear_radius->value, 310);
  EXPECT_EQ(some->assumed.size(), without->assumed.size() + 11);
}

TEST(ReadJob, AWrongMassIsRefusedInKilograms) {
  const auto zero = read_job(island() + "\n[bicycle]\nrider_mass = 0\n", "fork.toml");
  ASSERT_FALSE(zero);
  EXPECT_EQ(zero.error()[0].what, "Found 0 kg.");
  EXPECT_EQ(zero.error()[0].fits, "Give a mass from 15 to 300 kg, e.g. 75.");
  const auto force = read_job(island() + "\n[bicycle]\nfront_mass = \"5 N\"\n", "fork.toml");
  ASSERT_FALSE(force);
  EXPECT_EQ(force.error()[0].code, "mass-expected");
  const auto over = read_job(island() + "\n[bicycle]\nrider_ahead = 1150\n", "fork.toml");
  ASSERT_FALSE(over);
  EXPECT_EQ(over.error()[0].code, "weight-outside-wheels");
  EXPECT_GT(over.error()[0].where.line, 80);
}

TEST(ReadJob, ASideOfItsOwnReplacesOnlyTheKeysItNames) {
  const auto job =
      read_job(island("[lower_end]", "[blades.right]\nstock_length = 480\n\n[lower_end]"), "fork.toml");
  ASSERT_TRUE(job) << all(job.error());
  ASSERT_TRUE(job->right);
  EXPECT_EQ(job->right->stock_length->value, 480);
  EXPECT_EQ(job->left.stock_length->value, 472);
  EXPECT_EQ(job->right->stations.size(), job->left.stations.size());
}

TEST(ReadJob, AllProblemsAreReportedTogetherInTheOrderOfTheFile) {
  std::string text = island("offset = 44", "offset = \"72 deg\"");
  text.replace(text.find("axle = 12"), 9, "axle = -3");
  text.replace(text.find("bore = 12"), 9, "bohre = 12");
  const auto job = read_job(text, "fork.toml");
  ASSERT_FALSE(job);
  std::vector<std::string> codes;
  int line = 0;
  for (const Problem& p : job.error()) {
    codes.push_back(p.code);
    EXPECT_GE(p.where.line, line);
    line = p.where.line;
  }
  EXPECT_EQ(codes,
            (std::vector<std::string>{"out-of-range", "length-expected", "key-missing", "key-unknown"}))
      << all(job.error());
}

TEST(ReadJob, ASentenceSaysLineKeyFoundAndWhatFits) {
  const auto job = read_job(island("axle = 12", "axle = -3"), "fork.toml");
  ASSERT_FALSE(job);
  EXPECT_EQ(base::sentence(job.error().front()),
            "fork.toml, line 30, hub.axle: Found -3 mm. Give a length from 4 to 30 mm, e.g. 12.");
}

TEST(ReadJob, AnUnknownKeyIsAnsweredWithTheNearestOne) {
  const auto fits = [](const std::string& from, const std::string& to) {
    const auto job = read_job(island(from, to), "fork.toml");
    for (const Problem& p : job ? Problems{} : job.error()) {
      if (p.code == "key-unknown") return told(p).fits;
    }
    return std::string("no such complaint");
  };
  EXPECT_EQ(fits("over_locknut = 100", "over_lock_nut = 100"), "Did you mean hub.over_locknut?");
  EXPECT_EQ(fits("[steering]", "[stearing]"), "Did you mean steering?");
  EXPECT_EQ(fits("rotor = 160", "rotor = 160\nbead_seat = 3"), "Did you mean wheel.bead_seat?");
  EXPECT_EQ(fits("{straight = 345}", "{straight = 345, radios = 3}"), "Did you mean blades.shape[].radius?");
  EXPECT_EQ(fits("rotor = 160", "rotor = 160\nxqzw = 3"), "Every key is listed in docs/job-file.md.");
}

TEST(ReadJob, WhatIsNoJobAtAllIsStoppedAtTheDoor) {
  const auto code = [](const std::string& text) {
    const auto job = read_job(text, "fork.toml");
    return job ? std::string("read") : job.error().size() == 1 ? told(job.error()[0]).code : all(job.error());
  };
  EXPECT_EQ(code(""), "job-empty");
  EXPECT_EQ(code(" \n\t\r\n"), "job-empty");
  EXPECT_EQ(code(std::string(kLargestJob + 1, ' ')), "job-too-big");
  EXPECT_EQ(code(std::string("a = 1\n\0", 7)), "job-not-text");
  EXPECT_EQ(code("\x7f"
                 "ELF\x02\x01"),
            "job-not-text");
  EXPECT_EQ(code("name = \"\xc3\x28\""), "job-not-text");
  EXPECT_EQ(code("name = \"\xed\xa0\x80\""), "job-not-text");
  EXPECT_EQ(code("a = " + std::string(100'000, '[')), "job-nested-too-deep");
  std::string dots = "a";
  for (int i = 0; i < 100'000; ++i) dots += ".a";
  EXPECT_EQ(code(dots + " = 1"), "job-nested-too-deep");
  EXPECT_EQ(code("[" + dots + "]"), "job-nested-too-deep");
  EXPECT_EQ(code("x = '''\n''''" + dots), "job-nested-too-deep");
  EXPECT_EQ(code("# [[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[["),
            "read" == code("version = 1") ? "read" : code("# x"));
}

TEST(ReadJob, GrammarMistakesHaveTheirLine) {
  expect_one(island("over_locknut = 100", "over_locknut = 28,6"), "toml-syntax", "");
  expect_one(island("over_locknut = 100", "over_locknut ="), "toml-syntax", "");
  expect_one(island("axle = 12", "axle = 12\naxle = 15"), "key-twice", "");
  expect_one(island("[lower_end]", "[hub]\n[lower_end]"), "key-twice", "");
}

TEST(ReadJob, WrongValuesAreLocated) {
  expect_one(island("version = 1", "version = 2"), "version-unknown", "version");
  expect_one(island("axle = 12", "axle = nan"), "not-a-number", "hub.axle");
  expect_one(island("axle = 12", "axle = inf"), "not-a-number", "hub.axle");
  expect_one(island("axle = 12", "axle = 1e300"), "out-of-range", "hub.axle");
  expect_one(island("axle = 12", "axle = 0"), "out-of-range", "hub.axle");
  expect_one(island("axle = 12", "axle = true"), "quantity-expected", "hub.axle");
  expect_one(island("axle = 12", "axle = 1979-05-27"), "quantity-expected", "hub.axle");
  expect_one(island("axle = 12", "axle = \"12 deg\""), "length-expected", "hub.axle");
  expect_one(island("axle = 12", "axle = \"1,234\""), "ambiguous-thousands", "hub.axle");
  expect_one(island("\"71°30'\"", "\"28.6 mm\""), "angle-expected", "steering.head_angle");
  expect_one(island("\"71°30'\"", "95"), "out-of-range", "steering.head_angle");
  expect_one(island("\"straight\"", "\"crooked\""), "choice-unknown", "steering.axle_to_crown_is");
  expect_one(island("name = \"island mail\"", "name = 3"), "text-expected", "job.name");
  expect_one(island("name = \"island mail\"", "name = \"\""), "text-length", "job.name");
  expect_one(island("name = \"island mail\"", "name = \"a\\u0007b\""), "text-not-printable", "job.name");
  expect_one(island("[tolerances]", "[tolerances]\ntolerances = 3"), "key-unknown", "tolerances.tolerances");
  expect_one(island("crown_race = 30", "crown_race = 27"), "crown-race-too-small", "steerer.crown_race");
  expect_one(island("below_seat = 62", "below_seat = 260"), "seat-above-steerer", "steerer.below_seat");
}

TEST(ReadJob, MissingKeysSayWhatBelongsThere) {
  expect_one(island("axle = 12", ""), "key-missing", "hub.axle");
  expect_one(island("bore = 12", ""), "key-missing", "lower_end.bore");
  expect_one(island("rotor = 160", ""), "key-missing", "brake.rotor");
  expect_one(island("walls = [[0, 2.3], [90, 2.3], [130, 1.6]]", ""), "key-missing", "steerer.wall");
  expect_one(island("walls =", "wall = 1\nwalls ="), "both-given", "steerer.walls");
}

TEST(ReadJob, ListsAreHeldAgainstTheirRows) {
  expect_one(island("[90, 2.3]", "[90]"), "row-length", "steerer.walls[2]");
  expect_one(island("[90, 2.3]", "90"), "row-length", "steerer.walls[2]");
  expect_one(island("walls = [[0, 2.3], [90, 2.3], [130, 1.6]]", "walls = 2.3"), "list-expected",
             "steerer.walls");
  expect_one(island("walls = [[0, 2.3], [90, 2.3], [130, 1.6]]", "walls = []"), "list-length",
             "steerer.walls");
  expect_one(island("[90, 2.3]", "[90, 15]"), "out-of-range", "steerer.walls[2].wall");
  expect_one(island("{straight = 34}", "34"), "table-expected", "blades.shape[3]");
}

TEST(ReadJob, StationsRiseAndStayOnTheStock) {
  expect_one(island("[220, 22.0", "[80, 22.0"), "stations-not-rising", "blades.stations[3].at");
  expect_one(island("[470, 24.0", "[500, 24.0"), "station-beyond-stock", "blades.stations[5].at");
  expect_one(island("stock_length = 472", "stock_length = 471"), "stock-too-short", "blades.stock_length");
  expect_one(island("27.1, 1.0]", "9, 5.0]"), "wall-too-thick", "blades.stations[3].wall");
}

TEST(ReadJob, AOneStationBladeIsTheSameAllAlong) {
  const std::string text = island();
  const auto from = text.find("stations = ["), to = text.find("shape = [");
  const auto with = [&](const std::string& stations) {
    std::string out = text;
    out.replace(from, to - from, "stations = " + stations + "\n");
    return out;
  };
  EXPECT_TRUE(read_job(with("[[0, 22, 22, 1]]"), "fork.toml"));
  expect_one(with("[[90, 22, 22, 1]]"), "stations-too-few", "blades.stations");
}

TEST(ReadJob, BendsHaveARadius) {
  expect_one(island("radius = 75", "radius = 0"), "out-of-range", "blades.shape[2].radius");
  expect_one(island("radius = 75, ", ""), "key-missing", "blades.shape[2].radius");
  expect_one(island("radius = 75", "radius = 12"), "bend-too-tight", "blades.shape[2].radius");
  expect_one(island("toward = \"inward\"", "toward = \"up\""), "choice-unknown", "blades.shape[2].toward");
  expect_one(island("bend = \"71 deg\"", "straight = 3, bend = 71"), "both-given", "blades.shape[2].bend");
}

TEST(ReadJob, MeasuredOutlinesGoOnceRound) {
  const auto with = [](const std::string& outline) {
    return island("[220, 22.0, 27.1, 1.0]", "{at = 220, wall = 1.0, outline = " + outline + "}");
  };
  EXPECT_TRUE(
      read_job(with("[[11, 0], [8, 9], [0, 13], [-8, 9], [-11, 0], [-8, -9], [0, -13], [8, -9]]"), "f"));
  EXPECT_TRUE(
      read_job(with("[[11, 0], [8, -9], [0, -13], [-8, -9], [-11, 0], [-8, 9], [0, 13], [8, 9]]"), "f"));
  expect_one(with("[[11, 0], [0, 13], [8, 9], [-8, 9], [-11, 0], [-8, -9], [0, -13], [8, -9]]"),
             "outline-crosses", "blades.stations[3].outline[3]");
  expect_one(with("[[11, 0], [11, 0], [8, 9], [0, 13], [-8, 9], [-11, 0], [0, -13], [8, -9]]"),
             "outline-middle-outside", "blades.stations[3].outline[1]");
  // sides on sides, which cross nowhere; the other way round too
  expect_one(with("[[11, 0], [8, 9], [0, 13], [-8, 9], [-11, 0], [-8, -9], [0, -13], [11, 0], [8, 9], [0, "
                  "13], [-8, 9], "
                  "[-11, 0], [-8, -9], [0, -13], [8, -9]]"),
             "outline-round-twice", "blades.stations[3].outline[8]");
  expect_one(with("[[11, 0], [8, -9], [0, -13], [-8, -9], [-11, 0], [-8, 9], [0, 13], [8, 9], [11, 0], [8, "
                  "-9], [0, -13], "
                  "[-8, -9], [-11, 0], [-8, 9], [0, 13], [8, 9]]"),
             "outline-round-twice", "blades.stations[3].outline[9]");
  expect_one(with("[[11, 0], [8, 9], [0, 13]]"), "list-length", "blades.stations[3].outline");
}

TEST(ReadJob, TyreProfilesGoDownOnce) {
  expect_one(island("[8, 1.1]", "[8, -1]"), "out-of-range", "wheel.tyre.half_profile[2].below_top");
  expect_one(island("[0, 0],\n", "[0, 1],\n"), "tyre-profile-top", "wheel.tyre.half_profile[1]");
  expect_one(island("[21.5, 10]", "[21.5, 4]"), "tyre-profile-not-falling", "wheel.tyre.half_profile[4]");
  expect_one(island("[17, 48.5]", "[10, 1]"), "tyre-profile-crosses", "wheel.tyre.half_profile[8]");
  expect_one(island("[17, 48.5]", "[0, 48.5]"), "tyre-profile-closed", "wheel.tyre.half_profile[9]");
  expect_one(island("[17, 48.5]", "[17, 90]"), "tyre-profile-below-rim", "wheel.tyre.half_profile[9]");
  expect_one(island("[8, 1.1]", "[1, 15]"), "tyre-profile-not-falling", "wheel.tyre.half_profile[3]");
  expect_one(island("outside_diameter = 665", "outside_diameter = 559"), "tyre-smaller-than-rim",
             "wheel.tyre.outside_diameter");
}

TEST(ReadJob, ADesignationFitsItsRim) {
  std::string text = island();
  const auto from = text.find("# measured on this rim"), to = text.find("[hub]");
  const auto with = [&](const std::string& tyre) {
    std::string out = text;
    out.replace(from, to - from, "tyre = \"" + tyre + "\"\n\n");
    return out;
  };
  EXPECT_TRUE(read_job(with("54-559"), "f"));
  expect_one(with("54-622"), "bead-seat-differs", "wheel.tyre");
  expect_one(with("26 x 2.1"), "tyre-designation", "wheel.tyre");
}

TEST(ReadJob, AxleToCrownIsLongerThanOffsetAndWheel) {
  expect_one(island("axle_to_crown = 407", "axle_to_crown = 300"), "axle-to-crown-inside-wheel",
             "steering.axle_to_crown");
  const auto job = read_job(island("axle_to_crown = 407", "axle_to_crown = 150"), "f");
  EXPECT_FALSE(job);
}

TEST(ReadJob, WishesAreTwo) {
  expect_one(island("crown_height = 34", ""), "wishes-not-two", "wishes");
  expect_one(island("crown_height = 34", "crown_height = 34\nsplay = 3"), "wishes-not-two", "wishes");
  expect_one(island("clearance = 8\ncrown_height = 34", ""), "wishes-not-two", "wishes");
}

TEST(ReadJob, OneShareTakesTheRemainder) {
  expect_one(island("[wishes]", "[shares]\ntilt = \"remainder\"\ndropout_lead = \"remainder\"\n[wishes]"),
             "remainder-twice", "shares.dropout_lead");
  expect_one(island("[wishes]", "[shares]\nrake = 12\n[wishes]"), "choice-unknown", "shares.rake");
  const auto job = read_job(island("[wishes]", "[shares]\nmitre_offset = \"remainder\"\n[wishes]"), "f");
  ASSERT_TRUE(job) << all(job.error());
  const auto intent = intent_of(*job);
  ASSERT_TRUE(intent);
  EXPECT_EQ(intent->remainder, layout::Share::mitre_offset);
  EXPECT_EQ(intent->given_shares[0], 0.0);
}

TEST(ReadJob, ComplaintsEnd) {
  std::string text = island();
  for (int i = 0; i < 5000; ++i) text += "\n[odd" + std::to_string(i) + "]\n";
  const auto job = read_job(text, "f");
  ASSERT_FALSE(job);
  EXPECT_LE(job.error().size(), 101U);
  EXPECT_EQ(told(job.error().back()).code, "too-many-problems");
}

TEST(ReadJob, EverySectionOfTheWrongSortIsLocated) {
  for (const char* section : {"job", "wheel", "hub", "steering", "steerer", "blades", "lower_end", "brake",
                              "shares", "wishes", "sheets", "printer", "tolerances"}) {
    const auto job = read_job("version = 1\n" + std::string(section) + " = 3\n", "f");
    ASSERT_FALSE(job);
    bool said = false;
    for (const Problem& p : job.error())
      said |= told(p).code == "table-expected" && p.where.key == section && p.where.line == 2;
    EXPECT_TRUE(said) << section;
  }
}

TEST(Intent, AxleToCrownBecomesTheDropAlongTheAxis) {
  const auto straight = read_job(island(), "f");
  const auto along = read_job(island("\"straight\"", "\"along the axis\""), "f");
  ASSERT_TRUE(straight && along);
  EXPECT_NEAR(intent_of(*straight)->drop, std::sqrt(407.0 * 407 - 44.0 * 44), 1e-12);
  EXPECT_EQ(intent_of(*along)->drop, 407);
}

}  // namespace
}  // namespace halfround::job
