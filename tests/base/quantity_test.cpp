// The shared vectors of the grammar, what a refusal says, and what the formatters print.
#include "base/quantity.h"

#include <gtest/gtest.h>

#include <clocale>
#include <cmath>
#include <fstream>
#include <map>
#include <set>
#include <sstream>

#include "base/maths.h"

namespace halfround::base {
namespace {

using namespace literals;

const std::map<std::string, Kind> kKinds{{"length", Kind::length}, {"angle", Kind::angle},
                                         {"count", Kind::count},   {"ratio", Kind::ratio},
                                         {"force", Kind::force},   {"mass", Kind::mass}};

struct Vector {
  int line = 0;
  std::string typed, kind, result;
};

std::vector<Vector> vectors() {
  std::ifstream file(SOURCE_DIR "/tests/base/quantity_vectors.tsv");
  std::vector<Vector> out;
  std::string line;
  for (int number = 1; std::getline(file, line); ++number) {
    const auto first = line.find('\t'), second = line.find('\t', first + 1);
    if (line.starts_with("# ") || first == std::string::npos || second == std::string::npos) continue;
    out.push_back(
        {number, line.substr(0, first), line.substr(first + 1, second - first - 1), line.substr(second + 1)});
  }
  return out;
}

TEST(Quantity, AgreesWithTheSharedVectors) {
  const auto all = vectors();
  EXPECT_GT(all.size(), 200u);
  for (const auto& v : all) {
    SCOPED_TRACE("quantity_vectors.tsv line " + std::to_string(v.line) + ": " + v.typed);
    const Kind kind = kKinds.at(v.kind);
    const auto quantity = parse_quantity(v.typed, kind);
    if (const auto wanted = read_number(v.result)) {
      ASSERT_TRUE(quantity) << sentence(quantity.error());
      const double house = kind == Kind::angle ? to_rad(*wanted) : *wanted;
      EXPECT_NEAR(quantity->value, house, 1e-12 * std::abs(house));
    } else {
      ASSERT_FALSE(quantity) << quantity->value;
      EXPECT_EQ(quantity.error().code, v.result) << sentence(quantity.error());
    }
  }
}

TEST(Quantity, RefusesWithASentenceAndAnExample) {
  for (const auto& v : vectors()) {
    const auto quantity = parse_quantity(v.typed, kKinds.at(v.kind));
    if (quantity) continue;
    SCOPED_TRACE(v.typed);
    EXPECT_TRUE(quantity.error().what.starts_with("found ")) << quantity.error().what;
    EXPECT_TRUE(quantity.error().what.ends_with('.'));
    EXPECT_TRUE(quantity.error().fits.ends_with('.'));
    EXPECT_TRUE(quantity.error().where.file.empty());
  }
}

TEST(Quantity, EveryCodeIsInTheDocumentation) {
  std::ifstream file(SOURCE_DIR "/docs/quantities.md");
  std::stringstream text;
  text << file.rdbuf();
  for (const auto& v : vectors())
    if (!read_number(v.result)) {
      EXPECT_NE(text.str().find("`" + v.result + "`"), std::string::npos) << v.result;
    }
}

TEST(Quantity, SaysWhatWasFoundAndWhatWouldFit) {
  const auto says = [](std::string_view text, Kind kind) {
    return sentence(parse_quantity(text, kind).error());
  };
  EXPECT_EQ(says("72.5 deg", Kind::length),
            "found 72.5 deg, an angle, where a length is wanted. Type a length, e.g. 28.6 mm or 1 1/8 in.");
  EXPECT_EQ(says("1 1/8 in", Kind::angle),
            "found 1 1/8 in, a length, where an angle is wanted. Type an angle, e.g. 72.5 deg or 72°30'.");
  EXPECT_EQ(says("28,600", Kind::length),
            "found 28,600, which could mean 28.6 or 28600. Type 28.6 or 28600.");
  EXPECT_EQ(says("1.234,5", Kind::length),
            "found 1.234,5, where the marks could mean more than one thing. "
            "Type 1234.5 if that is meant: no thousands marks.");
  EXPECT_EQ(says("12 345 mm", Kind::length),
            "found 12 345, which could mean 12.345 or 12345. Type 12.345 or 12345.");
  EXPECT_EQ(says("2'-1.5\"", Kind::length),
            "found 2'-1.5\", which could be one measure or a difference. Type 2' 1.5\" or 2' - 1.5\".");
  EXPECT_EQ(says("1 in + 2", Kind::length),
            "found 2 without a unit in “1 in + 2”. Give every number of the sum its unit.");
  EXPECT_EQ(says("5 furlong", Kind::length),
            "found “furlong”, which is no unit known here. For a length use mm, cm, m, in, \", ft or '.");
  EXPECT_EQ(says("28.6\xff", Kind::length),
            "found the byte 0xFF at place 5, which is not text. Type a length, e.g. 28.6 mm or 1 1/8 in.");
}

TEST(Quantity, KeepsWhatWasTyped) {
  EXPECT_EQ(parse_quantity("  1-1/8\" \n", Kind::length)->typed, "1-1/8\"");
  EXPECT_EQ(parse_quantity("28,6 mm", Kind::length)->typed, "28,6 mm");
  EXPECT_EQ(parse_quantity("\u00a028.6  +  2*0.9 mm\u00a0", Kind::length)->typed, "28.6  +  2*0.9 mm");
}

TEST(Quantity, IsInInchesWhenItsFirstUnitIs) {
  EXPECT_TRUE(parse_quantity("1 1/8 in + 0.03 mm", Kind::length)->inches);
  EXPECT_TRUE(parse_quantity("2' 1.5\"", Kind::length)->inches);
  EXPECT_TRUE(parse_quantity("1 + 1/8 in", Kind::length)->inches);
  EXPECT_FALSE(parse_quantity("2 mm + 1 in", Kind::length)->inches);
  EXPECT_FALSE(parse_quantity("28.6", Kind::length)->inches);
  EXPECT_FALSE(parse_quantity("30'", Kind::angle)->inches);
}

TEST(Quantity, RefusesBytesThatAreNoText) {
  for (const std::string& text :
       {std::string("28.6\0", 5), std::string("28\n6"), std::string("\xc3"), std::string("\xed\xa0\x80"),
        std::string("\xc0\x80"), std::string("5\x7fmm"), std::string("\xf8\x88\x80\x80\x80")}) {
    const auto quantity = parse_quantity(text, Kind::length);
    ASSERT_FALSE(quantity);
    EXPECT_EQ(quantity.error().code, "unexpected-character");
  }
  EXPECT_EQ(parse_quantity(std::string(50'000'000, '('), Kind::length).error().code, "quantity-too-long");
}

TEST(Quantity, DoesNotAskTheLocale) {
  const char* before = std::setlocale(LC_ALL, nullptr);
  const std::string kept = before != nullptr ? before : "C";
  for (const char* name : {"de_DE.UTF-8", "de_DE.utf8", "C.UTF-8"}) {
    if (std::setlocale(LC_ALL, name) == nullptr) continue;
    EXPECT_EQ(parse_quantity("28.6 mm", Kind::length)->value, 28.6);
    EXPECT_EQ(format_length(1234.5), "1234.5 mm");
  }
  std::setlocale(LC_ALL, kept.c_str());
}

TEST(QuantityFormat, PrintsForPeople) {
  EXPECT_EQ(format_length(28.6), "28.6 mm");
  EXPECT_EQ(format_length(-0.04), "0.0 mm");
  EXPECT_EQ(format_length(-1.25, 2), "−1.25 mm");
  EXPECT_EQ(format_angle(72.5_deg), "72.5°");
  EXPECT_EQ(format_angle_minutes(72.5_deg), "72°30'");
  EXPECT_EQ(format_angle_minutes(to_rad(-5.0 / 60)), "−0°05'");
  EXPECT_EQ(format_angle_minutes(to_rad(-0.001)), "0°00'");
  EXPECT_EQ(format_angle_minutes(to_rad(72.9999)), "73°00'");
  EXPECT_EQ(format_force(1200), "1200 N");
  EXPECT_EQ(format_mass(0.85), "0.850 kg");
}

TEST(QuantityFormat, PrintsInchFractionsAndWhatTheyLeaveOver) {
  EXPECT_EQ(format_inches(1.125_in), "1 1/8 in");
  EXPECT_EQ(format_inches(28.6), "1 1/8 in + 0.03 mm");
  EXPECT_EQ(format_inches(28.545), "1 1/8 in − 0.03 mm");
  EXPECT_EQ(format_inches(-28.6), "−1 1/8 in − 0.03 mm");
  EXPECT_EQ(format_inches(0), "0 in");
  EXPECT_EQ(format_inches(-0.3), "0 in − 0.30 mm");
  EXPECT_EQ(format_inches(0.75_in), "3/4 in");
  EXPECT_EQ(format_inches(-0.75_in), "−3/4 in");
  EXPECT_EQ(format_inches(50.8), "2 in");
  EXPECT_EQ(format_inches(25.4 / 64, 64), "1/64 in");
  EXPECT_EQ(format_inches(10, 1), "0 in + 10.00 mm");
}

}  // namespace
}  // namespace halfround::base
