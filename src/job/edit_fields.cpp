// What stands behind each key of a text, and which keys differ.
#include <algorithm>
#include <map>

#include "job/edit.h"
#include "job/edit_draft.h"
#include "job/table_reader.h"
#include "job/text_door.h"

namespace halfround::job {

namespace {

/// As it would be written in one line, "[[features]]" and "[wheel.tyre]" too.
std::string in_one_line(const toml::node& node, const Draft& draft) {
  std::string out;
  if (draft.repeated(node)) {
    for (const toml::node& row : *node.as_array())
      out += (out.empty() ? "[" : ", ") + in_one_line(row, draft);
    return out + "]";
  }
  if (!node.is_table() || draft.in_braces(node)) return std::string(draft.map().text_of(node));
  std::vector<std::pair<Line, std::string>> cells;
  for (const auto& [name, cell] : *node.as_table()) {
    const toml::source_position at = cell.source().begin;
    cells.push_back({{static_cast<int>(at.line), static_cast<int>(at.column)},
                     std::string(name.str()) + " = " + in_one_line(cell, draft)});
  }
  std::ranges::sort(cells, {}, [](const auto& c) { return std::pair(c.first.line, c.first.column); });
  for (const auto& [at, words] : cells) out += (out.empty() ? "{" : ", ") + words;
  return out + "}";
}

bool has_named_rows(const toml::node& node) {
  const toml::array* rows = node.as_array();
  return rows != nullptr && !rows->empty() &&
         std::all_of(rows->begin(), rows->end(), [](const toml::node& row) { return row.is_table(); });
}

/// The fields of one text.
class Gatherer {
 public:
  Gatherer(const Draft& draft, Lists lists) : draft_(draft), lists_(lists) {
    table(draft.table(), "");
    std::ranges::stable_sort(fields_, {}, &Field::line);
  }
  std::vector<Field> take() { return std::move(fields_); }

 private:
  void table(const toml::table& cells, const std::string& above) {
    for (const auto& [name, node] : cells)
      value(node, (above.empty() ? "" : above + ".") + std::string(name.str()));
  }

  void value(const toml::node& node, const std::string& key) {
    if (node.is_table()) return table(*node.as_table(), key);
    if (lists_ == Lists::apart && has_named_rows(node)) {
      std::size_t n = 0;
      for (const toml::node& row : *node.as_array())
        table(*row.as_table(), key + "[" + std::to_string(++n) + "]");
      return;
    }
    const auto text = node.value<std::string>();
    fields_.push_back({key, text && node.is_string() ? *text : in_one_line(node, draft_),
                       static_cast<int>(node.source().begin.line)});
  }

  const Draft& draft_;
  Lists lists_;
  std::vector<Field> fields_;
};

}  // namespace

base::Result<std::vector<Field>> fields_of(std::string_view text, const std::string& file, Lists lists) {
  if (auto problem = stopped_at_door(text, file)) return tl::unexpected(std::move(*problem));
  try {
    const Draft draft{std::string(text)};
    return Gatherer(draft, lists).take();
  } catch (const toml::parse_error& error) {
    return tl::unexpected(grammar_problem(error, file));
  }
}

std::string typed_in(const std::vector<Field>& fields, std::string_view key) {
  const auto at = std::ranges::find(fields, key, &Field::key);
  return at == fields.end() ? "" : at->typed;
}

std::vector<std::string> keys_changed(const std::vector<Field>& from, const std::vector<Field>& to) {
  std::map<std::string, std::string> left;
  for (const Field& f : from) left[f.key] = f.typed;
  std::vector<std::string> out;
  for (const Field& f : to) {
    const auto at = left.find(f.key);
    if (at == left.end() || at->second != f.typed) out.push_back(f.key);
    if (at != left.end()) left.erase(at);
  }
  for (const auto& [key, typed] : left) out.push_back(key);
  return out;
}

}  // namespace halfround::job
