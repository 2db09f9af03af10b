#include "job/text_map.h"

#include <algorithm>

#include "job/text_door.h"

namespace halfround::job {

TextMap::TextMap(std::string_view text) : text_(text), starts_{0} {
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (text[i] == '\n') starts_.push_back(i + 1);
  }
}

std::size_t TextMap::offset_of(const toml::source_position& place) const {
  if (place.line == 0 || place.line > starts_.size()) return text_.size();
  std::size_t i = starts_[place.line - 1];
  for (std::size_t column = 1; column < place.column && i < text_.size(); ++column)
    i += std::max<std::size_t>(1, character_length(text_.substr(i)));
  return std::min(i, text_.size());
}

Span TextMap::span_of(const toml::node& node) const {
  const std::size_t from = offset_of(node.source().begin);
  std::size_t to = std::max(from, offset_of(node.source().end));
  while (to > from && std::string_view(" \t\r\n,").find(text_[to - 1]) != std::string_view::npos) --to;
  return {from, to};
}

std::string_view TextMap::text_of(const toml::node& node) const {
  const Span at = span_of(node);
  return text_.substr(at.from, at.to - at.from);
}

std::size_t TextMap::line_start(std::size_t line) const {
  return line > starts_.size() ? text_.size() : starts_[line - 1];
}

std::string_view TextMap::line(std::size_t line) const {
  const std::size_t from = line_start(line), next = line_start(line + 1);
  std::string_view out = text_.substr(from, next - from);
  while (!out.empty() && (out.back() == '\n' || out.back() == '\r')) out.remove_suffix(1);
  return out;
}

}  // namespace halfround::job
