#include "serve/request.h"

#include <charconv>

namespace halfround::serve {

namespace {

std::optional<std::string> unescaped(std::string_view text, bool plus) {
  std::string out;
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (plus && text[i] == '+') {
      out += ' ';
    } else if (text[i] == '%') {
      unsigned value = 0;
      if (i + 2 >= text.size()) return std::nullopt;
      const auto [end, error] = std::from_chars(text.data() + i + 1, text.data() + i + 3, value, 16);
      if (error != std::errc{} || end != text.data() + i + 3 || value == 0) return std::nullopt;
      out += static_cast<char>(value);
      i += 2;
    } else {
      out += text[i];
    }
  }
  return out;
}

/// The text up to `end`, which is taken off as well.
std::string_view next(std::string_view& text, char end) {
  const std::string_view out = text.substr(0, text.find(end));
  text = out.size() == text.size() ? std::string_view{} : text.substr(out.size() + 1);
  return out;
}

}  // namespace

std::string Target::get(const std::string& name) const {
  const auto at = query.find(name);
  return at == query.end() ? "" : at->second;
}

std::optional<Target> taken_apart(std::string_view target) {
  if (!target.starts_with('/')) return std::nullopt;
  std::string_view path = next(target, '?');
  path.remove_prefix(1);
  Target out;
  while (!path.empty()) {
    const auto step = unescaped(next(path, '/'), false);
    if (!step || step->empty() || *step == "." || *step == "..") return std::nullopt;
    out.path.push_back(*step);
  }
  while (!target.empty()) {
    std::string_view pair = next(target, '&');
    const auto name = unescaped(next(pair, '='), true), value = unescaped(pair, true);
    if (!name || !value) return std::nullopt;
    out.query[*name] = *value;
  }
  return out;
}

std::optional<long long> whole(std::string_view text) {
  long long out = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), out);
  if (error != std::errc{} || end != text.data() + text.size()) return std::nullopt;
  return out;
}

}  // namespace halfround::serve
