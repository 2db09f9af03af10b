#include "paper/svg.h"

#include <gtest/gtest.h>

#include <regex>

#include "paper/hatch.h"
#include "paper/typeface.h"
#include "scene.h"

namespace halfround::paper {
namespace {

TEST(Svg, IsInMillimetresWithLabelledGroupsAndNoRootTransform) {
  const std::string svg = to_svg(small_scene());
  EXPECT_NE(svg.find("width=\"210mm\" height=\"297mm\" viewBox=\"0 0 210 297\""), std::string::npos);
  EXPECT_NE(svg.find("<g id=\"g-check\" role=\"group\" aria-label=\"100 mm check bar and 50 mm square\""),
            std::string::npos);
  EXPECT_FALSE(std::regex_search(svg, std::regex("<g[^>]*transform")));
  EXPECT_EQ(svg.find("px"), std::string::npos);
  EXPECT_EQ(svg, to_svg(small_scene()));
}

TEST(Svg, TurnsYAndWritesNumbersToAThousandth) {
  Page page{.width = 100,
            .height = 50,
            .name = "a & b",
            .groups = {{.name = "x y", .label = "", .items = {}, .clip = {}}}};
  page.groups[0].items.emplace_back(line({1.23456, 10}, {2, 50}));
  page.groups[0].items.emplace_back(Text{.at = {5, 5}, .text = "<1/8\">", .turn = base::kPi / 2});
  const std::string svg = to_svg(page);
  EXPECT_NE(svg.find("d=\"M1.235 40L2 0\""), std::string::npos) << svg;
  EXPECT_NE(svg.find("rotate(-90 5 45)"), std::string::npos) << svg;
  EXPECT_NE(svg.find("&lt;1/8&quot;&gt;</text>"), std::string::npos) << svg;
  EXPECT_NE(svg.find("<title>a &amp; b</title>"), std::string::npos) << svg;
  EXPECT_NE(svg.find("id=\"g-x-y\""), std::string::npos) << svg;
}

TEST(Svg, GivesEachGroupAnIdOfItsOwn) {
  const std::string svg = to_svg(big_scene());
  EXPECT_NE(svg.find("id=\"g-outline\""), std::string::npos);
  EXPECT_NE(svg.find("id=\"g-outline-2\""), std::string::npos);
}

TEST(Svg, TellsTheMeasuredLengthOfText) {
  Page page{.name = "t",
            .groups = {{.name = "t", .label = "t", .items = {Text{.text = "28.6 mm"}}, .clip = {}}}};
  std::smatch found;
  const std::string svg = to_svg(page);
  ASSERT_TRUE(std::regex_search(svg, found, std::regex("textLength=\"([0-9.]+)\"")));
  EXPECT_NEAR(std::stod(found[1]), text_width("28.6 mm", 3.5), 0.0006);
}

TEST(Svg, IsDrawnByAForeignReaderAtItsSize) {
  const std::string path = ::testing::TempDir() + "small.svg", png = ::testing::TempDir() + "small.png";
  write_file(path, to_svg(small_scene()));
  int code = 1;
  const std::string said = said_by("rsvg-convert -d 254 -p 254 " + path + " -o " + png, &code);
  EXPECT_EQ(code, 0) << said;
  const std::string kind = said_by("od -A n -t u1 -j 16 -N 8 " + png);
  std::istringstream bytes(kind);
  int b[8] = {};
  for (int& v : b) bytes >> v;
  EXPECT_EQ(b[2] * 256 + b[3], 2100);
  EXPECT_EQ(b[6] * 256 + b[7], 2970);
}

}  // namespace
}  // namespace halfround::paper
