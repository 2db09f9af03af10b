// One round of editing: a few keys and values, made of the grammar and of what a hand might type, put into a
// text. Whatever they are, the answer is a text that still parses and has nothing else changed, or a
// sentence. Both the libFuzzer target and a test of the job room run it. Frame: none.
#pragma once

#include <fmt/format.h>

#include <algorithm>
#include <string>
#include <vector>

#include "base/result.h"
#include "job/edit.h"
#include "job/schema.h"

namespace halfround::job {

/// Bytes that say what to choose; zeros when they are used up.
class Choices {
 public:
  Choices(const unsigned char* data, std::size_t size) : data_(data), left_(size) {}
  std::size_t below(std::size_t n) { return n == 0 ? 0 : (next() << 8 | next()) % n; }
  [[nodiscard]] bool more() const { return left_ > 0; }

 private:
  std::size_t next() {
    if (left_ == 0) return 0;
    --left_;
    return *data_++;
  }
  const unsigned char* data_;
  std::size_t left_;
};

/// A key of the grammar with its rows counted, now and then cut short, grown or spoilt.
inline std::string some_key(Choices& c, std::span<const Row> rows) {
  std::string key(rows[c.below(rows.size())].key), out;
  for (std::size_t i = 0; i < key.size(); ++i) {
    out += key[i];
    if (key[i] == '[') out += std::to_string(c.below(8) == 0 ? c.below(200) : 1 + c.below(4));
  }
  switch (c.below(16)) {
    case 0:
      return out.substr(0, out.rfind('.'));
    case 1:
      return out.substr(0, out.find('.'));
    case 2:
      return out + "[" + std::to_string(1 + c.below(4)) + "]";
    case 3:
      return out + "." + std::string(rows[c.below(rows.size())].key);
    case 4:
      return out.substr(0, c.below(out.size() + 1));
    default:
      return out;
  }
}

inline std::optional<std::string> some_value(Choices& c, std::span<const Row> rows) {
  static const char* const kTyped[] = {"1",
                                       "12.5",
                                       "1 1/8 in",
                                       "-3",
                                       "",
                                       " ",
                                       "a word",
                                       "\"quoted\"",
                                       "'so'",
                                       "[]",
                                       "[[]]",
                                       "[[0, 16, 16]]",
                                       "[[0, 16], [1, 2, 3]]",
                                       "[{}]",
                                       "[{kind = \"boss\"}]",
                                       "[{kind = \"boss\", at = 3}, {kind = \"vent\"}]",
                                       "{}",
                                       "{a = 1}",
                                       "{outside_diameter = 667}",
                                       "[1, [2, {a = [3]}]]",
                                       "#",
                                       "# [wheel.tyre]",
                                       "\n",
                                       "\"\"\"x\ny\"\"\"",
                                       "a\nb = 2",
                                       "\"a\\\"b\"",
                                       "1,2",
                                       "[1,\n 2] # so",
                                       "true",
                                       "1979-05-27",
                                       "nan",
                                       "inf",
                                       "0x1F",
                                       "\xC3\xA9",
                                       "\xFF",
                                       "]",
                                       "}",
                                       "[[features]]",
                                       "1e999",
                                       "'",
                                       "\"",
                                       "\\",
                                       "=",
                                       ",",
                                       "[0, 1, 2,]",
                                       "{ a = 1, a = 2 }"};
  const std::size_t n = std::size(kTyped), which = c.below(n + n / 4 + 8);
  if (which < n) return kTyped[which];
  if (which < n + n / 4) return std::nullopt;
  return std::string(rows[c.below(rows.size())].example);
}

/// The key without its rows' numbers, a point behind it.
inline std::string bare(const std::string& key) {
  std::string out;
  bool inside = false;
  for (const char ch : key) {
    if (ch == '[') inside = true;
    if (!inside) out += ch;
    if (ch == ']') inside = false;
  }
  return out + ".";
}

inline void hold(bool condition, const std::string& reason) {
  base::check(condition, reason.c_str());
}

/// A text with its fields, read once; none where it can't be read.
struct Edited {
  explicit Edited(std::string t) : text(std::move(t)) {
    if (auto read = fields_of(text, "round.toml")) fields = std::move(*read);
  }
  std::string text;
  std::optional<std::vector<Field>> fields;
};

/// What the round makes of it; the same where the edits are refused.
inline Edited edit_round(Edited before, Choices& c, std::span<const Row> rows) {
  std::vector<Edit> edits;
  for (std::size_t n = 1 + c.below(3); n > 0; --n) {
    std::string key = some_key(c, rows);
    edits.push_back({std::move(key), some_value(c, rows)});
  }
  const auto said = [&] {
    std::string out;
    for (const Edit& e : edits) out += fmt::format("{} = {}; ", e.key, e.typed.value_or("(taken out)"));
    return out;
  };
  const auto out = edited_text(before.text, edits, "round.toml", rows);
  if (!out) {
    hold(!out.error().code.empty() && !out.error().what.empty() && !out.error().fits.empty(),
         "a refusal says what and what fits: " + said());
    return before;
  }
  Edited after(*out);
  hold(after.fields.has_value(), "an edited text still parses: " + said());
  if (!before.fields) return after;
  for (const std::string& changed : keys_changed(*before.fields, *after.fields)) {
    const std::string key = bare(changed);
    const bool asked = std::ranges::any_of(edits, [&](const Edit& e) {
      const std::string wanted = bare(e.key);
      return key.starts_with(wanted) || wanted.starts_with(key);
    });
    hold(asked, "only what was edited changes, not " + changed + ": " + said());
  }
  return after;
}

}  // namespace halfround::job
