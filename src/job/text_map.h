// Where a parsed value stands in the text it was read from. Only this room sees this header: toml++ stays
// behind it. Frame: none.
#pragma once

#include <toml++/toml.h>

#include <cstddef>
#include <string_view>
#include <vector>

namespace halfround::job {

/// A stretch of text by its bytes, `to` not counted.
struct Span {
  std::size_t from = 0, to = 0;
};

/// Lines and columns of a text as bytes; lines count from 1, columns count characters from 1.
class TextMap {
 public:
  explicit TextMap(std::string_view text);
  [[nodiscard]] std::size_t offset_of(const toml::source_position& place) const;
  /// A value without the blanks and the comma behind it.
  [[nodiscard]] Span span_of(const toml::node& node) const;
  [[nodiscard]] std::string_view text_of(const toml::node& node) const;
  [[nodiscard]] std::size_t line_start(std::size_t line) const;  ///< the text's end behind the last line
  [[nodiscard]] std::size_t lines() const { return starts_.size(); }
  /// The line's text without its end.
  [[nodiscard]] std::string_view line(std::size_t line) const;

 private:
  std::string_view text_;
  std::vector<std::size_t> starts_;
};

}  // namespace halfround::job
