#include "solve/documented.h"

#include <gtest/gtest.h>

#include <fstream>
#include <map>
#include <regex>
#include <set>
#include <sstream>
#include <string>

namespace halfround::solve {
namespace {

/// A sentence without what differs from case to case: numbers, sizes, keys, words in quotation marks, sides.
std::string shape_of(std::string text) {
  static const std::pair<std::regex, const char*> kTurns[] = {
      {std::regex(R"("[^"]*"|\B'[^']*'\B)"), "#"},
      {std::regex("0x[0-9a-f]+"), "#"},
      {std::regex(R"(\[[a-z_]+\])"), "#"},
      {std::regex(R"(\b[a-z]+(_[a-z]+|\[\d*\])*(\.[a-z]+(_[a-z]+)*(\[\d*\])?)+\b)"), "#"},
      {std::regex(R"([-ø]?\d+([.,:/]\d+)*( in\b)?)"), "#"},
      {std::regex(R"(\b(left|right)\b)"), "#"},
      {std::regex(R"(\s+)"), " "}};
  for (const auto& [from, to] : kTurns) text = std::regex_replace(text, from, to);
  return text;
}

/// The examples of docs/problems.md by code.
std::map<std::string, std::string> rows() {
  std::map<std::string, std::string> out;
  std::ifstream in(SOURCE_DIR "/docs/problems.md");
  for (std::string line; std::getline(in, line);) {
    if (!line.starts_with("| `")) continue;
    std::vector<std::string> cells;
    std::istringstream all(line.substr(2));
    for (std::string cell; std::getline(all, cell, '|');) cells.push_back(cell);
    if (cells.size() != 3) continue;
    const std::string code = cells[0].substr(1, cells[0].find('`', 1) - 1);
    const std::size_t first = cells[2].find_first_not_of(' '), last = cells[2].find_last_not_of(' ');
    if (first != std::string::npos) out.emplace(code, cells[2].substr(first, last - first + 1));
  }
  return out;
}

struct Said {
  std::map<std::string, std::set<std::string>> by_code;
};
Said& said() {
  static Said all;
  return all;
}

/// "..." in a row stands for whatever is left out there.
bool has_shape(const std::string& sentence, const std::string& row) {
  const std::string made = shape_of(sentence);
  std::size_t at = 0;
  std::string rest = shape_of(row);
  while (true) {
    const std::size_t gap = rest.find("...");
    const std::string piece = rest.substr(0, gap);
    at = made.find(piece, at);
    if (at == std::string::npos) return false;
    if (gap == std::string::npos) return true;
    at += piece.size();
    rest = rest.substr(gap + 3);
    rest.erase(0, rest.find_first_not_of(' '));
  }
}

class Documented : public testing::Environment {
  void TearDown() override {
    if (testing::GTEST_FLAG(filter) != "*") return;  // part of the tests draws out part of the sentences
    const auto documented = rows();
    std::size_t held = 0;
    for (const auto& [code, sentences] : said().by_code) {
      const auto row = documented.find(code);
      if (row == documented.end()) continue;  // codes of quantities have their own page
      ++held;
      bool alike = false;
      for (const std::string& s : sentences) alike = alike || has_shape(s, row->second);
      EXPECT_TRUE(alike) << code << ": docs/problems.md shows\n  " << row->second << "\nthe program says\n  "
                         << *sentences.begin();
    }
    EXPECT_GT(held, 70u) << "fewer complaints than that are held against docs/problems.md";
  }
};
const auto* const kDocumented = testing::AddGlobalTestEnvironment(new Documented);

}  // namespace

const base::Problem& told(const base::Problem& problem) {
  said().by_code[problem.code].insert(problem.what + " " + problem.fits);
  return problem;
}

}  // namespace halfround::solve
