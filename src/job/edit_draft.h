// A job's text with what TOML sees in it, and the few ways to change it that keep the rest. Only this room
// sees this header: toml++ stays behind it. Frame: none.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "job/schema.h"
#include "job/text_map.h"

namespace halfround::job {

/// One name of a key: "stations[3]" is {"stations", 3}.
struct Step {
  std::string name;
  std::size_t row = 0;  ///< from 1; 0: the key itself
};
using Steps = std::vector<Step>;

/// Empty where `key` is no key.
[[nodiscard]] Steps steps_of(std::string_view key);
[[nodiscard]] std::string key_of(const Steps& steps, std::size_t count);

/// Text and table always belong together: every change parses again.
class Draft {
 public:
  /// Throws toml::parse_error.
  explicit Draft(std::string text, std::span<const Row> rows = schema());
  Draft(const Draft&) = delete;
  Draft& operator=(const Draft&) = delete;

  [[nodiscard]] const std::string& text() const { return text_; }
  [[nodiscard]] const toml::table& table() const { return table_; }
  [[nodiscard]] const TextMap& map() const { return map_; }

  /// The node of the first `count` steps; null where there is none. Cells of a row without names are found by
  /// the order of the schema.
  [[nodiscard]] const toml::node* find(const Steps& steps, std::size_t count) const;

  /// Has it a heading of its own, "[wheel.tyre]" or "[[features]]"?
  [[nodiscard]] bool headed(const toml::node& node) const;
  [[nodiscard]] bool in_braces(const toml::node& node) const;  ///< "{a = 1}"
  /// "[[features]]", not "features = [...]".
  [[nodiscard]] bool repeated(const toml::node& node) const;
  /// The lines of a headed table (or the root), its heading counted, comments of the next one not.
  struct Lines {
    std::size_t first = 0, last = 0;
  };
  [[nodiscard]] Lines block_of(const toml::table& table) const;
  [[nodiscard]] std::size_t first_line(const toml::node& node) const;
  [[nodiscard]] std::size_t last_line(const toml::node& node) const;

  void replace(Span at, std::string_view with);
  void comment_out(Lines lines);
  void put_below(std::size_t line, const std::string& more);  ///< 0: above everything
  void append(const std::string& more);                       ///< below everything, a blank line between
  /// Takes one item out of brackets or braces, its comma as well.
  void erase_item(Span at);

 private:
  [[nodiscard]] std::optional<Span> own_lines(Span at) const;
  void parse();
  std::span<const Row> rows_;
  std::string text_;
  toml::table table_;
  TextMap map_;
  std::vector<std::size_t> headings_;  ///< lines, rising
};

}  // namespace halfround::job
