#include "job/text_door.h"

#include <fmt/format.h>

namespace halfround::job {

using base::Problem;

namespace {

/// A place in the text that counts lines and characters as it goes.
struct Cursor {
  std::size_t i = 0;
  int line = 1, column = 1;
  void step(char c) {
    ++i;
    if (c == '\n') {
      ++line, column = 1;
    } else if ((static_cast<unsigned char>(c) & 0xC0) != 0x80) {
      ++column;
    }
  }
};

std::optional<Problem> not_text(std::string_view text, const std::string& file) {
  Cursor at;
  while (at.i < text.size()) {
    const auto byte = static_cast<unsigned char>(text[at.i]);
    const std::size_t n = character_length(text.substr(at.i));
    const bool control = (byte < 0x20 && byte != '\n' && byte != '\r' && byte != '\t') || byte == 0x7F;
    if (n == 0 || control) {
      return Problem{"job-not-text",
                     {file, at.line, at.column, ""},
                     fmt::format("The file is no plain text: byte {:#04x} stands here.", byte),
                     "Save the job as plain text in UTF-8."};
    }
    for (std::size_t k = 0; k < n; ++k) at.step(text[at.i]);
  }
  return std::nullopt;
}

/// Brackets within brackets and dots in keys, outside strings and comments.
class DepthScan {
 public:
  DepthScan(std::string_view text, const std::string& file) : text_(text), file_(file) {}

  std::optional<Problem> run() {
    while (at_.i < text_.size()) {
      const char c = text_[at_.i];
      if (c == '#') {
        while (at_.i < text_.size() && text_[at_.i] != '\n') at_.step(text_[at_.i]);
        continue;
      }
      if (c == '"' || c == '\'') {
        skip_string(c);
        continue;
      }
      if (c == '[' || c == '{') ++depth_;
      if ((c == ']' || c == '}') && depth_ > 0) --depth_;
      if (c == '.') ++dots_;
      if (std::string_view("[]{},=\n").find(c) != std::string_view::npos) dots_ = 0;
      if (depth_ > kDeepestJob || dots_ > kDeepestJob) return too_deep();
      at_.step(c);
    }
    return std::nullopt;
  }

 private:
  void skip_string(char quote) {
    const std::string three(3, quote);
    const bool many = text_.substr(at_.i).starts_with(three);
    for (std::size_t k = 0; k < (many ? 3U : 1U); ++k) at_.step(quote);
    while (at_.i < text_.size()) {
      const char c = text_[at_.i];
      if (many && text_.substr(at_.i).starts_with(three)) {
        // up to two more quotation marks belong to the text itself
        while (at_.i < text_.size() && text_[at_.i] == quote) at_.step(quote);
        return;
      }
      if (!many && (c == quote || c == '\n')) {
        if (c == quote) at_.step(c);
        return;
      }
      at_.step(c);
      if (c == '\\' && quote == '"' && at_.i < text_.size()) at_.step(text_[at_.i]);
    }
  }

  [[nodiscard]] Problem too_deep() const {
    return {"job-nested-too-deep",
            {file_, at_.line, at_.column, ""},
            fmt::format("Here brackets or keys stand more than {} deep within one another.", kDeepestJob),
            "No key of a job needs more than four; look for a bracket that is never closed."};
  }

  std::string_view text_;
  const std::string& file_;
  Cursor at_;
  int depth_ = 0, dots_ = 0;
};

}  // namespace

std::size_t character_length(std::string_view text) {
  if (text.empty()) return 0;
  const auto byte = [&](std::size_t i) { return i < text.size() ? static_cast<unsigned char>(text[i]) : 0U; };
  const unsigned b = byte(0);
  const std::size_t n = b < 0x80                ? 1
                        : b >= 0xC2 && b < 0xE0 ? 2
                        : b >= 0xE0 && b < 0xF0 ? 3
                        : b >= 0xF0 && b < 0xF5 ? 4
                                                : 0;
  for (std::size_t k = 1; k < n; ++k) {
    if ((byte(k) & 0xC0) != 0x80) return 0;
  }
  // overlong forms, surrogates and what lies beyond Unicode
  if (b == 0xE0 && byte(1) < 0xA0) return 0;
  if (b == 0xED && byte(1) > 0x9F) return 0;
  if (b == 0xF0 && byte(1) < 0x90) return 0;
  if (b == 0xF4 && byte(1) > 0x8F) return 0;
  return n;
}

std::optional<Problem> stopped_at_door(std::string_view text, const std::string& file) {
  if (text.size() > kLargestJob) {
    return Problem{"job-too-big",
                   {file, 0, 0, ""},
                   fmt::format("The file has {} bytes; a job has at most {}.", text.size(), kLargestJob),
                   "Is it the right file? A job with every key in it has some 10 kB."};
  }
  if (auto problem = not_text(text, file)) return problem;
  if (text.find_first_not_of(" \t\r\n") == std::string_view::npos) {
    return Problem{"job-empty",
                   {file, 0, 0, ""},
                   "The file is empty.",
                   "'halfround new' writes a job with an explanation beside every key."};
  }
  return DepthScan(text, file).run();
}

}  // namespace halfround::job
