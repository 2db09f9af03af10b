#include "job/schema.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/spelling.h"

namespace halfround::job {

namespace {

std::string_view last_part(std::string_view key) {
  const auto dot = key.rfind('.');
  return dot == std::string_view::npos ? key : key.substr(dot + 1);
}

}  // namespace

std::string canonical(std::string_view key) {
  std::string out;
  bool in_brackets = false;
  for (const char c : key) {
    if (c == ']') in_brackets = false;
    if (!in_brackets) out += c;
    if (c == '[') in_brackets = true;
  }
  // what stands in a side's own section is described once for both
  for (const std::string_view part : {"blades", "lower_end", "wishes", "done.blades", "done.inserts"}) {
    for (const std::string_view side : {".left", ".right"}) {
      const std::string own = std::string(part) + std::string(side);
      if (out.starts_with(own) && (out.size() == own.size() || out[own.size()] == '.'))
        return std::string(part) + out.substr(own.size());
    }
  }
  return out;
}

const Row* find_row(std::span<const Row> rows, std::string_view key) {
  const std::string plain = canonical(key);
  const auto it = std::find_if(rows.begin(), rows.end(), [&](const Row& row) { return row.key == plain; });
  return it == rows.end() ? nullptr : &*it;
}

bool is_section(std::span<const Row> rows, std::string_view key) {
  const std::string head = canonical(key) + ".";
  return std::any_of(rows.begin(), rows.end(), [&](const Row& row) { return row.key.starts_with(head); });
}

std::string nearest_key(std::span<const Row> rows, std::string_view key) {
  if (key.size() > 100) return {};
  const std::string plain = canonical(key);
  const std::string_view last = last_part(plain);
  std::string best;
  std::size_t least = SIZE_MAX;
  const auto weigh = [&](std::string_view known) {
    // the whole key misspelt, or the right name in the wrong section
    const std::size_t far = base::spelling_distance(plain, known);
    const std::size_t near = base::spelling_distance(last, last_part(known));
    if (far > std::max<std::size_t>(2, plain.size() / 3) && near > last.size() / 3) return;
    const std::size_t cost = 4 * near + far;
    if (cost < least) least = cost, best = known;
  };
  for (const Row& row : rows) {
    weigh(row.key);
    if (const auto dot = row.key.find('.'); dot != std::string_view::npos) weigh(row.key.substr(0, dot));
  }
  return best;
}

const Row* find_row(std::string_view key) {
  return find_row(schema(), key);
}
bool is_section(std::string_view key) {
  return is_section(schema(), key);
}
std::string nearest_key(std::string_view key) {
  return nearest_key(schema(), key);
}

std::string what_fits(const Row& row) {
  // one value alone, as the version has
  if (row.least == row.most && (row.form == Form::count || row.form == Form::ratio))
    return fmt::format("Give {}.", row.example);
  switch (row.form) {
    case Form::length:
      return fmt::format("Give a length from {} to {} mm, e.g. {}.", row.least, row.most, row.example);
    case Form::angle:
      return fmt::format("Give an angle from {} to {} deg, e.g. {}.", row.least, row.most, row.example);
    case Form::mass:
      return fmt::format("Give a mass from {} to {} kg, e.g. {}.", row.least, row.most, row.example);
    case Form::ratio:
      return fmt::format("Give a number from {} to {}, e.g. {}.", row.least, row.most, row.example);
    case Form::force:
      return fmt::format("Give a force from {} to {} N, e.g. {}.", row.least, row.most, row.example);
    case Form::count:
      return fmt::format("Give a whole number from {} to {}, e.g. {}.", row.least, row.most, row.example);
    case Form::text:
      return fmt::format("Give text in quotation marks, e.g. {}.", row.example);
    case Form::share:
      if (row.least == row.most) return "Give \"remainder\", or leave the key out.";
      return fmt::format("Give a length from {} to {} mm or \"remainder\", e.g. {}.", row.least, row.most,
                         row.example);
    case Form::either:
      return fmt::format(
          "Give a length in mm or an angle in degrees, as it measures, from {} to {}, e.g. {}.", row.least,
          row.most, row.example);
    case Form::list:
      return fmt::format("Give a list in brackets, e.g. {}.", row.example);
    case Form::choice:
      break;
  }
  std::string out = "Give one of";
  std::string_view rest = row.choices;
  for (bool first = true; !rest.empty(); first = false) {
    const auto bar = rest.find('|');
    out += fmt::format("{} \"{}\"", first ? "" : ",", rest.substr(0, bar));
    rest = bar == std::string_view::npos ? std::string_view{} : rest.substr(bar + 1);
  }
  return out + ".";
}

}  // namespace halfround::job
