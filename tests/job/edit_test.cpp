// Keys changed in a builder's text: what nobody touched stays byte for byte, and the new value is read back.
#include "job/edit.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "job/read.h"
#include "job/schema.h"
#include "job/shop_read.h"
#include "job/shop_schema.h"
#include "job/starter.h"
#include "solve/documented.h"

namespace halfround::job {
namespace {

std::string slurp(const std::string& path) {
  std::ostringstream out;
  out << std::ifstream(path, std::ios::binary).rdbuf();
  return out.str();
}

std::string island() {
  return slurp(SOURCE_DIR "/examples/island-mail/fork.toml");
}

std::string edited(const std::string& text, const std::vector<Edit>& edits) {
  const auto out = edited_text(text, edits, "test.toml");
  EXPECT_TRUE(out) << base::sentence(out.error());
  return out ? *out : "";
}

std::string typed(const std::string& text, const std::string& key) {
  const auto fields = fields_of(text, "test.toml");
  EXPECT_TRUE(fields);
  const auto f = std::ranges::find(*fields, key, &Field::key);
  return f == fields->end() ? "(not there)" : f->typed;
}

int lines_that_differ(const std::string& a, const std::string& b) {
  std::istringstream x(a), y(b);
  int n = 0;
  for (std::string p, q;;) {
    const bool more = !std::getline(x, p).fail(), also = !std::getline(y, q).fail();
    if (!more && !also) return n;
    n += more != also || p != q ? 1 : 0;
  }
}

TEST(Edit, AValueIsReplacedWhereItStands) {
  const std::string was = island(), is = edited(was, {{"hub.over_locknut", "110"}});
  EXPECT_EQ(lines_that_differ(was, is), 1);
  EXPECT_EQ(typed(is, "hub.over_locknut"), "110");
  EXPECT_EQ(edited(is, {{"hub.over_locknut", "100"}}), was);
}

TEST(Edit, WhatIsNoPlainNumberGoesInQuotationMarks) {
  for (const char* words : {"28,6", "1 1/8 in", "54-559", "28.6 + 2*0.9 mm", "3/4\"", "back\\slash"}) {
    const std::string is = edited(island(), {{"steerer.diameter", words}});
    EXPECT_EQ(typed(is, "steerer.diameter"), words);
  }
  EXPECT_EQ(typed(edited(island(), {{"job.name", "1234"}}), "job.name"), "1234");
  EXPECT_NE(edited(island(), {{"job.name", "1234"}}).find("name = \"1234\""), std::string::npos);
}

TEST(Edit, NothingTypedCanBecomeASecondKey) {
  for (const char* words : {"5\nfoo = 3", "5 # hm", "1, 2", "\"a\" \"b\"", "5]\n[x", "''' ", "= 3"}) {
    const std::string is = edited(island(), {{"hub.axle", words}});
    const auto before = fields_of(island(), ""), after = fields_of(is, "");
    ASSERT_TRUE(before && after) << words;
    EXPECT_EQ(keys_changed(*before, *after), std::vector<std::string>{"hub.axle"}) << words;
  }
}

TEST(Edit, AKeyTakenOutBecomesACommentAndWakesThereAgain) {
  const std::string was = island(), out = edited(was, {{"steerer.crown_race", std::nullopt}});
  EXPECT_NE(out.find("# crown_race = 30\n"), std::string::npos);
  EXPECT_EQ(typed(out, "steerer.crown_race"), "(not there)");
  EXPECT_EQ(edited(out, {{"steerer.crown_race", "30"}}), was);
  const std::string noted = "[hub]\nover_locknut = 100 # with the spacer\n";
  const std::string slept = edited(noted, {{"hub.over_locknut", std::nullopt}});
  EXPECT_EQ(edited(slept, {{"hub.over_locknut", "110"}}), "[hub]\nover_locknut = 110 # with the spacer\n");
}

TEST(Edit, ANewKeyStandsWithItsOwnKind) {
  const std::string is = edited(island(), {{"wishes.lean_to", "2"}, {"shares.tilt", "10"}});
  EXPECT_NE(is.find("crown_height = 34\nlean_to = 2\n"), std::string::npos);
  EXPECT_TRUE(is.ends_with("\n\n[shares]\ntilt = 10\n")) << is;
  // spelt with the section's part, as its neighbour is
  EXPECT_EQ(edited("[wishes]\nright.splay = 2 # s\n", {{"wishes.right.lower_trim", "3"}}),
            "[wishes]\nright.splay = 2 # s\nright.lower_trim = 3\n");
}

TEST(Edit, BracesAreKept) {
  const std::string text = "hub = {over_locknut = 100, axle = 12} # o\n";
  EXPECT_EQ(edited(text, {{"hub.axle", "9"}}), "hub = {over_locknut = 100, axle = 9} # o\n");
  EXPECT_EQ(edited(text, {{"hub.axle", std::nullopt}}), "hub = {over_locknut = 100} # o\n");
  EXPECT_EQ(edited(text, {{"hub.over_locknut", std::nullopt}}), "hub = { axle = 12} # o\n");
  EXPECT_EQ(edited("hub = {axle = 12}\n", {{"hub.over_locknut", "100"}}),
            "hub = {axle = 12, over_locknut = 100}\n");
}

TEST(Edit, RowsThatStayKeepTheirComments) {
  const std::string text = "[blades]\nstations = [ # at\n  [0, 16, 16], # tip\n  [90, 19, 20],\n]\n";
  EXPECT_EQ(edited(text, {{"blades.stations", "[[0, 16, 16], [90, 18, 20], [\"2 in\", 22, 27]]"}}),
            "[blades]\nstations = [ # at\n  [0, 16, 16], # tip\n  [90, 18, 20],\n  [\"2 in\", 22, 27],\n]\n");
  EXPECT_EQ(edited(text, {{"blades.stations", "[[0, 16, 16]]"}}),
            "[blades]\nstations = [ # at\n  [0, 16, 16], # tip\n]\n");
  EXPECT_EQ(typed(edited(text, {{"blades.stations[2].width", "18.5"}}), "blades.stations"),
            "[ # at\n  [0, 16, 16], # tip\n  [90, 18.5, 20],\n]");
  EXPECT_EQ(solve::told(edited_text(text, {{"blades.stations", "7"}}, "").error()).code, "edit-list");
}

TEST(Edit, BlocksAreEditedCellByCell) {
  const std::string was = island();
  EXPECT_EQ(lines_that_differ(was, edited(was, {{"features[2].at", "180"}})), 1);
  const std::string all = typed(was, "features");
  EXPECT_EQ(edited(was, {{"features", all}}), was);
  const std::string more =
      edited(was, {{"features", all.substr(0, all.size() - 1) +
                                    ", {on = \"left blade\", kind = \"vent\", at = 300, size = 3}]"}});
  EXPECT_TRUE(more.ends_with("\n[[features]]\nkind = \"vent\"\non = \"left blade\"\nat = 300\nsize = 3\n"));
  ASSERT_TRUE(read_job(more, "")) << base::sentence(read_job(more, "").error().front());
  EXPECT_EQ(read_job(more, "")->features.size(), 4U);
  const std::string less =
      edited(was, {{"features", "[{kind = \"boss\", on = \"left blade\", at = 170, size = 9}]"}});
  ASSERT_TRUE(read_job(less, "")) << less;
  EXPECT_EQ(read_job(less, "")->features.size(), 1U);
  EXPECT_NE(less.find("# eyes for the mudguard's stays"), std::string::npos);
  const std::string none = edited(was, {{"features", std::nullopt}});
  EXPECT_TRUE(read_job(none, "")->features.empty());
}

TEST(Edit, ASectionSleepsAndWakes) {
  const std::string was = island(), out = edited(was, {{"pedals", std::nullopt}});
  EXPECT_NE(out.find("# [pedals]\n# crank_length = 170\n\n[checks]"), std::string::npos);
  EXPECT_FALSE(read_job(out, "")->pedals);
  EXPECT_EQ(edited(out, {{"pedals.crank_length", "170"}}), was);
}

TEST(Edit, AKeyThatShutsAnotherOutTakesItsPlace) {
  const std::string flat = edited(island(), {{"wheel.tyre", "54-559"}});
  ASSERT_TRUE(read_job(flat, "")) << flat;
  EXPECT_EQ(read_job(flat, "")->wheel.tyre, "54-559");
  const std::string back = edited(flat, {{"wheel.tyre.outside_diameter", "665"},
                                         {"wheel.tyre.half_profile", "[[0, 0], [18, 9], [27, 27]]"}});
  ASSERT_TRUE(read_job(back, "")) << back;
  EXPECT_EQ(read_job(back, "")->wheel.half_profile.size(), 3U);
}

TEST(Edit, EveryKeyOfTheSchemaFindsAPlaceInTheStarterJob) {
  const std::string start = starter_job();
  for (const Row& row : schema()) {
    if (row.key.find("[]") != std::string_view::npos) continue;
    const std::string key(row.key);
    const std::string is = edited(start, {{key, std::string(row.example)}});
    EXPECT_NE(typed(is, key), "(not there)") << key;
    const auto before = fields_of(start, ""), after = fields_of(is, "");
    const auto changed = keys_changed(*before, *after);
    EXPECT_LE(changed.size(), key.starts_with("wheel.tyre.") ? 2U : 1U) << key;
    const auto again = fields_of(edited(is, {{key, std::nullopt}}), "");
    ASSERT_TRUE(again) << key;
    EXPECT_EQ(std::ranges::find(*again, key, &Field::key), again->end()) << key;
  }
}

TEST(Edit, EveryFieldOfEveryExampleCanBeWrittenBackAndNothingMoves) {
  int n = 0;
  for (const auto& folder : std::filesystem::directory_iterator(SOURCE_DIR "/examples")) {
    if (!folder.is_directory()) continue;
    const std::string was = slurp(folder.path() / "fork.toml");
    const auto fields = fields_of(was, "");
    ASSERT_TRUE(fields);
    for (const Field& f : *fields) {
      const auto after = fields_of(edited(was, {{f.key, f.typed}}), "");
      ASSERT_TRUE(after);
      EXPECT_TRUE(keys_changed(*fields, *after).empty()) << folder.path() << f.key;
      ++n;
    }
  }
  EXPECT_GT(n, 200);
}

std::string shed() {
  return slurp(SOURCE_DIR "/examples/island-mail/shop.toml");
}

std::string shop_edited(const std::string& text, const std::vector<Edit>& edits) {
  const auto out = edited_text(text, edits, "shop.toml", shop_schema());
  EXPECT_TRUE(out) << base::sentence(out.error());
  if (!out) return "";
  const auto read = read_shop(*out, "shop.toml");
  EXPECT_TRUE(read) << base::sentence(read.error().front()) << "\n" << *out;
  return *out;
}

std::string shop_typed(const std::string& text, const std::string& key, Lists lists = Lists::apart) {
  const auto fields = fields_of(text, "shop.toml", lists);
  EXPECT_TRUE(fields);
  return fields ? typed_in(*fields, key) : "";
}

TEST(EditShop, EveryCellIsAKeyAndCanBeWrittenBack) {
  const std::string was = shed();
  EXPECT_EQ(shop_typed(was, "cutters[3].reach"), "1 1/2 in");
  EXPECT_EQ(shop_typed(was, "fixtures[1].adjusters[2].unit"), "in");
  EXPECT_EQ(shop_typed(was, "fixtures[1].steerer_clamp.most"), "1 1/4 in");
  EXPECT_EQ(shop_typed(was, "cutters"), "");
  const auto fields = fields_of(was, "", Lists::apart);
  EXPECT_GT(fields->size(), 100U);
  for (const Field& f : *fields) EXPECT_EQ(shop_edited(was, {{f.key, f.typed}}), was) << f.key;
  EXPECT_EQ(lines_that_differ(was, shop_edited(was, {{"cutters[2].diameter", "29"}})), 1);
  EXPECT_EQ(lines_that_differ(was, shop_edited(was, {{"fixtures[1].adjusters[3].least", "-10"}})), 1);
  EXPECT_EQ(lines_that_differ(was, shop_edited(was, {{"fixtures[1].steerer_clamp.least", "24"}})), 1);
}

TEST(EditShop, ARowThatGoesTakesOnlyItself) {
  const std::string was = shed(), all = shop_typed(was, "cutters", Lists::whole);
  ASSERT_NE(all.find("{kind = \"hole saw\", diameter = 29.2, reach = 38}, "), std::string::npos) << all;
  std::string less = all;
  less.erase(less.find("{kind = \"hole saw\", diameter = 29.2, reach = 38}, "), 50);
  const std::string is = shop_edited(was, {{"cutters", less}});
  EXPECT_NE(is.find("# [[cutters]]\n# kind = \"hole saw\"\n# diameter = 29.2\n# reach = 38\n"),
            std::string::npos)
      << is;
  EXPECT_EQ(lines_that_differ(was, is), 4);
  EXPECT_EQ(shop_edited(was, {{"cutters[2]", std::nullopt}}), is);
}

TEST(EditShop, NewRowsStandBelowTheirLike) {
  const std::string was = shed();
  const std::string scales = shop_typed(was, "fixtures", Lists::whole);
  const std::string more =
      shop_edited(was, {{"stock", shop_typed(was, "stock", Lists::whole).substr(0, 1) +
                                      "{kind = \"bar\", diameter = 30, length = 200, lot = \"A 7\"}]"}});
  EXPECT_EQ(read_shop(more, "")->shop.stock.size(), 1U);
  EXPECT_EQ(read_shop(more, "")->shop.stock[0].name, "bar 30 mm, 200 long, lot A 7");
  const std::string bed =
      shop_edited(was, {{"fixtures", "[" + scales.substr(1, scales.size() - 2) +
                                         ", {name = \"new bed\", steerer_clamp = {least = 25, most = 40}, "
                                         "dummy_axles = [{over_locknut = 100, axle = 12}]}]"}});
  const shop::Shop read = read_shop(bed, "")->shop;
  ASSERT_EQ(read.fixtures.size(), 2U);
  EXPECT_EQ(read.fixtures[0].adjusters.size(), 7U);
  ASSERT_TRUE(read.fixtures[1].steerer_clamp);
  EXPECT_EQ(read.fixtures[1].steerer_clamp->most, 40);
  EXPECT_EQ(read.fixtures[1].dummy_axles.size(), 1U);
  EXPECT_EQ(bed.substr(0, was.size() - 1), was.substr(0, was.size() - 1));
  EXPECT_NE(shop_edited(bed, {{"fixtures[1].steerer_clamp.least", std::nullopt},
                              {"fixtures[1].steerer_clamp.most", std::nullopt},
                              {"fixtures[1].steerer_clamp.least", "24"},
                              {"fixtures[1].steerer_clamp.most", "40"}}),
            "");
}

TEST(EditShop, RowsWithinRowsMayHaveHeadingsOfTheirOwn) {
  const std::string text =
      "version = 1\n[shop]\nname = \"s\"\n"
      "[[fixtures]]\nname = \"a\"\n[fixtures.steerer_clamp]\nleast = 20 # thin\nmost = 30\n"
      "[[fixtures.dummy_axles]]\nover_locknut = 92\naxle = 9\n"
      "[[fixtures]]\nname = \"b\"\n"
      "[[fixtures.dummy_axles]]\nover_locknut = 100 # wide\naxle = 12\n";
  EXPECT_EQ(shop_typed(text, "fixtures[1].steerer_clamp.least"), "20");
  EXPECT_EQ(shop_typed(text, "fixtures[2].dummy_axles[1].axle"), "12");
  const std::string all = shop_typed(text, "fixtures", Lists::whole);
  EXPECT_EQ(all,
            "[{name = \"a\", steerer_clamp = {least = 20, most = 30}, dummy_axles = [{over_locknut = 92, "
            "axle = 9}]}, "
            "{name = \"b\", dummy_axles = [{over_locknut = 100, axle = 12}]}]");
  EXPECT_EQ(shop_edited(text, {{"fixtures", all}}), text);
  const std::string more = shop_edited(
      text, {{"fixtures[1].dummy_axles", "[{over_locknut = 92, axle = 9}, {over_locknut = 74, axle = 9}]"}});
  EXPECT_EQ(shop_typed(more, "fixtures[1].dummy_axles[2].over_locknut"), "74") << more;
  EXPECT_EQ(shop_typed(more, "fixtures[2].dummy_axles[2].over_locknut"), "");
  const std::string one =
      shop_edited(text, {{"fixtures", "[{name = \"b\", dummy_axles = [{over_locknut = 100, axle = 12}]}]"}});
  EXPECT_EQ(read_shop(one, "")->shop.fixtures.size(), 1U) << one;
  EXPECT_NE(one.find("\nover_locknut = 100 # wide\n"), std::string::npos) << one;
}

TEST(Edit, WhatCantBeIsSaid) {
  EXPECT_EQ(solve::told(edited_text(island(), {{"hub.over_lock_nut", "3"}}, "").error()).code, "key-unknown");
  EXPECT_EQ(solve::told(edited_text(island(), {{"hub..axle", "3"}}, "").error()).code, "key-unknown");
  EXPECT_EQ(solve::told(edited_text("a = [", {{"hub.axle", "3"}}, "").error()).code, "toml-syntax");
  EXPECT_EQ(solve::told(edited_text(island(), {{"blades.stations[9].width", "3"}}, "").error()).code,
            "edit-unplaced");
}

}  // namespace
}  // namespace halfround::job
