// Tubes of one diameter, tangent ones, coaxial faces: the commonest joints, and the ones where a cut jumps or
// touches. Every sheet, cut file and table of theirs is made, and soon.
#include <gtest/gtest.h>

#include <map>

#include "exchange/dxf.h"
#include "exchange/exchange.h"
#include "outside/solids/forks.h"
#include "whole_set.h"

namespace halfround::sheet {
namespace {

class EqualTubes : public testing::TestWithParam<forks::NamedFork> {};

/// Group code and value, line by line.
std::vector<std::pair<int, std::string>> pairs_of(const std::string& dxf) {
  std::vector<std::pair<int, std::string>> out;
  std::istringstream in(dxf);
  for (std::string code, value; std::getline(in, code) && std::getline(in, value);)
    out.emplace_back(std::stoi(code), value);
  return out;
}

TEST_P(EqualTubes, HaveCutFilesTablesAndSheetsThatKeepToThePage) {
  const auto job = job::read_job(GetParam().text, "job.toml");
  ASSERT_TRUE(job) << base::sentence(job.error().front());
  const auto shop = job::read_shop(text_of_file(SOURCE_DIR "/examples/island-mail/shop.toml"), "shop.toml");
  ASSERT_TRUE(shop);
  const auto answer = solve::solve(*job, {.changes = false, .draws = 2000, .shop = &shop->shop});
  ASSERT_TRUE(answer) << base::sentence(answer.error());
  const solve::ShopPlan plan = solve::shop_plan(*job, *answer, shop->shop);
  std::size_t drawings = 0;
  for (const File& file : exchange::exchange_files(*job, *answer, &plan, shop->shop)) {
    for (const char* none : {"nan", "inf"})
      EXPECT_EQ(file.name.ends_with(".svg") ? std::string::npos : file.bytes.find(none), std::string::npos)
          << file.name << " has a number that is none";
    EXPECT_LT(file.bytes.size(), 2'000'000u) << file.name;
    if (!file.name.ends_with(".dxf")) continue;
    ++drawings;
    double most = 0;
    for (const auto& [code, value] : pairs_of(file.bytes))
      if (code == 10 || code == 20) most = std::max(most, std::abs(std::stod(value)));
    EXPECT_GT(most, 1) << file.name;
    EXPECT_LT(most, 2000) << file.name;
  }
  EXPECT_GE(drawings, answer->mitres.size());
  for (const Drawn& drawn : whole_set(*job, *answer, &plan)) {
    for (const Page& page : drawn.sheet.pages) {
      const Box border{{kMargin, kMargin}, {page.width - kMargin, page.height - kMargin}};
      for (const Group& group : page.groups) {
        if (group.clip) continue;
        for (const Item& item : group.items) {
          const auto* text = std::get_if<Text>(&item);
          if (!text) continue;
          for (const Vec2& p : letters_of(*text)) {
            EXPECT_TRUE(p.x() > border.min.x() - 0.01 && p.x() < border.max.x() + 0.01 &&
                        p.y() > border.min.y() - 0.01 && p.y() < border.max.y() + 0.01)
                << drawn.sheet.stem << ", " << page.name << ": '" << text->text << "'";
          }
        }
      }
    }
  }
}

INSTANTIATE_TEST_SUITE_P(Cases, EqualTubes, testing::ValuesIn(forks::equal_tubes()),
                         [](const auto& p) { return p.param.name; });

}  // namespace
}  // namespace halfround::sheet
