// The PDF read by programs we didn't write: qpdf, poppler, mutool.
#include "paper/pdf.h"

#include <gtest/gtest.h>

#include <cmath>
#include <regex>

#include "paper/tile.h"
#include "scene.h"

namespace halfround::paper {
namespace {

Sheet whole_set() {
  Sheet sheet = tile(big_scene(), Paper::a4, scene_title());
  sheet.pages.push_back(small_scene());
  return sheet;
}

// a file in the test's own folder
std::string saved(const std::string& name, const Sheet& sheet) {
  const auto bytes = to_pdf(sheet);
  EXPECT_TRUE(bytes.has_value()) << (bytes ? "" : bytes.error().what);
  const std::string path = ::testing::TempDir() + name;
  write_file(path, bytes.value_or(""));
  return path;
}

struct Line {
  Vec2 from, to;  // pt on the page
};

// straight two-point strokes of mutool's trace, with their matrix applied
std::vector<Line> traced_lines(const std::string& pdf, int page) {
  const std::string trace = said_by("mutool trace " + pdf + " " + std::to_string(page));
  const std::regex stroke(
      R"re(<stroke_path [^>]*transform="([^"]*)"[^>]*>\s*<moveto x="([^"]*)" y="([^"]*)"/>\s*)re"
      R"re(<lineto x="([^"]*)" y="([^"]*)"/>\s*</stroke_path>)re");
  std::vector<Line> lines;
  for (auto it = std::sregex_iterator(trace.begin(), trace.end(), stroke); it != std::sregex_iterator();
       ++it) {
    double a, b, c, d, e, f;
    std::istringstream((*it)[1].str()) >> a >> b >> c >> d >> e >> f;
    const auto place = [&](int i) -> Vec2 {
      const double x = std::stod((*it)[i].str()), y = std::stod((*it)[i + 1].str());
      return {a * x + c * y + e, b * x + d * y + f};
    };
    lines.push_back({place(2), place(4)});
  }
  return lines;
}

int count_of_length(const std::vector<Line>& lines, double pt, double within) {
  return static_cast<int>(std::count_if(lines.begin(), lines.end(), [&](const Line& l) {
    return std::abs((l.to - l.from).norm() - pt) < within;
  }));
}

TEST(Pdf, IsSoundForQpdfAndAskedForAtFullSize) {
  const std::string path = saved("sound.pdf", whole_set());
  int code = 1;
  const std::string said = said_by("qpdf --check " + path, &code);
  EXPECT_EQ(code, 0) << said;
  EXPECT_NE(said.find("PDF Version: 1.7"), std::string::npos) << said;
  const std::string json = said_by("qpdf --json " + path);
  EXPECT_NE(json.find("\"/PrintScaling\": \"/None\""), std::string::npos);
  EXPECT_NE(json.find("\"/PickTrayByPDFSize\": true"), std::string::npos);
}

TEST(Pdf, EmbedsEveryFont) {
  std::istringstream said(said_by("pdffonts " + saved("fonts.pdf", whole_set())));
  std::string row;
  std::getline(said, row);
  std::getline(said, row);
  int fonts = 0;
  while (std::getline(said, row)) {
    ++fonts;
    EXPECT_TRUE(std::regex_search(row, std::regex(R"(DejaVuSansCondensed.* yes yes yes )"))) << row;
  }
  EXPECT_GE(fonts, 2);  // regular and bold at least
}

TEST(Pdf, HasPagesOfThePapersSize) {
  Sheet sheet{.stem = "sizes", .title = "Sizes", .pages = {small_scene(), big_scene()}};
  const std::string said = said_by("pdfinfo -f 1 -l 2 " + saved("sizes.pdf", sheet));
  EXPECT_TRUE(std::regex_search(said, std::regex(R"(Page +1 size: +595\.27\d* x 841\.8\d* pts \(A4\))")))
      << said;
  EXPECT_TRUE(std::regex_search(said, std::regex(R"(Page +2 size: +1190\.55 x 1814\.17 pts)"))) << said;
  EXPECT_TRUE(std::regex_search(said, std::regex("Title: +Sizes"))) << said;
}

TEST(Pdf, ChecksBarIsAHundredMillimetresForMutool) {
  const Sheet sheet = whole_set();
  const std::string path = saved("bar.pdf", sheet);
  for (std::size_t page = 1; page <= sheet.pages.size(); ++page)
    EXPECT_GE(count_of_length(traced_lines(path, static_cast<int>(page)), 283.465, 0.01), 2)
        << "page " << page;
}

TEST(Pdf, PrinterCorrectionStretchesTheBarToo) {
  Page page = small_scene();
  correct_for_printer(page, 1.01, 0.99);
  const auto lines = traced_lines(saved("corrected.pdf", {.stem = "c", .title = "c", .pages = {page}}), 1);
  EXPECT_GE(count_of_length(lines, 283.465 * 1.01, 0.01), 2);
  EXPECT_EQ(count_of_length(lines, 283.465, 0.01), 0);
}

TEST(Pdf, IsTheSameBytesAgainAndInAnotherProcess) {
  const auto first = to_pdf(whole_set()), second = to_pdf(whole_set());
  ASSERT_TRUE(first && second);
  EXPECT_TRUE(*first == *second);
  const char* mine = std::getenv("HALFROUND_PDF_AGAIN");
  if (mine) {
    write_file(mine, *first);
    return;
  }
  const std::string other = ::testing::TempDir() + "other_process.pdf";
  int code = 1;
  said_by("HALFROUND_PDF_AGAIN=" + other + " TZ=Asia/Tokyo LC_ALL=C.UTF-8 /proc/" + std::to_string(getpid()) +
              "/exe --gtest_filter=Pdf.IsTheSameBytesAgainAndInAnotherProcess",
          &code);
  EXPECT_EQ(code, 0);
  std::ostringstream read;
  read << std::ifstream(other, std::ios::binary).rdbuf();
  EXPECT_TRUE(read.str() == *first);
}

TEST(Pdf, HasOneLayerForEachGroupName) {
  const std::string json = said_by("qpdf --json " + saved("layers.pdf", whole_set()));
  for (const char* name : {"outline", "dimensions", "centre", "frame", "check", "tiles", "map"}) {
    const std::regex layer("\"/Name\": \"u:" + std::string(name) + "\",\\s*\"/Type\": \"/OCG\"");
    EXPECT_EQ(std::distance(std::sregex_iterator(json.begin(), json.end(), layer), std::sregex_iterator()), 1)
        << name;
  }
}

TEST(Pdf, TextCanBeFoundAndCopied) {
  const std::string said = said_by("pdftotext " + saved("text.pdf", whole_set()) + " -");
  for (const char* words :
       {"100 mm: measure before use", "50 × 50 mm", "(400.0)", "ø28.6", "NOT TO SCALE", "1 of 7"})
    EXPECT_NE(said.find(words), std::string::npos) << words << "\n" << said;
}

TEST(Pdf, NamesTheLineWithALetterTheTypefaceLacks) {
  Sheet sheet{.stem = "x", .title = "x", .pages = {small_scene()}};
  sheet.pages[0].groups[0].items.emplace_back(Text{.text = "前叉"});
  const auto pdf = to_pdf(sheet);
  ASSERT_FALSE(pdf);
  EXPECT_EQ(pdf.error().code, "letter-missing");
  EXPECT_NE(pdf.error().what.find("前叉"), std::string::npos);
}

TEST(Pdf, RefusesADocumentWithoutPagesAndSetsIllFormedText) {
  EXPECT_EQ(to_pdf({.stem = "none", .title = "none", .pages = {}}).error().code, "sheet-empty");
  Sheet sheet{.stem = "x", .title = "\xff\xfe", .pages = {small_scene()}};
  sheet.pages[0].groups[0].items.emplace_back(Text{.text = "a\x01\n\xff"});
  EXPECT_TRUE(to_pdf(sheet));
}

TEST(Pdf, APageWithoutAnythingOnItIsAWhitePage) {
  const std::string path =
      saved("white.pdf", {.stem = "w", .title = "w", .pages = {{.name = "white", .groups = {}}}});
  EXPECT_NE(said_by("pdfinfo " + path).find("Pages:           1"), std::string::npos);
  int code = 1;
  said_by("qpdf --check " + path, &code);
  EXPECT_EQ(code, 0);
}

}  // namespace
}  // namespace halfround::paper
