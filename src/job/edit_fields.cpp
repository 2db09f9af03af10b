// What stands behind each key of a text, and which keys differ.
#include <algorithm>
#include <map>

#include "job/edit.h"
#include "job/edit_draft.h"
#include "job/table_reader.h"
#include "job/text_door.h"

namespace halfround::job {

namespace {

/// "[[features]]" as it would be written in one line.
std::string in_one_line(const toml::array& blocks, const TextMap& map) {
  std::string out = "[";
  for (const toml::node& block : blocks) {
    std::vector<std::pair<Line, std::string>> cells;
    for (const auto& [name, cell] : *block.as_table()) {
      const toml::source_position at = cell.source().begin;
      cells.push_back({{static_cast<int>(at.line), static_cast<int>(at.column)},
                       std::string(name.str()) + " = " + std::string(map.text_of(cell))});
    }
    std::ranges::sort(cells, {}, [](const auto& c) { return std::pair(c.first.line, c.first.column); });
    std::string row;
    for (const auto& [at, words] : cells) row += (row.empty() ? "{" : ", ") + words;
    out += (out.size() == 1 ? "" : ", ") + row + "}";
  }
  return out + "]";
}

void gather(const toml::table& table, const std::string& above, const Draft& draft, std::vector<Field>& out) {
  for (const auto& [name, node] : table) {
    const std::string key = (above.empty() ? "" : above + ".") + std::string(name.str());
    if (const toml::table* below = node.as_table()) {
      gather(*below, key, draft, out);
      continue;
    }
    Field f{key, "", static_cast<int>(node.source().begin.line)};
    if (draft.repeated(node)) {
      f.typed = in_one_line(*node.as_array(), draft.map());
    } else if (const auto text = node.value<std::string>(); text && node.is_string()) {
      f.typed = *text;
    } else {
      f.typed = draft.map().text_of(node);
    }
    out.push_back(std::move(f));
  }
}

}  // namespace

base::Result<std::vector<Field>> fields_of(std::string_view text, const std::string& file) {
  if (auto problem = stopped_at_door(text, file)) return tl::unexpected(std::move(*problem));
  try {
    const Draft draft{std::string(text)};
    std::vector<Field> out;
    gather(draft.table(), "", draft, out);
    std::ranges::sort(out, {}, &Field::line);
    return out;
  } catch (const toml::parse_error& error) {
    return tl::unexpected(grammar_problem(error, file));
  }
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
