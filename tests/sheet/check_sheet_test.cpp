// The check sheet: every verdict told, pictures that show what the studies say, tidy on both papers.
#include "sheet/check_sheet.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <numeric>

#include "answer_scene.h"
#include "drawing/check_charts.h"
#include "drawing/stress_picture.h"
#include "parts.h"
#include "sheet/check_tables.h"
#include "sheet/clearance_picture.h"

namespace halfround::sheet {
namespace {

study::Handling town_bicycle() {
  study::BicycleParts p;
  p.wheelbase = 1050, p.head_angle = base::to_rad(71.5), p.offset = 44, p.rear_radius = 335,
  p.front_radius = 335;
  p.rider_mass = 75, p.rider_ahead = 350, p.rider_height = 1000;
  p.frame_mass = 5, p.frame_ahead = 360, p.frame_height = 530;
  p.front_mass = 2.6, p.front_behind = 145, p.front_height = 750;
  p.rear_wheel_mass = 2.2, p.front_wheel_mass = 1.75;
  return study::handling(p);
}

/// A triangle of draws from 0 to 3.2 mm, its middle at 1.6, limit at most 2.4.
study::MeasureResult invented_measure() {
  study::MeasureResult m;
  m.key = "centring", m.name = "wheel off the middle", m.unit = "mm";
  m.nominal = 1.6, m.p1 = 0.3, m.p5 = 0.6, m.p50 = 1.6, m.p95 = 2.6, m.p99 = 2.9, m.spread95 = 2.4;
  m.limit = study::OutputLimit{"centring", std::nullopt, 2.4, "the job's tolerance"};
  m.above = 0.125;
  m.bin_start = 0, m.bin_width = 0.05;
  for (int i = 0; i < 64; ++i) m.bins.push_back(static_cast<std::uint64_t>(i < 32 ? i + 1 : 64 - i));
  study::Contribution length, tilt;
  length.of = "length.left", length.plus_minus = 0.3, length.share = 0.6;
  tilt.of = "tilt.left", tilt.plus_minus = base::to_rad(0.5), tilt.share = 0.3;
  m.contributions = {length, tilt};
  return m;
}

bike::Verdict verdict(const std::string& study, double value, double limit, bool at_least = true) {
  return {study,
          "strength-yield",
          study + " something",
          "",
          "mm",
          value,
          bike::Limit{limit, at_least ? bike::Bound::at_least : bike::Bound::at_most, "the job's wish"},
          ""};
}

std::string words_of(const Page& page) {
  std::string out;
  for (const Group& group : page.groups)
    for (const Item& item : group.items)
      if (const auto* text = std::get_if<Text>(&item)) out += text->text + " ";
  return out;
}

int count_of(const std::string& words, const std::string& what) {
  int n = 0;
  for (std::size_t at = words.find(what); at != std::string::npos; at = words.find(what, at + 1)) ++n;
  return n;
}

TEST(CheckSheet, IsTidyOnBothPapersWithLettersForTheBench) {
  const study::Handling bicycle = town_bicycle();
  for (const char* name : {"island-mail", "harbour-mail"}) {
    Solved s = solved_example(name);
    for (const bool rides : {false, true}) {
      if (rides) s.answer.bicycle = bicycle;
      for (const Paper paper : {Paper::a4, Paper::letter}) {
        const Sheet sheet = check_sheet(s.answer, paper, plain_title());
        for (const Page& page : sheet.pages) {
          expect_tidy(page);
          for (const Group& group : page.groups) {
            if (is_furniture(group)) continue;
            for (const Item& item : group.items) {
              const auto* text = std::get_if<Text>(&item);
              if (text) {
                EXPECT_GE(text->height, 2.5) << text->text;
              }
            }
          }
        }
      }
    }
  }
}

TEST(CheckSheet, TellsTheCautionOnceAndEveryVerdictInTheList) {
  const Solved s = solved_example("island-mail");
  const Sheet sheet = check_sheet(s.answer, Paper::a4, plain_title());
  ASSERT_GE(sheet.pages.size(), 2u);
  std::string all, list;
  for (const Page& page : sheet.pages) all += words_of(page);
  for (std::size_t i = 1; i < sheet.pages.size(); ++i) list += words_of(sheet.pages[i]);
  EXPECT_EQ(count_of(all, "not a certificate"), 1);
  const bike::Tally tally = bike::tally_of(s.answer.verdicts);
  EXPECT_EQ(count_of(list, "✗ not met"), tally.not_met);
  EXPECT_EQ(count_of(list, "✓ met"), tally.met);
  EXPECT_EQ(count_of(list, "✓ barely met"), tally.barely_met);
  EXPECT_EQ(count_of(list, "? not known"), tally.unknown);
  EXPECT_EQ(count_of(all, bike::in_words(tally)), 1) << bike::in_words(tally);
}

TEST(CheckSheet, WithoutAnyStudySaysWhyInEachPlace) {
  const Solved s = solved_example("island-mail");
  CheckStudies none;
  none.why_no_strength = "the wall of the left blade is not given";
  const Sheet sheet = check_sheet(s.answer.fork.assembly, s.answer.mitres, none, Paper::a4, plain_title());
  EXPECT_NE(words_of(sheet.pages.at(0)).find("wall of the left blade"), std::string::npos);
  expect_tidy(sheet.pages.at(0));
}

TEST(CheckTables, TheVerdictsToldFirstAreTheWorstOfEveryStudy) {
  const std::vector<bike::Verdict> all{verdict("clearance", 9, 6), verdict("clearance", 7, 6),
                                       verdict("strength", 0.5, 1), verdict("strength", 0.9, 1),
                                       verdict("tolerance", 3, 5, false)};
  const std::vector<double> heights(5, 4.0);
  const auto three = told_first(all, heights, 12.5);
  ASSERT_EQ(three.size(), 3u);
  EXPECT_EQ(three[0].value, 7);
  EXPECT_EQ(three[1].value, 0.5);
  EXPECT_EQ(three[2].value, 3);
  const auto four = told_first(all, heights, 16);
  ASSERT_EQ(four.size(), 4u);
  EXPECT_EQ(four[2].value, 0.9) << "what is not met comes before what is";
  EXPECT_EQ(told_first(all, heights, 20).size(), 5u);
  EXPECT_TRUE(told_first(all, heights, 3).empty());
}

TEST(CheckTables, AnUnknownVerdictIsNeverFoldedAway) {
  bike::Verdict unknown = verdict("strength", 0, 1);
  unknown.value.reset();
  const std::vector<bike::Verdict> all{verdict("strength", 0.5, 1), verdict("strength", 0.6, 1), unknown};
  const auto two = told_first(all, {4, 4, 4}, 8);
  ASSERT_EQ(two.size(), 2u);
  EXPECT_EQ(two[0].value, 0.5);
  EXPECT_EQ(two[1].standing(), bike::Standing::unknown);
}

TEST(CheckTables, AnUnknownVerdictIsNotShownAsMet) {
  bike::Verdict v = verdict("strength", 0, 1);
  v.value.reset();
  v.note = "the wall is not given";
  const Table t = verdict_table({v}, 190, false);
  EXPECT_EQ(t.rows[0][0].text, "? not known");
  EXPECT_NE(t.rows[0][1].text.find("the wall is not given"), std::string::npos);
  EXPECT_EQ(t.rows[0][2].text, "–");
}

TEST(StabilityPlot, TheBandLiesWhereEveryEigenvalueDiesOut) {
  const study::Handling h = town_bicycle();
  ASSERT_TRUE(h.drawn.steady);
  const Group g = drawing::stability_plot(h, {{0, 0}, {100, 60}});
  const auto* band = std::get_if<Area>(&g.items.front());
  ASSERT_TRUE(band);
  // the axes' figures 0 and 10 say where a speed lies
  double at0 = NAN, at10 = NAN;
  for (const Item& item : g.items) {
    const auto* text = std::get_if<Text>(&item);
    if (text && text->anchor == Anchor::centre && text->text == "0") at0 = text->at.x();
    if (text && text->anchor == Anchor::centre && text->text == "10") at10 = text->at.x();
  }
  const auto speed = [&](double x) { return 10 * (x - at0) / (at10 - at0); };
  const Box box = *bounds_of({g.items.front()});
  EXPECT_NEAR(speed(box.min.x()), h.drawn.steady->from_m_s, 1e-6);
  EXPECT_NEAR(speed(box.max.x()), h.drawn.steady->to_m_s.value_or(10), 1e-6);
}

TEST(Charts, OfAnInventedBicycleAndMeasureAreAsAccepted) {
  Page page{.width = 210, .height = 297, .name = "charts", .groups = {}};
  page.groups.push_back(drawing::stability_plot(town_bicycle(), {{15, 200}, {115, 260}}));
  page.groups.push_back(drawing::tolerance_histogram(invented_measure(), {{15, 140}, {85, 185}}));
  page.groups.push_back(drawing::tolerance_ranking(
      invented_measure(),
      {{"length.left", "length of the left blade", false}, {"tilt.left", "tilt of the left blade", true}},
      {{95, 140}, {195, 185}}));
  furnish(page, plain_title());
  expect_tidy(page);
  expect_golden({.stem = "charts", .title = "charts", .pages = {page}}, "check-charts");
}

TEST(StressPicture, TheBandIsAsWideAsTheWorstCase) {
  study::Strength s;
  const auto at = [](double place, double margin) {
    study::StressStation q;
    q.s = place, q.margin = margin;
    return q;
  };
  study::CaseResult a, b;
  a.members = {{"blade.left"_part, {at(10, 4), at(200, 2)}}};
  b.members = {{"blade.left"_part, {at(10, 8), at(200, 1.25)}}};
  s.cases = {a, b};
  const auto use = drawing::utilisation(s, "blade.left"_part);
  ASSERT_EQ(use.size(), 2u);
  EXPECT_DOUBLE_EQ(use[0].share, 0.25);
  EXPECT_DOUBLE_EQ(use[1].share, 0.8);
  EXPECT_TRUE(drawing::utilisation(s, "steerer"_part).empty());
  EXPECT_FALSE(drawing::weakest(s));
  study::WeakPlace place;
  place.member = "blade.left"_part, place.margin = 1.25;
  s.cases[1].fatigue = place;
  place.margin = 2;
  s.cases[0].yield = place;
  ASSERT_TRUE(drawing::weakest(s));
  EXPECT_TRUE(drawing::weakest(s)->fatigue);
}

TEST(StressPicture, SaysAMarginAndItsLeaderCrossesNoWords) {
  for (const char* name : {"island-mail", "slip-mail", "quarry-mail"}) {
    const Solved s = solved_example(name);
    const Group g =
        drawing::stress_picture(s.answer.fork.assembly, s.answer.mitres, s.answer.strength, {{0, 0}, {120, 60}});
    std::vector<Text> words;
    for (const Item& item : g.items)
      if (const auto* text = std::get_if<Text>(&item)) words.push_back(*text);
    ASSERT_TRUE(
        std::ranges::any_of(words, [](const Text& t) { return t.text.starts_with("weakest: margin "); }));
    EXPECT_FALSE(std::ranges::any_of(words, [](const Text& t) {
      return t.text.find(" of yield") != std::string::npos || t.text.find(" of fatigue") != std::string::npos;
    }));
    for (const Item& item : g.items) {
      const auto* path = std::get_if<Path>(&item);
      if (!path || path->points.size() != 2 || path->stroke.dash != Dash::solid) continue;
      for (int i = 0; i <= 100; ++i) {
        const Vec2 p = path->points[0] + 0.01 * i * (path->points[1] - path->points[0]);
        for (const Text& t : words) {
          const Box letters = *bounds_of({Item(t)});
          const bool inside = p.x() > letters.min.x() + 0.7 && p.x() < letters.max.x() - 0.7 &&
                              p.y() > letters.min.y() + 0.7 && p.y() < letters.max.y() - 0.7;
          EXPECT_FALSE(inside) << name << ": " << t.text;
        }
      }
    }
  }
}

TEST(ScatterInWords, AMeasureThatGoesBothWaysHasNoHalfBelowNothing) {
  study::MeasureResult m;
  m.unit = "mm", m.p5 = -0.52, m.p50 = -0.001, m.p95 = 0.53, m.spread95 = 1.2;
  const std::string words = drawing::scatter_in_words(m, 20000);
  EXPECT_EQ(words.find("below"), std::string::npos) << words;
  EXPECT_EQ(words.rfind("9 of 10 forks come out between −0.52 and 0.53 mm", 0), 0u) << words;
  m.p5 = 0.2, m.p50 = 0.56, m.p95 = 1.24;
  EXPECT_EQ(drawing::scatter_in_words(m, 20000).rfind("Half of the forks come out below 0.56", 0), 0u);
}

TEST(ClearancePicture, SaysTheLeastGapOfTheWheelAndDrawsItToScale) {
  const Solved s = solved_example("island-mail");
  const Group g = clearance_picture(s.answer.fork.assembly, s.answer.clearance, {{0, 0}, {70, 60}});
  const auto it =
      std::find_if(s.answer.clearance.items.begin(), s.answer.clearance.items.end(), [](const auto& i) {
        return i.body.kind == bike::PartKind::tyre || i.body.kind == bike::PartKind::rim ||
               i.body.kind == bike::PartKind::mudguard;
      });
  ASSERT_NE(it, s.answer.clearance.items.end());
  double scale = 0;
  for (const Item& item : g.items) {
    const auto* text = std::get_if<Text>(&item);
    const std::size_t at = text ? text->text.find("scale ") : std::string::npos;
    if (at != std::string::npos) scale = std::stod(text->text.substr(at + 6));
  }
  // the gap is the one thick line of two points
  double length = 0;
  for (const Item& item : g.items) {
    const auto* path = std::get_if<Path>(&item);
    if (path && path->points.size() == 2 && path->stroke.weight == Weight::thick)
      length = (path->points[1] - path->points[0]).norm();
  }
  EXPECT_NEAR(length / scale, it->value, 0.02 * it->value);
}

}  // namespace
}  // namespace halfround::sheet
