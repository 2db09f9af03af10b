// The shop file: the example reads, and what can be wrong with one is said where it stands.
#include "job/shop_read.h"

#include <gtest/gtest.h>

#include <fstream>
#include <set>
#include <sstream>

#include "base/maths.h"
#include "job/shop_schema.h"
#include "solve/documented.h"

namespace halfround::job {
namespace {

std::string slurp(const std::string& path) {
  std::ostringstream out;
  out << std::ifstream(path, std::ios::binary).rdbuf();
  return out.str();
}

const std::string kHead = "version = 1\n[shop]\nname = \"shed\"\n";

/// The first complaint about a shop that begins with kHead.
base::Problem complaint(const std::string& rest) {
  const auto read = read_shop(kHead + rest, "shop.toml");
  EXPECT_FALSE(read) << rest;
  return read ? base::Problem{} : solve::told(read.error().front());
}

const std::string kScale =
    "[[fixtures]]\nname = \"bed\"\nadjusters = [{name = \"a\", measures = \"offset\", zero = 0, direction = "
    "\"rising\", unit = \"mm\", step = 0.5, least = 0, most = 100}]\n";

std::string changed(std::string text, const std::string& from, const std::string& to) {
  const auto at = text.find(from);
  EXPECT_NE(at, std::string::npos) << from;
  return at == std::string::npos ? text : text.replace(at, from.size(), to);
}

TEST(ShopRead, TheExampleReadsInInchesAndMillimetres) {
  const auto read = read_shop(slurp(SOURCE_DIR "/examples/island-mail/shop.toml"), "shop.toml");
  ASSERT_TRUE(read) << base::sentence(read.error()[0]);
  const shop::Shop& s = read->shop;
  ASSERT_EQ(s.cutters.size(), 7u);
  EXPECT_EQ(s.cutters[0].name, "hole saw 1 1/8 in");
  EXPECT_DOUBLE_EQ(s.cutters[0].diameter, 28.575);
  EXPECT_EQ(s.cutters[1].name, "hole saw 29.2 mm");
  EXPECT_DOUBLE_EQ(s.cutters[2].reach, 38.1);
  EXPECT_EQ(s.cutters[5].name, "long end mill");
  EXPECT_EQ(s.cutters[5].kind, shop::CutterKind::end_mill);
  EXPECT_EQ(s.files[1].name, "half-round file of radius 3/8 in");
  const shop::Fixture& bed = s.fixtures.at(0);
  ASSERT_EQ(bed.adjusters.size(), 7u);
  EXPECT_DOUBLE_EQ(bed.adjusters[1].step, 25.4 / 64);
  EXPECT_EQ(bed.adjusters[1].unit, shop::ScaleUnit::inch);
  EXPECT_DOUBLE_EQ(bed.adjusters[2].step, base::to_rad(0.25));
  EXPECT_EQ(bed.adjusters[2].direction, -1);
  EXPECT_DOUBLE_EQ(bed.dummy_axles.at(0).over_locknut, 92);
  EXPECT_DOUBLE_EQ(bed.steerer_clamp->most, 31.75);
  EXPECT_EQ(s.rods[0].name, "RBCuZn-C 3/32 in");
  EXPECT_DOUBLE_EQ(s.printers.at(0).bar_x, 99.8);
  EXPECT_EQ(s.paper, shop::Paper::a4);
  ASSERT_EQ(s.tolerances.size(), 3u);
  EXPECT_EQ(s.tolerances[1].of, "axle_to_crown");
  EXPECT_EQ(read->assumed.size(), 11u)
      << "shop.gap, shop.least_grip, two of the jaws, one count of stock, the paper's thickness, five of the "
         "rotary axis";
  ASSERT_EQ(s.stock.size(), 2u);
  EXPECT_EQ(s.stock[0].count, 2);
  EXPECT_NEAR(s.stock[0].diameter, 28.575, 1e-12);
}

TEST(ShopRead, AnEmptyShopIsSaidSo) {
  EXPECT_EQ(complaint("").code, "shop-empty");
  EXPECT_EQ(complaint("[sheets]\npaper = \"A4\"\n").code, "shop-empty");
}

TEST(ShopRead, AnAdjusterWithoutAZeroIsLocated) {
  const auto p = complaint(changed(kScale, "zero = 0, ", ""));
  EXPECT_EQ(p.code, "key-missing");
  EXPECT_EQ(p.where.line, 6);
  EXPECT_EQ(p.where.key, "fixtures[1].adjusters[1].zero");
}

TEST(ShopRead, AScaleSuitsWhatItMeasures) {
  EXPECT_EQ(complaint(changed(kScale, "unit = \"mm\"", "unit = \"deg\"")).code, "scale-unit-differs");
  EXPECT_EQ(complaint(changed(kScale, "measures = \"offset\"", "measures = \"splay\"")).code,
            "scale-unit-differs");
  EXPECT_EQ(complaint(changed(kScale, "unit = \"mm\"", "unit = \"in\"")).code, "scale-unit-missing");
  EXPECT_EQ(complaint(changed(kScale, "most = 100", "most = -1")).code, "range-turned");
  EXPECT_EQ(complaint(changed(kScale, "step = 0.5", "step = 0")).code, "out-of-range");
  EXPECT_EQ(complaint(changed(kScale, "step = 0.5", "step = \"2 deg\"")).code, "length-expected");
}

TEST(ShopRead, WhatNobodyKnowsIsRefusedWithTheNearest) {
  const auto p = complaint("[[cutters]]\nkind = \"hole saw\"\ndiametre = 28\n");
  EXPECT_EQ(p.code, "key-missing");
  const auto read =
      read_shop(kHead + "[[cutters]]\nkind = \"hole saw\"\ndiameter = 28\nrech = 4\n", "shop.toml");
  ASSERT_FALSE(read);
  EXPECT_EQ(read.error()[0].code, "key-unknown");
  EXPECT_EQ(read.error()[0].fits, "Did you mean cutters[].reach?");
  EXPECT_EQ(complaint("[[cuters]]\nkind = 1\n[[rods]]\nalloy=\"RBCuZn-C\"\ndiameter=2\n").code,
            "key-unknown");
}

TEST(ShopRead, OtherBadRows) {
  EXPECT_EQ(complaint("[[files]]\nkind = \"flat\"\nradius = 4\n").code, "file-radius");
  EXPECT_EQ(complaint("[[files]]\nkind = \"round\"\n").code, "key-missing");
  EXPECT_EQ(complaint("[[cutters]]\nkind = \"hole saw\"\ndiameter = -28\n").code, "out-of-range");
  EXPECT_EQ(complaint("[[fixtures]]\nname = \"x\"\nsteerer_clamp = {least = 40, most = 25}\n").code,
            "range-turned");
  EXPECT_EQ(complaint("[fixtures]\nname = \"x\"\n").code, "list-expected");
  const auto row = read_shop("version = 1\nfiles = [3]\n[shop]\nname = \"s\"\n", "shop.toml");
  ASSERT_FALSE(row);
  EXPECT_EQ(row.error()[0].code, "table-expected");
  EXPECT_EQ(row.error()[0].where.line, 2);
  EXPECT_FALSE(read_shop("", "shop.toml"));
  EXPECT_FALSE(read_shop("version = 2\n", "shop.toml"));
  EXPECT_FALSE(read_shop("a = [", "shop.toml"));
}

TEST(ShopRead, ThePageNamesEveryKeyAndNoOther) {
  std::istringstream lines(slurp(SOURCE_DIR "/docs/shop-file.md"));
  std::set<std::string> documented, keys;
  for (std::string line; std::getline(lines, line);) {
    if (line.starts_with("| `")) documented.insert(line.substr(3, line.find('`', 3) - 3));
  }
  for (const Row& row : shop_schema()) keys.emplace(row.key);
  EXPECT_EQ(documented, keys);
}

}  // namespace
}  // namespace halfround::job
