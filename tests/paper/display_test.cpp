#include "paper/display.h"

#include <gtest/gtest.h>

#include <cstdlib>

#include "paper/typeface.h"
#include "scene.h"

namespace halfround::paper {
namespace {

TEST(DisplayList, SaysEveryItemInOneLineWithThreeDecimals) {
  Group group{.name = "outline", .label = "a \"blade\"", .items = {}, .clip = Box{{0, 0}, {10, 20}}};
  group.items.emplace_back(Path{.points = {{-0.0001, 1}, {2.00049, 3}},
                                .closed = true,
                                .stroke = {Weight::thick, Dash::chain, Ink::hand},
                                .dash_from = 1.5});
  group.items.emplace_back(Area{.rings = {{{0, 0}, {1, 0}, {0, 1}}}});
  group.items.emplace_back(Text{.at = {1, 2}, .text = "28.6\n", .turn = base::kPi / 2, .italic = true});
  const Sheet sheet{.stem = "s", .title = "T", .pages = {{.name = "p", .groups = {group}}}};
  EXPECT_EQ(to_text(sheet),
            "sheet s \"T\"\n"
            "page 210.000 297.000 \"p\"\n"
            "  group outline \"a \\\"blade\\\"\" clip 0.000 0.000 10.000 20.000\n"
            "    path closed thick chain hand from 1.500\n"
            "      0.000 1.000\n"
            "      2.000 3.000\n"
            "    area hatch 2.000 at 45.000 graphite\n"
            "     ring\n"
            "      0.000 0.000\n"
            "      1.000 0.000\n"
            "      0.000 1.000\n"
            "    text 1.000 2.000 h 3.500 turn 90.000 left graphite italic \"28.6\\n\"\n");
}

// the furnished plate as text; HALFROUND_ACCEPT=1 takes over what is drawn now: look at the picture first
TEST(DisplayList, OfTheFurnishedPlateIsAsAccepted) {
  const std::string path = SOURCE_DIR "/tests/golden/plate.display.txt";
  const std::string now = to_text({.stem = "plate", .title = "Plate", .pages = {small_scene()}});
  if (std::getenv("HALFROUND_ACCEPT")) write_file(path, now);
  std::ostringstream accepted;
  accepted << std::ifstream(path, std::ios::binary).rdbuf();
  if (accepted.str() != now) write_file(BINARY_DIR "/plate-changed.display.txt", now);
  EXPECT_TRUE(accepted.str() == now) << "compare " << path
                                     << " with " BINARY_DIR "/plate-changed.display.txt";
}

TEST(Typeface, HasTheCapHeightOfItsOutlinesAndTabularFigures) {
  const double one = text_width("1", 3.5);
  EXPECT_GT(one, 1);
  for (const char* figure : {"0", "2", "3", "4", "5", "6", "7", "8", "9"})
    EXPECT_NEAR(text_width(figure, 3.5), one, 1e-9) << figure;
  // the font's own advance of a figure: 1173 of 2048 units
  EXPECT_NEAR(one, 1173.0 / 2048 * em_for(3.5), 0.003);
  EXPECT_NEAR(text_width("28.6", 7), 2 * text_width("28.6", 3.5), 1e-9);
  EXPECT_GT(text_width("28.6", 3.5, true), text_width("28.6", 3.5));
  EXPECT_EQ(text_width("", 3.5), 0);
}

TEST(Typeface, HasEveryLetterASheetNeeds) {
  const auto can =
      can_set("ABCxyz 0123456789 ø ° ± × ′ ″ ½ ⅛ − – — … ≤ ≥ µ Δ äöüßéèçñåæœ ŁČŽş αβγ Ждя → ↑ ✓");
  EXPECT_TRUE(can) << can.error().what;
  EXPECT_FALSE(can_set("叉"));
}

TEST(Typeface, FitsAndWrapsToAWidth) {
  const std::string long_name = "a very long name of a job that nobody would write";
  const std::string cut = fitted(long_name, 2.5, 30);
  EXPECT_LE(text_width(cut, 2.5), 30);
  EXPECT_EQ(cut.substr(cut.size() - 3), "…");
  EXPECT_EQ(fitted("short", 2.5, 30), "short");
  EXPECT_EQ(fitted("", 2.5, 30), "");
  std::string again;
  for (const std::string& row : wrapped(long_name, 2.5, 30)) {
    EXPECT_LE(text_width(row, 2.5), 30);
    again += (again.empty() ? "" : " ") + row;
  }
  EXPECT_EQ(again, long_name);
}

}  // namespace
}  // namespace halfround::paper
