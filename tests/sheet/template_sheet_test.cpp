#include "sheet/template_sheet.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "answer_scene.h"

namespace halfround::sheet {
namespace {

const Solved& island() {
  static const Solved solved = solved_example("island-mail");
  return solved;
}
const Solved& harbour() {
  static const Solved solved = solved_example("harbour-mail");
  return solved;
}

const Group& group_of(const Page& page, const std::string& name) {
  for (const Group& group : page.groups)
    if (group.name == name) return group;
  throw base::Bug("no such group: " + name);
}

/// All points of the paths of a pen, in drawing order.
std::vector<Vec2> points_with(const Group& group, Weight weight, Ink ink) {
  std::vector<Vec2> out;
  for (const Item& item : group.items) {
    const auto* path = std::get_if<Path>(&item);
    if (path && path->stroke.weight == weight && path->stroke.ink == ink)
      out.insert(out.end(), path->points.begin(), path->points.end());
  }
  return out;
}

std::vector<std::string> words_on(const Page& page) {
  std::vector<std::string> out;
  for (const Group& group : page.groups)
    for (const Item& item : group.items)
      if (const auto* text = std::get_if<Text>(&item)) out.push_back(text->text);
  return out;
}

bool says(const Page& page, const std::string& what) {
  const auto words = words_on(page);
  return std::any_of(words.begin(), words.end(),
                     [&](const std::string& w) { return w.find(what) != std::string::npos; });
}

TEST(MitreTemplates, CutAndScribeLineLieAsTheStudyHasThem) {
  for (const Solved* s : {&island(), &harbour()}) {
    const Sheet sheet = mitre_templates(s->job, s->answer, Paper::a4, plain_title());
    ASSERT_EQ(sheet.pages.size(), s->answer.mitres.size());
    for (std::size_t k = 0; k < sheet.pages.size(); ++k) {
      const shape::Unrolled& t = s->answer.mitres[k].template_;
      const Group& lines = group_of(sheet.pages[k], "template");
      std::vector<Vec2> edge = points_with(lines, Weight::thick, Ink::graphite);
      std::vector<Vec2> ring = points_with(lines, Weight::medium, Ink::hand);
      // stretches share their end points
      edge.erase(std::unique(edge.begin(), edge.end()), edge.end());
      std::vector<Vec2> wanted = t.edge;
      wanted.erase(std::unique(wanted.begin(), wanted.end()), wanted.end());
      ASSERT_EQ(edge.size(), wanted.size());
      const Vec2 move = edge.front() - wanted.front();
      for (std::size_t i = 0; i < edge.size(); ++i) EXPECT_LT((edge[i] - wanted[i] - move).norm(), 1e-9);
      ASSERT_GE(ring.size(), t.ring.size());  // the mark line follows
      for (std::size_t i = 0; i < t.ring.size(); ++i) EXPECT_LT((ring[i] - t.ring[i] - move).norm(), 1e-9);
      const double width = (ring[t.ring.size() - 1] - ring[0]).norm();
      EXPECT_NEAR(width, (t.ring.back() - t.ring.front()).norm(), 1e-9);
    }
  }
}

TEST(MitreTemplates, ArePagesOfTheirOwnForEachSideAndEnd) {
  const Sheet sheet = mitre_templates(island().job, island().answer, Paper::a4, plain_title());
  ASSERT_EQ(sheet.pages.size(), 4u);
  for (const char* name : {"LEFT BLADE – UPPER END", "LEFT BLADE – LOWER END", "RIGHT BLADE – UPPER END",
                           "RIGHT BLADE – LOWER END"})
    EXPECT_EQ(
        std::count_if(sheet.pages.begin(), sheet.pages.end(), [&](const Page& p) { return says(p, name); }),
        1)
        << name;
  for (const Page& page : sheet.pages) {
    EXPECT_TRUE(says(page, "MARK LINE (outside of the blade)"));
    EXPECT_TRUE(says(page, "this side is waste"));
    EXPECT_TRUE(says(page, "glue under"));
    EXPECT_TRUE(says(page, "0123abcd"));
  }
}

TEST(MitreTemplates, ShowWherePassingStretchesAreOnlyDashed) {
  const Sheet sheet = mitre_templates(island().job, island().answer, Paper::a4, plain_title());
  for (std::size_t k = 0; k < sheet.pages.size(); ++k) {
    int dashed = 0;
    for (const Item& item : group_of(sheet.pages[k], "template").items) {
      const auto* path = std::get_if<Path>(&item);
      dashed += path && path->stroke.weight == Weight::thick && path->stroke.dash == Dash::dashed;
    }
    EXPECT_EQ(dashed, static_cast<int>(island().answer.mitres[k].passing.size()));
    EXPECT_EQ(dashed > 0, says(sheet.pages[k], "passes beside the steerer:"));
  }
}

TEST(MitreTemplates, ForwardPointsTheOtherWayOnTheMirroredBlade) {
  const Sheet sheet = mitre_templates(island().job, island().answer, Paper::a4, plain_title());
  const auto forward_x = [&](const std::string& name) {
    for (const Page& page : sheet.pages) {
      if (page.name != name) continue;
      double forward = 0, rearward = 0;
      for (const Item& item : group_of(page, "words").items) {
        const auto* text = std::get_if<Text>(&item);
        if (text && text->text == "forward") forward = text->at.x();
        if (text && text->text == "rearward") rearward = text->at.x();
      }
      return forward - rearward;
    }
    return 0.0;
  };
  // seen from outside with the cut up: forward of the left blade lies at the left, of the right one at the
  // right
  EXPECT_LT(forward_x("left blade, upper end"), 0);
  EXPECT_GT(forward_x("right blade, upper end"), 0);
  EXPECT_GT(forward_x("left blade, lower end"), 0);
  EXPECT_LT(forward_x("right blade, lower end"), 0);
}

TEST(MitreTemplates, AreTidyOnBothPapers) {
  for (const Solved* s : {&island(), &harbour()})
    for (const Paper paper : {Paper::a4, Paper::letter})
      for (const Page& page : mitre_templates(s->job, s->answer, paper, plain_title()).pages)
        expect_tidy(page);
}

// A tip of 14 mm: "rearward" at the seam and "inside" a quarter of the way from it had 11 mm between them.
TEST(MitreTemplates, OfAThinTipKeepTheirWordsApart) {
  std::ostringstream text;
  text << std::ifstream(SOURCE_DIR "/examples/island-mail/fork.toml", std::ios::binary).rdbuf();
  for (const char* tip : {"14.0, 14.0", "12.5, 12.5", "18.0, 14.0"}) {
    std::string own = text.str();
    const auto at = own.find("[0, ", own.find("stations = ["));
    ASSERT_NE(at, std::string::npos);
    own.replace(at, own.find(']', at) + 1 - at, std::string("[0, ") + tip + ", 1.2]");
    const auto job = job::read_job(own, "thin.toml");
    ASSERT_TRUE(job);
    const auto answer = solve::solve(*job, {.tolerance = false, .changes = false});
    ASSERT_TRUE(answer) << base::sentence(answer.error());
    for (const Page& page : mitre_templates(*job, *answer, Paper::a4, plain_title()).pages) {
      expect_tidy(page);
      for (const Item& item : group_of(page, "clock").items) {
        const auto* word = std::get_if<Text>(&item);
        EXPECT_TRUE(!word || word->height >= 2);
      }
    }
  }
}

TEST(MitreTemplates, GrowOntoTurnedOrLargerPaperWhenTheyMust) {
  for (const double by : {2.4, 6.0}) {
    Solved big = island();
    big.answer.mitres.resize(1);
    for (auto* points : {&big.answer.mitres[0].template_.edge, &big.answer.mitres[0].template_.ring})
      for (Vec2& p : *points) p *= by;
    const Sheet sheet = mitre_templates(big.job, big.answer, Paper::a4, plain_title());
    ASSERT_EQ(sheet.pages.size(), 2u);
    EXPECT_GT(sheet.pages[0].width, sheet.pages[0].height * (by < 5 ? 0.5 : 1));
    for (const Page& page : sheet.pages) expect_tidy(page);
  }
}

TEST(MitreTemplates, OfTheIslandForkAreAsAccepted) {
  Sheet sheet = mitre_templates(island().job, island().answer, Paper::a4, plain_title());
  sheet.pages.resize(2);  // the right blade is the left one's mirror image
  expect_golden(sheet, "mitre-templates");
}

}  // namespace
}  // namespace halfround::sheet
