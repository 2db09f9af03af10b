#include "drawing/tyre_section.h"
#include "sheet/tyre_sheet.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "answer_scene.h"
#include "base/number.h"
#include "sheet/fork_sheet.h"
#include "sheet/summary_sheet.h"

namespace halfround::sheet {
namespace {

TEST(TyreTemplate, SectionGoesThroughTheMeasuredPoints) {
  const Solved s = solved_example("island-mail");
  const std::vector<Vec2> section = drawing::tyre_section(s.answer);
  ASSERT_FALSE(s.job.wheel.half_profile.empty());
  for (const job::TyrePoint& p : s.job.wheel.half_profile) {
    const Vec2 wanted(p.half_width.value, -p.below_top.value);
    double least = INFINITY;
    for (std::size_t i = 0; i < section.size(); ++i) {
      const Vec2 a = section[i], b = section[(i + 1) % section.size()];
      const double share = std::clamp((wanted - a).dot(b - a) / (b - a).squaredNorm(), 0.0, 1.0);
      least = std::min(least, (a + share * (b - a) - wanted).norm());
    }
    EXPECT_LT(least, 0.02) << wanted.transpose();
  }
}

TEST(TyreTemplate, AirIsTheSameAllRound) {
  const Solved s = solved_example("harbour-mail");
  const std::vector<Vec2> section = drawing::tyre_section(s.answer),
                          grown = drawing::section_with_air(section, 8);
  for (const Vec2& p : grown) {
    double least = INFINITY;
    for (const Vec2& q : section) least = std::min(least, (p - q).norm());
    EXPECT_NEAR(least, 8, 0.05);
  }
}

TEST(TyreTemplate, BothHalvesAreAlike) {
  const std::vector<Vec2> section = drawing::tyre_section(solved_example("island-mail").answer);
  for (std::size_t i = 1; i < section.size(); ++i) {
    const Vec2 a = section[i], b = section[section.size() - i];
    EXPECT_NEAR(a.x(), -b.x(), 1e-9);
    EXPECT_NEAR(a.y(), b.y(), 1e-9);
  }
}

// Between its points an outline may bulge past the widest of them: 45.2 by the calliper's point, more in the
// model.
TEST(TyreTemplate, EverySheetPrintsTheSameWidthOfOneTyre) {
  std::ostringstream text;
  text << std::ifstream(SOURCE_DIR "/examples/island-mail/fork.toml", std::ios::binary).rdbuf();
  std::string own = text.str();
  const auto from = own.find("half_profile = ["), to = own.find("\n]", from);
  ASSERT_NE(from, std::string::npos);
  ASSERT_NE(to, std::string::npos);
  own.replace(from, to + 2 - from, "half_profile = [[0, 0], [9, 2], [17, 8], [22.6, 20], [19, 34]]");
  const auto job = job::read_job(own, "own.toml");
  ASSERT_TRUE(job);
  const auto answer = solve::solve(*job, {.tolerance = false, .changes = false});
  ASSERT_TRUE(answer);
  const double wide = drawing::tyre_width(*answer);
  EXPECT_GT(wide, 45.2);
  const auto says = [](const Sheet& sheet, const std::string& what) {
    for (const Page& page : sheet.pages)
      for (const Group& group : page.groups)
        for (const Item& item : group.items)
          if (const auto* word = std::get_if<Text>(&item))
            if (word->text.find(what) != std::string::npos) return true;
    return false;
  };
  EXPECT_TRUE(says(summary(*job, *answer, Paper::a4, plain_title()), base::format_number(wide, 2)));
  EXPECT_TRUE(says(tyre_template(*job, *answer, Paper::a4, plain_title()), base::format_number(wide, 1)));
  EXPECT_TRUE(says({.stem = "", .title = "", .pages = {fork_page(*job, *answer, plain_title())}},
                   base::format_number(wide, 1)));
}

TEST(TyreTemplate, IsTidyOnBothPapers) {
  for (const char* name : {"island-mail", "harbour-mail"}) {
    const Solved s = solved_example(name);
    for (const Paper paper : {Paper::a4, Paper::letter})
      for (const Page& page : tyre_template(s.job, s.answer, paper, plain_title()).pages) expect_tidy(page);
  }
}

TEST(TyreTemplate, OfTheIslandForkIsAsAccepted) {
  const Solved s = solved_example("island-mail");
  expect_golden(tyre_template(s.job, s.answer, Paper::a4, plain_title()), "tyre-profile");
}

}  // namespace
}  // namespace halfround::sheet
