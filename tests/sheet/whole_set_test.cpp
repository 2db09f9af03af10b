// The whole set of sheets of every example and of the starter, on both papers: no text leaves its card or the
// page's frame, none lies over another, none is too small to read at the bench.
#include "whole_set.h"

#include <gtest/gtest.h>

#include <cstdlib>
#include <set>

namespace halfround::sheet {
namespace {

/// Texts of a group, as they show.
std::vector<const Text*> texts_of(const Group& group) {
  std::vector<const Text*> out;
  for (const Item& item : group.items)
    if (const auto* text = std::get_if<Text>(&item)) out.push_back(text);
  return out;
}

/// By how much the letters stand out of the box, mm; 0 if they don't.
double outside(const Text& text, const Box& box) {
  double most = 0;
  for (const Vec2& p : letters_of(text)) {
    most =
        std::max({most, box.min.x() - p.x(), box.min.y() - p.y(), p.x() - box.max.x(), p.y() - box.max.y()});
  }
  return most;
}

/// The frame a card's texts keep to: the first thing put on a card.
std::optional<Box> frame_of(const Group& group) {
  if (group.name != "card" || group.items.empty()) return {};
  return bounds_of({group.items.front()});
}

/// Every sheet of the set with its page, "island-mail, cards-a4, cut cards".
void each_page(const std::function<void(const std::string&, const Page&)>& look) {
  for (const std::string& name : all_examples()) {
    for (const Drawn& drawn : set_of(name).sheets)
      for (const Page& page : drawn.sheet.pages)
        look(name + ", " + drawn.sheet.stem + ", " + page.name, page);
  }
}

TEST(WholeSet, NoTextLeavesItsCardOrTheFrameOfThePage) {
  each_page([](const std::string& where, const Page& page) {
    const Box border{{kMargin, kMargin}, {page.width - kMargin, page.height - kMargin}};
    for (const Group& group : page.groups) {
      if (group.clip) continue;  // a tile: what runs over its edge goes on upon the next one
      const Box box = frame_of(group).value_or(border);
      for (const Text* text : texts_of(group))
        EXPECT_LE(outside(*text, box), 0.01) << where << ", " << group.name << ": '" << text->text << "'";
    }
  });
}

TEST(WholeSet, NoTwoTextsLieOverEachOther) {
  each_page([](const std::string& where, const Page& page) {
    std::vector<const Text*> all;
    for (const Group& group : page.groups)
      for (const Text* text : texts_of(group)) all.push_back(text);
    for (std::size_t i = 0; i < all.size(); ++i) {
      const auto letters = letters_of(*all[i]);
      for (std::size_t j = i + 1; j < all.size(); ++j)
        EXPECT_FALSE(overlap(letters, letters_of(*all[j])))
            << where << ": '" << all[i]->text << "' over '" << all[j]->text << "'";
    }
  });
}

TEST(WholeSet, NoLetterIsSmallerThanTwoMillimetres) {
  each_page([](const std::string& where, const Page& page) {
    for (const Group& group : page.groups)
      for (const Text* text : texts_of(group))
        EXPECT_GE(text->height, kLeastLetter - 1e-9)
            << where << ", " << group.name << ": '" << text->text << "'";
  });
}

TEST(WholeSet, NoTextIsCutShort) {
  each_page([](const std::string& where, const Page& page) {
    for (const Group& group : page.groups) {
      // the first check sheet shortens its sources; the page "all verdicts" has them whole
      if (page.name == "check sheet" && group.name == "verdicts") continue;
      for (const Text* text : texts_of(group))
        EXPECT_FALSE(text->text.ends_with("…")) << where << ", " << group.name << ": '" << text->text << "'";
    }
  });
}

TEST(WholeSet, EveryCheckOfAnExampleIsMetButThatWhichShowsOneThatIsNot) {
  for (const std::string& name : all_examples()) {
    int not_met = 0;
    for (const bike::Verdict& v : set_of(name).answer.verdicts) {
      const bool fails = v.standing() == bike::Standing::not_met;
      not_met += fails;
      if (name != "slip-mail") {
        EXPECT_FALSE(fails) << name << ": " << v.what << " " << v.where << " " << v.value.value_or(0);
      }
    }
    if (name == "slip-mail") {
      EXPECT_GT(not_met, 0) << "its page says that it shows a check that is not met";
      EXPECT_NE(text_of_file(SOURCE_DIR "/examples/slip-mail/README.md").find("not met"), std::string::npos);
    }
  }
}

TEST(WholeSet, EverySheetOfEveryExampleIsAsAccepted) {
  namespace fs = std::filesystem;
  for (const std::string& name : all_examples()) {
    const fs::path folder = fs::path(SOURCE_DIR "/tests/golden") / name;
    if (std::getenv("HALFROUND_ACCEPT")) fs::create_directories(folder);
    std::set<std::string> drawn;
    for (const Drawn& one : set_of(name).sheets) {
      if (one.sheet.stem.ends_with("-letter")) continue;  // the same on other paper
      expect_golden_text(short_text_of(one.sheet), name + "/" + one.sheet.stem);
      drawn.insert(one.sheet.stem + ".display.txt");
    }
    for (const auto& entry : fs::directory_iterator(folder)) {
      const std::string file = entry.path().filename().string();
      if (drawn.contains(file)) continue;
      if (std::getenv("HALFROUND_ACCEPT"))
        fs::remove(entry.path());
      else
        ADD_FAILURE() << name << " has no sheet for " << file << " any more";
    }
  }
}

TEST(WholeSet, NoPageIsEmpty) {
  each_page([](const std::string& where, const Page& page) {
    std::size_t items = 0;
    for (const Group& group : page.groups)
      if (!is_furniture(group)) items += group.items.size();
    EXPECT_GT(items, 1u) << where;
  });
}

}  // namespace
}  // namespace halfround::sheet
