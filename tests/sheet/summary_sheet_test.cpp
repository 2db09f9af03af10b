#include "sheet/summary_sheet.h"

#include <gtest/gtest.h>

#include "answer_scene.h"
#include "paper/text_block.h"
#include "sheet/summary_tables.h"
#include "solve/notes.h"

namespace halfround::sheet {
namespace {

std::string all_words(const Sheet& sheet) {
  std::string out;
  for (const Page& page : sheet.pages)
    for (const Group& group : page.groups)
      for (const Item& item : group.items)
        if (const auto* text = std::get_if<Text>(&item)) out += text->text + " ";
  return out;
}

TEST(Summary, SaysWhatWasTypedAndEveryNoteAndCautionOnce) {
  for (const char* name : {"island-mail", "harbour-mail"}) {
    const Solved s = solved_example(name);
    const std::string words = all_words(summary(s.job, s.answer, Paper::a4, plain_title()));
    EXPECT_NE(words.find(s.job.steering.head_angle.typed), std::string::npos);
    const auto count = [&](const std::string& start) {
      int n = 0;
      for (std::size_t at = words.find(start); at != std::string::npos; at = words.find(start, at + 1)) ++n;
      return n;
    };
    for (const std::string& caution : solve::cautions())
      EXPECT_EQ(count(caution.substr(0, 40)), 1) << caution;
    for (const solve::Note& note : s.answer.notes)
      EXPECT_GE(count(note.what.substr(note.what.find(':') + 1).substr(0, 20)), 1) << note.what;
  }
}

/// The rows of the wishes: name and difference.
std::vector<std::pair<std::string, std::string>> wish_rows(const Solved& s) {
  std::vector<std::pair<std::string, std::string>> out;
  for (const auto& row : asked_and_got(s.job, s.answer).rows)
    if (row[0].text.starts_with("wish: ")) out.emplace_back(row[0].text, row[4].text);
  return out;
}

TEST(Summary, PrintsEveryWishOfEveryExampleUnderItsOwnNameAndMet) {
  for (const char* name :
       {"island-mail", "harbour-mail", "ferry-mail", "quarry-mail", "pier-mail", "slip-mail"}) {
    const Solved s = solved_example(name);
    const auto rows = wish_rows(s);
    ASSERT_EQ(rows.size(), s.job.wishes.two.size() * (s.answer.fork.mirrored ? 1 : 2)) << name;
    for (std::size_t i = 0; i < rows.size(); ++i) {
      const auto wish = static_cast<layout::Wish>(s.job.wishes.two[i % s.job.wishes.two.size()].what);
      EXPECT_NE(rows[i].first.find(layout::name_of(wish)), std::string::npos)
          << name << ": " << rows[i].first;
      EXPECT_EQ(rows[i].second, "0") << name << ": " << rows[i].first;
    }
  }
}

TEST(Summary, IsTidyOnBothPapersAndAtMostTwoPages) {
  for (const char* name : {"island-mail", "harbour-mail"}) {
    const Solved s = solved_example(name);
    for (const Paper paper : {Paper::a4, Paper::letter}) {
      const Sheet sheet = summary(s.job, s.answer, paper, plain_title());
      EXPECT_LE(sheet.pages.size(), 2u);
      for (const Page& page : sheet.pages) expect_tidy(page);
    }
  }
}

TEST(Summary, GoesOnWithManyNotes) {
  Solved s = solved_example("island-mail");
  for (int i = 0; i < 60; ++i)
    s.answer.notes.push_back({solve::Note::Kind::assumed, "x", "",
                              "A long note that says again what was said before, so that pages fill."});
  const Sheet sheet = summary(s.job, s.answer, Paper::letter, plain_title());
  EXPECT_GE(sheet.pages.size(), 2u);
  for (const Page& page : sheet.pages) expect_tidy(page);
}

TEST(Summary, OfTheIslandForkIsAsAccepted) {
  const Solved s = solved_example("island-mail");
  expect_golden(summary(s.job, s.answer, Paper::a4, plain_title()), "summary");
}

TEST(TextBlock, ParagraphsKeepTheirWidthAndSayWhereTheyEnd) {
  const Block block =
      paragraph({10, 100}, 40, "a paragraph long enough to be broken into several lines of this width", {});
  double low = 100;
  for (const Item& item : block.items) {
    const Text& text = std::get<Text>(item);
    EXPECT_LE(text_width(text.text, text.height), 40);
    low = std::min(low, text.at.y());
  }
  EXPECT_GT(block.items.size(), 1u);
  EXPECT_LT(block.bottom, low);
}

}  // namespace
}  // namespace halfround::sheet
