#include "job/edit_words.h"

#include <fmt/format.h>
#include <toml++/toml.h>

#include "job/text_door.h"

namespace halfround::job {

bool is_value(std::string_view typed, bool list) {
  const std::string text = "v = [" + std::string(typed) + "]";
  if (stopped_at_door(text, "")) return false;
  try {
    const toml::table table = toml::parse(text);
    const toml::array* v = table["v"].as_array();
    return table.size() == 1 && v != nullptr && v->size() == 1 && (!list || v->front().is_array());
  } catch (const toml::parse_error&) {
    return false;
  }
}

std::string quoted(std::string_view typed) {
  std::string out = "\"";
  for (const char c : typed) {
    if (c == '"' || c == '\\') {
      (out += '\\') += c;
    } else if (c == '\n') {
      out += "\\n";
    } else if (static_cast<unsigned char>(c) < 0x20 || c == 0x7F) {
      out += fmt::format("\\u{:04X}", static_cast<unsigned>(c));
    } else {
      out += c;
    }
  }
  return out + "\"";
}

std::string_view trimmed(std::string_view text) {
  const auto from = text.find_first_not_of(" \t\r\n");
  if (from == std::string_view::npos) return {};
  return text.substr(from, text.find_last_not_of(" \t\r\n") - from + 1);
}

std::optional<Span> asleep(std::string_view line, std::string_view name) {
  std::size_t i = line.find_first_not_of(" \t");
  if (i == std::string_view::npos || line[i] != '#') return std::nullopt;
  i = line.find_first_not_of(" \t", i + 1);
  if (i == std::string_view::npos || !line.substr(i).starts_with(name)) return std::nullopt;
  i = line.find_first_not_of(" \t", i + name.size());
  if (i == std::string_view::npos || line[i] != '=') return std::nullopt;
  i = line.find_first_not_of(" \t", i + 1);
  if (i == std::string_view::npos) return std::nullopt;
  char quote = 0;
  std::size_t end = i;
  for (std::size_t k = i; k < line.size() && (quote != 0 || line[k] != '#'); ++k) {
    if (quote == 0 && (line[k] == '"' || line[k] == '\'')) {
      quote = line[k];
    } else if (line[k] == quote) {
      quote = 0;
    }
    if (line[k] != ' ' && line[k] != '\t') end = k + 1;
  }
  if (!is_value(line.substr(i, end - i), false)) return std::nullopt;
  return Span{i, end};
}

bool asleep_heading(std::string_view line) {
  const std::string_view words = trimmed(line);
  return words.starts_with('#') && trimmed(words.substr(1)).starts_with('[');
}

}  // namespace halfround::job
