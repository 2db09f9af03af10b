// A closed set of words: one enum and one table with a row for each of its values. What a file spells, what
// people read and what a list of choices offers all come from that row. Frame: none.
#pragma once

#include <array>
#include <cstddef>
#include <string_view>

namespace halfround::base {

template <class E>
struct Word {
  E value;
  std::string_view key;    ///< as files and answers spell it: "tab dropout", "crown_height"
  std::string_view words;  ///< as people read it: "crown height"
};

namespace detail {
/// Whether a number of the enum has a name: the compiler writes a nameless one as "(E)7".
template <auto kValue>
constexpr bool named() {
  return std::string_view(__PRETTY_FUNCTION__).find("= (") == std::string_view::npos;
}
}  // namespace detail

/// Every value has its row, in the order of the enum, and no value is left over: for a static_assert beside
/// the table. A row is a Word, or a struct with a `value`, `key` and `words` that says more of its value.
template <class Row, std::size_t N>
constexpr bool complete(const std::array<Row, N>& rows) {
  using E = decltype(Row::value);
  for (std::size_t i = 0; i < N; ++i) {
    if (static_cast<std::size_t>(rows[i].value) != i) return false;
  }
  return !detail::named<static_cast<E>(N)>();
}

template <class Row, std::size_t N>
[[nodiscard]] constexpr const Row& word_of(const std::array<Row, N>& rows, decltype(Row::value) value) {
  return rows[static_cast<std::size_t>(value)];
}

/// "insert|tab dropout|hooded dropout": the keys of the first `kCount` rows, as a table of choices has them.
template <const auto& kRows, std::size_t kCount = std::size(kRows)>
struct Choices {
  static constexpr std::size_t kSize = [] {
    std::size_t size = kCount - 1;
    for (std::size_t i = 0; i < kCount; ++i) size += kRows[i].key.size();
    return size;
  }();
  static constexpr std::array<char, kSize> kText = [] {
    std::array<char, kSize> out{};
    std::size_t at = 0;
    for (std::size_t i = 0; i < kCount; ++i) {
      if (i > 0) out[at++] = '|';
      for (const char c : kRows[i].key) out[at++] = c;
    }
    return out;
  }();
};
template <const auto& kRows, std::size_t kCount = std::size(kRows)>
inline constexpr std::string_view choices{Choices<kRows, kCount>::kText.data(),
                                          Choices<kRows, kCount>::kSize};

}  // namespace halfround::base
