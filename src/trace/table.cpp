// Two columns of numbers: commas, semicolons (then a decimal comma may stand), tabs or blanks between them. A
// first line in words is the head and may say the unit; '#' begins a remark.
#include <fmt/format.h>

#include <algorithm>

#include "trace/curve.h"

namespace halfround::trace {
namespace {

using base::Problem;
using base::Result;

std::string_view trimmed(std::string_view s) {
  const auto first = s.find_first_not_of(" \t\r");
  if (first == std::string_view::npos) return {};
  return s.substr(first, s.find_last_not_of(" \t\r") - first + 1);
}

char separator_of(std::string_view line) {
  for (const char c : {';', '\t', ','}) {
    if (line.find(c) != std::string_view::npos) return c;
  }
  return ' ';
}

/// The first two cells.
std::pair<std::string_view, std::string_view> cells_of(std::string_view line, char separator) {
  if (separator == ' ') {
    const auto gap = line.find_first_of(" \t");
    if (gap == std::string_view::npos) return {line, {}};
    const std::string_view rest = trimmed(line.substr(gap));
    return {line.substr(0, gap), rest.substr(0, std::min(rest.size(), rest.find_first_of(" \t")))};
  }
  const auto gap = line.find(separator);
  if (gap == std::string_view::npos) return {trimmed(line), {}};
  const std::string_view rest = line.substr(gap + 1);
  return {trimmed(line.substr(0, gap)), trimmed(rest.substr(0, std::min(rest.size(), rest.find(separator))))};
}

std::optional<double> value_of(std::string_view cell, char separator) {
  if (separator == ';' && cell.find(',') != std::string_view::npos && cell.size() < 40) {
    std::string text(cell);
    std::ranges::replace(text, ',', '.');
    return number_of(text);
  }
  return number_of(cell);
}

/// A unit that stands in the head as a word of its own: "x (mm)", "y_mm", "x [in]".
void read_head(std::string_view line, Drawing& out) {
  std::string word;
  const auto look = [&] {
    for (const auto& [name, mm] :
         {std::pair<const char*, double>{"mm", 1}, {"cm", 10}, {"in", 25.4}, {"inch", 25.4}}) {
      if (word == name) out.unit = mm, out.unit_said = fmt::format("the head says {}", name);
    }
    word.clear();
  };
  for (const char c : line) {
    const char low = c >= 'A' && c <= 'Z' ? static_cast<char>(c + 32) : c;
    if (low >= 'a' && low <= 'z')
      word += low;
    else
      look();
  }
  look();
}

std::string shown(std::string_view cell) {
  std::string out;
  for (const char c : cell.substr(0, 20)) out += c >= 0x20 && c < 0x7f ? c : '?';
  return out;
}

}  // namespace

Result<Drawing> read_table(std::string_view text, const std::string& file) {
  Drawing out;
  Curve curve;
  Tally tally;
  int line = 0;
  if (text.starts_with("\xEF\xBB\xBF")) text.remove_prefix(3);
  while (!text.empty()) {
    const auto end = text.find('\n');
    const std::string_view row = trimmed(text.substr(0, std::min(end, text.size())));
    text.remove_prefix(end == std::string_view::npos ? text.size() : end + 1);
    ++line;
    if (row.empty() || row.front() == '#') continue;
    const char separator = separator_of(row);
    const auto [first, second] = cells_of(row, separator);
    const auto x = value_of(first, separator), y = value_of(second, separator);
    if (!x && !y && curve.points.empty() && !out.unit && out.unit_said.empty()) {
      out.unit_said = "the head says no unit";
      read_head(row, out);
      continue;
    }
    if (second.empty() && x)
      return tl::unexpected(
          Problem{"trace-row",
                  {file, line, 0, ""},
                  fmt::format("Found one number, \"{}\", where two are wanted.", shown(first)),
                  "Give x and y of a point on each line."});
    if (!x || !y)
      return tl::unexpected(Problem{
          "trace-number",
          {file, line, 0, ""},
          fmt::format("Found \"{}\" where a number is wanted.", shown(x ? second : first)),
          "Give two plain numbers such as 12.5, 3; a decimal comma needs semicolons between the columns."});
    curve.points.emplace_back(*x, *y), curve.lines.push_back(line);
    tally.points();
    if (tally.full()) return tl::unexpected(tally.problem(file, line));
  }
  out.curves.push_back(std::move(curve));
  return out;
}

}  // namespace halfround::trace
