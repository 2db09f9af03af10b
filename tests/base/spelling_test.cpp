#include "base/spelling.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <numeric>
#include <random>
#include <vector>

namespace halfround::base {
namespace {

TEST(Spelling, CountsLettersToPutInTakeOutOrExchange) {
  EXPECT_EQ(spelling_distance("", ""), 0U);
  EXPECT_EQ(spelling_distance("", "abc"), 3U);
  EXPECT_EQ(spelling_distance("abc", ""), 3U);
  EXPECT_EQ(spelling_distance("kitten", "sitting"), 3U);  // [common practice] the textbooks' example
  EXPECT_EQ(spelling_distance("offset", "ofset"), 1U);
  EXPECT_EQ(spelling_distance("\xC3\xA9", "e"), 2U);  // bytes are letters here
}

/// The definition, row by row.
std::size_t by_definition(const std::string& a, const std::string& b) {
  std::vector<std::size_t> row(b.size() + 1), above;
  std::iota(row.begin(), row.end(), 0);
  for (std::size_t i = 1; i <= a.size(); ++i) {
    above = row;
    row[0] = i;
    for (std::size_t j = 1; j <= b.size(); ++j)
      row[j] = std::min({above[j - 1] + (a[i - 1] != b[j - 1]), above[j] + 1, row[j - 1] + 1});
  }
  return row.back();
}

TEST(Spelling, IsAsItsDefinitionForWordsOfEveryLength) {
  std::mt19937 random(20261201);
  for (int round = 0; round < 3000; ++round) {
    const auto word = [&] {
      std::string out(random() % 90, ' ');
      for (char& c : out) c = static_cast<char>("abc_.\xFF"[random() % 6]);
      return out;
    };
    std::string a = word(), b = word();
    if (round % 2 == 0) {  // near one another, as a slip of the hand is
      b = a;
      for (int n = 0; n < 3 && !b.empty(); ++n) b[random() % b.size()] = 'x';
    }
    ASSERT_EQ(spelling_distance(a, b), by_definition(a, b)) << a << " and " << b;
  }
}

}  // namespace
}  // namespace halfround::base
