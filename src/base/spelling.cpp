#include "base/spelling.h"

#include <algorithm>
#include <numeric>
#include <vector>

namespace halfround::base {

std::size_t spelling_distance(std::string_view a, std::string_view b) {
  std::vector<std::size_t> row(b.size() + 1);
  std::iota(row.begin(), row.end(), 0);
  for (std::size_t i = 1; i <= a.size(); ++i) {
    std::size_t corner = row[0];
    row[0] = i;
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t other = corner + (a[i - 1] == b[j - 1] ? 0 : 1);
      corner = row[j];
      row[j] = std::min({other, row[j] + 1, row[j - 1] + 1});
    }
  }
  return row.back();
}

std::string nearest_word(std::span<const std::string> known, std::string_view word) {
  std::string best;
  std::size_t least = std::max<std::size_t>(2, word.size() / 3) + 1;
  if (word.size() > 100) return best;
  for (const std::string& k : known) {
    if (const std::size_t far = spelling_distance(word, k); far < least) least = far, best = k;
  }
  return best;
}

}  // namespace halfround::base
