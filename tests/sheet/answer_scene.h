// The island fork, read and solved, and what every finished sheet must keep to.
#pragma once

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

#include "job/read.h"
#include "paper/clip.h"
#include "paper/display.h"
#include "paper/page_furniture.h"
#include "paper/typeface.h"
#include "solve/solve.h"

namespace halfround::sheet {

using namespace paper;

struct Solved {
  job::Job job;
  solve::Answer answer;
};

/// An example solved; a bug of the examples if it can't be.
inline Solved solved_example(const std::string& name) {
  const std::string path = SOURCE_DIR "/examples/" + name + "/fork.toml";
  std::ostringstream text;
  text << std::ifstream(path, std::ios::binary).rdbuf();
  auto job = job::read_job(text.str(), name + ".toml");
  base::check(job.has_value(), "an example reads");
  auto answer = solve::solve(*job);
  base::check(answer.has_value(), "an example solves");
  answer->revision = "0123abcd";  // goldens don't change with a comment in the job file
  return {std::move(*job), std::move(*answer)};
}

inline TitleBlock plain_title() {
  return {.job = "island mail", .sheet = "", .revision = "0123abcd", .note = ""};
}

/// Corners of the letters themselves: the plate without its air.
inline std::vector<Vec2> letters_of(const Text& text) {
  std::vector<Vec2> plate = plate_of(text);
  const Vec2 x = (plate[1] - plate[0]).normalized(), y = (plate[3] - plate[0]).normalized();
  const double side = 0.2 * text.height, high = 0.15 * text.height;
  plate[0] += side * x, plate[3] += side * x - high * y;
  plate[1] -= side * x, plate[2] -= side * x + high * y;
  return plate;
}

/// Do two rectangles (four corners each, turned or not) share more than a touch? Separating axes.
inline bool overlap(const std::vector<Vec2>& a, const std::vector<Vec2>& b) {
  for (const auto* shape : {&a, &b}) {
    for (int k : {0, 1}) {
      const Vec2 axis = ((*shape)[k + 1] - (*shape)[k]).normalized();
      const auto reach = [&](const std::vector<Vec2>& s) {
        Vec2 r(INFINITY, -INFINITY);
        for (const Vec2& p : s) r = {std::min(r.x(), p.dot(axis)), std::max(r.y(), p.dot(axis))};
        return r;
      };
      const Vec2 ra = reach(a), rb = reach(b);
      if (ra.y() <= rb.x() + 0.01 || rb.y() <= ra.x() + 0.01) return false;
    }
  }
  return true;
}

/// Every text within the border, content above the strip, no two texts over each other.
inline void expect_tidy(const Page& page) {
  std::vector<Text> texts;
  const Box box = content_box(page.width, page.height);
  for (const Group& group : page.groups) {
    for (const Item& item : group.items) {
      if (const auto* text = std::get_if<Text>(&item)) texts.push_back(*text);
      if (is_furniture(group)) continue;
      const Box ink = *bounds_of({item});
      EXPECT_GE(ink.min.x(), box.min.x() - 1) << page.name << ", " << group.name;
      EXPECT_LE(ink.max.x(), box.max.x() + 1) << page.name << ", " << group.name;
      EXPECT_GE(ink.min.y(), box.min.y() - 1) << page.name << ", " << group.name;
      EXPECT_LE(ink.max.y(), box.max.y() + 1) << page.name << ", " << group.name;
    }
  }
  for (std::size_t i = 0; i < texts.size(); ++i) {
    const auto a = letters_of(texts[i]);
    for (std::size_t j = i + 1; j < texts.size(); ++j)
      EXPECT_FALSE(overlap(a, letters_of(texts[j])))
          << page.name << ": '" << texts[i].text << "' over '" << texts[j].text << "'";
  }
}

/// As accepted in tests/golden; HALFROUND_ACCEPT=1 takes over what is drawn now: look at the picture first.
inline void expect_golden_text(const std::string& now, const std::string& name) {
  const std::string path = SOURCE_DIR "/tests/golden/" + name + ".display.txt";
  if (std::getenv("HALFROUND_ACCEPT")) std::ofstream(path, std::ios::binary) << now;
  std::ostringstream accepted;
  accepted << std::ifstream(path, std::ios::binary).rdbuf();
  std::string flat = name;
  std::ranges::replace(flat, '/', '-');
  const std::string changed = BINARY_DIR "/" + flat + "-changed.display.txt";
  if (accepted.str() != now) std::ofstream(changed, std::ios::binary) << now;
  EXPECT_TRUE(accepted.str() == now) << "compare " << path << " with " << changed;
}
inline void expect_golden(const Sheet& sheet, const std::string& name) {
  expect_golden_text(to_text(sheet), name);
}

}  // namespace halfround::sheet
