#include "exchange/exchange.h"

#include <gtest/gtest.h>

#include <cmath>
#include <set>

#include "exchange/csv.h"
#include "exchange/csv_tables.h"
#include "exchange/cut_drawing.h"
#include "exchange/cut_svg.h"
#include "exchange/dxf.h"
#include "job/shop_read.h"
#include "sheet/answer_scene.h"

namespace halfround::exchange {
namespace {

using base::kPi;

/// A slot with round ends, 20 long and 6 wide, about the origin.
Contour slot() {
  return {.corners = {{{-7, -3}, 0}, {{7, -3}, 1}, {{7, 3}, 0}, {{-7, 3}, 1}}, .closed = true};
}

TEST(CutDrawing, ArcsAreMeasuredExactly) {
  EXPECT_NEAR(length_of(slot()), 28 + 6 * kPi, 1e-12);
  EXPECT_NEAR(area_of(slot()), 84 + 9 * kPi, 1e-12);
  const Box box = bounds_of({slot()});
  EXPECT_NEAR(box.max.x(), 10, 1e-12);
  EXPECT_NEAR(box.min.x(), -10, 1e-12);
  const Contour circle = circle_contour({3, 4}, 5);
  EXPECT_NEAR(length_of(circle), 10 * kPi, 1e-12);
  EXPECT_NEAR(circle_of(circle).radius, 5, 1e-12);
  EXPECT_EQ(circle_of(slot()).radius, 0);
  // a quarter turn bent inward takes area away
  const double b = -std::tan(kPi / 8);
  const Contour scooped{.corners = {{{0, 0}, 0}, {{4, 0}, 0}, {{4, 4}, 0}, {{0, 4}, b}}, .closed = true};
  EXPECT_NEAR(area_of(scooped), 16 - (4 * kPi - 8) / 2, 1e-12);
  for (const Vec2& p : points_of(slot())) EXPECT_LE(std::abs(p.y()), 3 + 1e-12);
}

TEST(CutDrawing, WhatLiesInsideIsCutFirst) {
  const auto ordered = in_cutting_order({straight_contour({{-50, -50}, {50, -50}, {50, 50}, {-50, 50}}),
                                         slot(), circle_contour({0, 0}, 1), circle_contour({80, 0}, 5)});
  ASSERT_EQ(ordered.size(), 4u);
  EXPECT_EQ(circle_of(ordered[0]).radius, 1);
  EXPECT_NEAR(area_of(ordered[1]), area_of(slot()), 1e-12);
}

TEST(CutDrawing, TheChordErrorOfACircleIsItsSagitta) {
  std::vector<Vec2> points;
  for (int i = 0; i <= 90; ++i) points.push_back(20 * base::unit_at(kPi * i / 45));
  EXPECT_NEAR(chord_error_of(points), 20 * (1 - std::cos(kPi / 90)), 1e-4);
}

TEST(Csv, WordsThatASpreadsheetWouldReckonAreDefusedAndNumbersStayNumbers) {
  const auto cell = [](const std::string& text) {
    const std::string out = to_csv({"t", "", {"head"}, {{text}}});
    return out.substr(6, out.size() - 8);
  };
  for (const char* number : {"-1.5", "+3", "-0.001", "12", "-2e-3", "-.5"}) EXPECT_EQ(cell(number), number);
  for (const char* words :
       {"=1+1", "+cmd|' /C calc'!A0", "-1+1", "@SUM(A1)", "-", "=", "-inf", "+nan", "-1.5 mm"})
    EXPECT_EQ(cell(words), "'" + std::string(words)) << words;
  EXPECT_EQ(cell("=HYPERLINK(\"http://x\",\"y\")"), "\"'=HYPERLINK(\"\"http://x\"\",\"\"y\"\")\"");
  EXPECT_EQ(cell("\t=1+1"), "\"'\t=1+1\"");
  EXPECT_EQ(cell("\r=1+1"), "\"'\r=1+1\"");
  EXPECT_EQ(cell("blade =1"), "blade =1");
  EXPECT_EQ(to_csv({"t", "", {"=head"}, {}}), "'=head\r\n");
}

TEST(Csv, QuotesWhatNeedsIt) {
  const CsvTable t{"x", "", {"a (mm)", "b"}, {{"1.5", "say \"so\", twice"}, {"", "two\nlines"}}};
  EXPECT_EQ(to_csv(t), "a (mm),b\r\n1.5,\"say \"\"so\"\", twice\"\r\n,\"two\nlines\"\r\n");
  EXPECT_EQ(csv_number(-0.0004), "0");
  EXPECT_EQ(csv_number(NAN), "");
  EXPECT_EQ(csv_number({}), "");
}

TEST(Exchange, EveryFileOfTheIslandForkHasItsOwnNameAndTheSameBytesTwice) {
  const sheet::Solved s = sheet::solved_example("island-mail");
  const auto files = exchange_files(s.job, s.answer), again = exchange_files(s.job, s.answer);
  std::set<std::string> names;
  for (std::size_t i = 0; i < files.size(); ++i) {
    EXPECT_TRUE(names.insert(files[i].name).second) << files[i].name;
    EXPECT_TRUE(files[i].bytes == again[i].bytes) << files[i].name;
    EXPECT_FALSE(files[i].what.empty()) << files[i].name;
    EXPECT_EQ(files[i].bytes.find("nan"), std::string::npos) << files[i].name;
    EXPECT_EQ(files[i].bytes.find("inf,"), std::string::npos) << files[i].name;
  }
  EXPECT_TRUE(names.contains("cut/template-left-blade-upper-end.dxf"));
  EXPECT_TRUE(names.contains("cut/rotary-left-blade-lower-end.nc"));
  EXPECT_TRUE(names.contains("tables/depths-by-clock.csv"));
}

TEST(Csv, AnglesOfTheToleranceTableAreDegreesWhateverTheirName) {
  const sheet::Solved s = sheet::solved_example("island-mail");
  ASSERT_TRUE(s.answer.tolerance);
  int angles = 0;
  for (const CsvTable& t : answer_tables(s.answer)) {
    if (t.stem != "tolerance") continue;
    for (const auto& row : t.rows) {
      for (const auto& c : s.answer.tolerance->measures.front().contributions) {
        const auto of = std::ranges::find(s.answer.chain.dimensions, c.of, &bike::Dimension::name);
        if (row[10] != c.of || of == s.answer.chain.dimensions.end() || !of->angle) continue;
        EXPECT_NEAR(std::stod(row[11]), base::to_deg(c.plus_minus), 1e-4) << c.of;
        ++angles;
      }
    }
  }
  EXPECT_GE(angles, 4);
}

TEST(Dxf, SaysItsReleaseUnitAndLayers) {
  CutDrawing d{.stem = "x", .title = "Plate ø 5 ± 0.1"};
  d.cut = {circle_contour({0, 0}, 5), slot()};
  furnish(d, {});
  const std::string text = to_dxf(d);
  for (const char* piece : {"AC1009", "$INSUNITS\r\n 70\r\n4", "Plate %%c 5 %%p 0.1", "MILLIMETRES", "CIRCLE",
                            "SEQEND", " 42\r\n1.0\r\n", "EOF\r\n"})
    EXPECT_NE(text.find(piece), std::string::npos) << piece;
  EXPECT_NE(to_cut_svg(d).find("A3 3 0 0 0"), std::string::npos);
}

// 2026-11-30: red cuts, blue marks and a hairline of 0.01 mm were somebody's colour code.
TEST(CutFiles, AreBlackUnlessTheShopSaysOtherwise) {
  const CutDrawing d{.stem = "x", .title = "x", .cut = {slot()}, .marks = {slot()}, .checks = {slot()}};
  const std::string plain = to_cut_svg(d);
  for (const char* group : {"cut", "mark", "check"}) {
    EXPECT_NE(plain.find(std::string("<g id=\"") + group + "\" aria-label=\"" + group +
                         "\" fill=\"none\" stroke=\"#000000\" stroke-width=\"0.1\">"),
              std::string::npos);
  }
  const auto read = job::read_shop(
      "version = 1\n[shop]\nname = \"x\"\n[[cutters]]\nkind = \"hole saw\"\ndiameter = "
      "29\n[cut_files]\ncut_colour = "
      "\"#0a0B0c\"\ncut_width = \"0.01 mm\"\n"
      "mark_number = 5\n",
      "shop.toml");
  ASSERT_TRUE(read) << base::sentence(read.error().front());
  const shop::CutLines& lines = read->shop.cut_lines;
  EXPECT_NE(to_cut_svg(d, lines).find("stroke=\"#0a0B0c\" stroke-width=\"0.01\""), std::string::npos);
  // the colour index of a layer stands after its name and its flags
  const auto number_of = [&](const std::string& dxf) {
    std::istringstream in(dxf.substr(dxf.find("MARK")));
    std::string line;
    for (int i = 0; i < 5; ++i) in >> line;
    return line;
  };
  EXPECT_EQ(number_of(to_dxf(d, lines)), "5");
  EXPECT_EQ(number_of(to_dxf(d)), "7");
  // it goes into a file that other programs read
  for (const char* wrong : {"red7777", "#00000g", "\\\"><a//>"}) {
    const auto refused =
        job::read_shop(std::string("version = 1\n[shop]\nname = \"x\"\n[[cutters]]\nkind = \"hole "
                                   "saw\"\ndiameter = 29\n[cut_files]\ncut_colour = \"") +
                           wrong + "\"\n",
                       "shop.toml");
    ASSERT_FALSE(refused) << wrong;
    EXPECT_EQ(refused.error().front().code, "colour-unknown");
  }
}

}  // namespace
}  // namespace halfround::exchange
