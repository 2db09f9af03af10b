#include "job/edit_draft.h"

#include <algorithm>
#include <cctype>

#include "job/schema.h"

namespace halfround::job {

Steps steps_of(std::string_view key) {
  Steps out;
  while (!key.empty()) {
    const std::string_view step = key.substr(0, key.find('.'));
    key = step.size() == key.size() ? std::string_view{} : key.substr(step.size() + 1);
    const auto open = step.find('[');
    Step s{std::string(step.substr(0, open)), 0};
    const auto plain = [](char c) {
      return std::islower(static_cast<unsigned char>(c)) || std::isdigit(static_cast<unsigned char>(c)) ||
             c == '_';
    };
    if (s.name.empty() || !std::ranges::all_of(s.name, plain)) return {};
    if (open != std::string_view::npos) {
      const std::string_view row = step.substr(open + 1);
      if (row.size() < 2 || row.size() > 5 || row.back() != ']') return {};
      for (const char c : row.substr(0, row.size() - 1)) {
        if (!std::isdigit(static_cast<unsigned char>(c))) return {};
        s.row = s.row * 10 + static_cast<std::size_t>(c - '0');
      }
      if (s.row == 0) return {};
    }
    out.push_back(std::move(s));
  }
  return out;
}

std::string key_of(const Steps& steps, std::size_t count) {
  std::string out;
  for (std::size_t i = 0; i < count; ++i) {
    if (i > 0) out += '.';
    out += steps[i].name;
    if (steps[i].row > 0) out += "[" + std::to_string(steps[i].row) + "]";
  }
  return out;
}

namespace {

/// Which cell of a row without names is `name`: its place among the schema's columns.
std::size_t column_of(std::span<const Row> rows, const std::string& list, const std::string& name) {
  const std::string head = canonical(list) + "[].";
  std::size_t n = 0;
  for (const Row& row : rows) {
    if (!row.key.starts_with(head)) continue;
    const std::string_view rest = row.key.substr(head.size());
    if (rest == name) return n;
    if (rest.find('.') == std::string_view::npos) ++n;
  }
  return static_cast<std::size_t>(-1);
}

void headings_of(const toml::node& node, std::string_view text, const TextMap& map,
                 std::vector<std::size_t>& out) {
  if (const toml::table* t = node.as_table()) {
    const std::size_t at = map.offset_of(t->source().begin);
    if (at < text.size() && text[at] == '[') out.push_back(t->source().begin.line);
    for (const auto& [name, below] : *t) headings_of(below, text, map, out);
  } else if (const toml::array* a = node.as_array()) {
    for (const toml::node& below : *a) headings_of(below, text, map, out);
  }
}

}  // namespace

Draft::Draft(std::string text, std::span<const Row> rows) : rows_(rows), text_(std::move(text)), map_(text_) {
  parse();
}

void Draft::parse() {
  table_ = toml::parse(text_, std::string("job"));
  map_ = TextMap(text_);
  headings_.clear();
  for (const auto& [name, below] : table_) headings_of(below, text_, map_, headings_);
  std::ranges::sort(headings_);
}

const toml::node* Draft::find(const Steps& steps, std::size_t count) const {
  const toml::node* at = &table_;
  for (std::size_t i = 0; i < count && at != nullptr; ++i) {
    if (const toml::table* t = at->as_table()) {
      at = t->get(steps[i].name);
    } else if (const toml::array* cells = at->as_array(); cells != nullptr && i > 0) {
      at = cells->get(
          column_of(rows_, key_of(steps, i - 1) + (i > 1 ? "." : "") + steps[i - 1].name, steps[i].name));
    } else {
      return nullptr;
    }
    if (at == nullptr || steps[i].row == 0) continue;
    const toml::array* rows = at->as_array();
    at = rows != nullptr ? rows->get(steps[i].row - 1) : nullptr;
  }
  return at;
}

bool Draft::headed(const toml::node& node) const {
  if (&node == &table_) return true;
  const std::size_t at = map_.offset_of(node.source().begin);
  return node.is_table() && at < text_.size() && text_[at] == '[';
}

bool Draft::in_braces(const toml::node& node) const {
  const std::size_t at = map_.offset_of(node.source().begin);
  return node.is_table() && &node != &table_ && at < text_.size() && text_[at] == '{';
}

bool Draft::repeated(const toml::node& node) const {
  const toml::array* rows = node.as_array();
  return rows != nullptr && !rows->empty() && headed(rows->front());
}

std::size_t Draft::first_line(const toml::node& node) const {
  return node.source().begin.line;
}

std::size_t Draft::last_line(const toml::node& node) const {
  const Span at = map_.span_of(node);
  return first_line(node) +
         static_cast<std::size_t>(std::count(text_.begin() + static_cast<std::ptrdiff_t>(at.from),
                                             text_.begin() + static_cast<std::ptrdiff_t>(at.to), '\n'));
}

Draft::Lines Draft::block_of(const toml::table& table) const {
  const std::size_t first = &table == &table_ ? 0 : first_line(table);
  const auto next = std::ranges::upper_bound(headings_, first);
  std::size_t last = next == headings_.end() ? map_.lines() : *next - 1;
  const auto idle = [&](std::size_t line) {
    const std::string_view text = map_.line(line);
    const auto at = text.find_first_not_of(" \t");
    return at == std::string_view::npos || text[at] == '#';
  };
  while (last > std::max<std::size_t>(first, 1) && idle(last)) --last;
  return {first, last};
}

void Draft::replace(Span at, std::string_view with) {
  text_.replace(at.from, at.to - at.from, with);
  parse();
}

void Draft::comment_out(Lines lines) {
  // where first, then the marks from below: the map looks at the text as it was
  std::vector<std::size_t> places;
  for (std::size_t line = std::max<std::size_t>(lines.first, 1); line <= lines.last; ++line) {
    if (map_.line(line).find_first_not_of(" \t") != std::string_view::npos)
      places.push_back(map_.line_start(line));
  }
  for (auto at = places.rbegin(); at != places.rend(); ++at) text_.insert(*at, "# ");
  parse();
}

void Draft::put_below(std::size_t line, const std::string& more) {
  if (line >= map_.lines() && !text_.empty() && text_.back() != '\n') text_ += '\n';
  map_ = TextMap(text_);
  text_.insert(map_.line_start(line + 1), more + "\n");
  parse();
}

void Draft::append(const std::string& more) {
  if (!text_.empty() && text_.back() != '\n') text_ += '\n';
  text_ += "\n" + more + "\n";
  parse();
}

/// A row of a list that has its lines to itself, its comma and comment counted.
std::optional<Span> Draft::own_lines(Span at) const {
  const std::size_t start = text_.find_last_of('\n', at.from) + 1;
  std::size_t end = text_.find_first_not_of(" \t,", at.to);
  if (end == std::string::npos || text_.find_first_not_of(" \t", start) != at.from) return std::nullopt;
  if (text_[end] == '#') end = std::min(text_.find('\n', end), text_.size() - 1);
  if (start == 0 || text_[end] != '\n') return std::nullopt;
  return Span{start, end + 1};
}

void Draft::erase_item(Span at) {
  if (const auto lines = own_lines(at)) return replace(*lines, "");
  const auto blank = [&](std::size_t i) { return text_[i] == ' ' || text_[i] == '\t' || text_[i] == '\n'; };
  // in braces the item begins with its key
  if (const auto before = text_.find_last_of(",{[=", at.from - 1);
      before != std::string::npos && text_[before] == '=')
    at.from = text_.find_last_of(",{", before) + 1;
  std::size_t after = at.to, before = at.from;
  while (after < text_.size() && blank(after)) ++after;
  while (before > 0 && blank(before - 1)) --before;
  if (before > 0 && text_[before - 1] == ',') {
    at.from = before - 1;
  } else if (after < text_.size() && text_[after] == ',') {
    at.to = after + 1;
  }
  replace(at, "");
}

}  // namespace halfround::job
