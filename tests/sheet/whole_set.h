// Every example and the starter, solved in its own shop or, where it has none, in the island's: as ./run
// makes them.
#pragma once

#include <fmt/format.h>

#include <filesystem>
#include <functional>
#include <map>

#include "answer_scene.h"
#include "job/shop_read.h"
#include "job/starter.h"
#include "paper/draughting.h"
#include "paper/pen.h"
#include "sheet/book.h"
#include "solve/shop_plan.h"

namespace halfround::sheet {

struct WholeSet {
  job::Job job;
  solve::Answer answer;
  shop::Shop shop;
  solve::ShopPlan plan;
  std::vector<Drawn> sheets;  ///< on both papers
};

/// The folders of examples/ in order, and "starter".
inline std::vector<std::string> all_examples() {
  std::vector<std::string> names;
  for (const auto& entry : std::filesystem::directory_iterator(SOURCE_DIR "/examples"))
    if (std::filesystem::exists(entry.path() / "fork.toml"))
      names.push_back(entry.path().filename().string());
  std::ranges::sort(names);
  names.emplace_back("starter");
  return names;
}

inline std::string text_of_file(const std::filesystem::path& path) {
  std::ostringstream text;
  text << std::ifstream(path, std::ios::binary).rdbuf();
  return text.str();
}

/// Solved and drawn once for all tests.
inline const WholeSet& set_of(const std::string& name) {
  static std::map<std::string, WholeSet> all;
  if (const auto found = all.find(name); found != all.end()) return found->second;
  namespace fs = std::filesystem;
  const fs::path examples = SOURCE_DIR "/examples";
  auto job = job::read_job(
      name == "starter" ? job::starter_job() : text_of_file(examples / name / "fork.toml"), name + ".toml");
  base::check(job.has_value(), "an example reads");
  job->sheets.paper = job::Paper::both;
  const fs::path own = examples / name / "shop.toml";
  const auto shop =
      job::read_shop(text_of_file(fs::exists(own) ? own : examples / "island-mail/shop.toml"), "shop.toml");
  base::check(shop.has_value(), "the shop of an example reads");
  auto answer = solve::solve(*job, {.shop = &shop->shop});
  base::check(answer.has_value(), "an example solves");
  answer->revision = "0123abcd";  // nothing moves with a comment in the job file
  solve::ShopPlan plan = solve::shop_plan(*job, *answer, shop->shop);
  std::vector<Drawn> sheets = whole_set(*job, *answer, &plan);
  return all
      .emplace(name,
               WholeSet{std::move(*job), std::move(*answer), shop->shop, std::move(plan), std::move(sheets)})
      .first->second;
}

/// What a sheet shows, small enough to keep for every sheet of every example: each text in full, where it
/// stands; of what is drawn in each group how many strokes and areas, how long all together and in which box.
inline std::string short_text_of(const Sheet& sheet) {
  Sheet words = sheet;
  for (Page& page : words.pages) std::erase_if(page.groups, is_furniture);
  std::string out;
  for (std::size_t i = 0; i < words.pages.size(); ++i) {
    for (Group& group : words.pages[i].groups) {
      std::vector<Item> drawn;
      std::erase_if(group.items, [&](const Item& item) {
        if (std::holds_alternative<Text>(item)) return false;
        drawn.push_back(item);
        return true;
      });
      if (drawn.empty()) continue;
      double length = 0;
      std::size_t strokes = 0;
      for (const Item& item : drawn) {
        if (const auto* path = std::get_if<Path>(&item)) length += length_of(*path), ++strokes;
      }
      const Box box = *bounds_of(drawn);
      out += fmt::format("page {} {}: {} strokes {:.1f} mm, {} areas, {:.1f} {:.1f} to {:.1f} {:.1f}\n",
                         i + 1, group.name, strokes, length, drawn.size() - strokes, box.min.x(), box.min.y(),
                         box.max.x(), box.max.y());
    }
  }
  return to_text(words) + out;
}

}  // namespace halfround::sheet
