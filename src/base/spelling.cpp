#include "base/spelling.h"

#include <algorithm>
#include <array>
#include <cstdint>
#include <numeric>
#include <utility>
#include <vector>

namespace halfround::base {

namespace {

/// Row by row; for words of any length.
std::size_t distance_by_rows(std::string_view a, std::string_view b) {
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

/// A whole row at once, one bit for each letter of `a`, which has from 1 to 64. Every unknown key of a job is
/// held against every known one.
///   source  G. Myers, A fast bit-vector algorithm for approximate string matching, J. ACM 46 (1999) 395-415,
///   in the form for whole words [from memory]; held against the rows by a test
std::size_t distance_by_bits(std::string_view a, std::string_view b) {
  std::array<std::uint64_t, 256> places{};
  for (std::size_t i = 0; i < a.size(); ++i)
    places[static_cast<unsigned char>(a[i])] |= std::uint64_t{1} << i;
  const std::uint64_t last = std::uint64_t{1} << (a.size() - 1);
  std::uint64_t rises = ~std::uint64_t{0}, falls = 0;  // of the column, from one letter of `a` to the next
  std::size_t out = a.size();
  for (const char c : b) {
    const std::uint64_t same = places[static_cast<unsigned char>(c)], kept = same | falls;
    const std::uint64_t straight = (((same & rises) + rises) ^ rises) | kept;
    std::uint64_t up = falls | ~(straight | rises), down = rises & straight;
    if (up & last) ++out;
    if (down & last) --out;
    up = up << 1 | 1, down <<= 1;
    rises = down | ~(straight | up);
    falls = up & straight;
  }
  return out;
}

}  // namespace

std::size_t spelling_distance(std::string_view a, std::string_view b) {
  if (a.size() > b.size()) std::swap(a, b);
  if (a.empty()) return b.size();
  return a.size() <= 64 ? distance_by_bits(a, b) : distance_by_rows(a, b);
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
