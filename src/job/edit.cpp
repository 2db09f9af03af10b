#include "job/edit.h"

#include <fmt/format.h>

#include <algorithm>

#include "job/edit_draft.h"
#include "job/edit_words.h"
#include "job/schema.h"
#include "job/table_reader.h"
#include "job/text_door.h"

namespace halfround::job {

using base::Problem;
using base::Result;

namespace {

/// Makes one edit after another in one draft.
class Editor {
 public:
  Editor(const std::string& text, const std::string& file, std::span<const Row> rows)
      : draft_(text, rows), file_(file), rows_(rows) {}

  Result<void> make(const Edit& edit) {
    const Row* row = find_row(rows_, edit.key);
    steps_ = steps_of(edit.key);
    if (steps_.empty() ||
        (row == nullptr && (edit.typed || !is_section(rows_, edit.key)) && steps_.back().row == 0))
      return refuse("key-unknown", fmt::format("There is no key {}.", edit.key),
                    fmt::format("Did you mean {}?", nearest_key(rows_, edit.key)));
    if (!edit.typed) {
      if (const toml::node* node = draft_.find(steps_, steps_.size())) take_out(*node, steps_.size());
      return {};
    }
    if (row != nullptr && row->form == Form::list && !is_value(*edit.typed, true))
      return refuse("edit-list", fmt::format("{} is no list.", *edit.typed), what_fits(*row));
    set(value_text(edit.key, *edit.typed, rows_));
    if (draft_.find(steps_, steps_.size()) == nullptr)
      return refuse("edit-unplaced", fmt::format("There is no place for {} in the file.", edit.key),
                    "Write it by hand and import the file.");
    return {};
  }

  [[nodiscard]] const std::string& text() const { return draft_.text(); }

 private:
  tl::unexpected<Problem> refuse(const char* code, std::string what, std::string fits) const {
    return tl::unexpected(
        Problem{code, {file_, 0, 0, key_of(steps_, steps_.size())}, std::move(what), std::move(fits)});
  }

  void set(const std::string& value) {
    make_way(value);
    const toml::node* node = draft_.find(steps_, steps_.size());
    if (node == nullptr) {
      insert(value);
    } else if (node->is_array() && value.starts_with('[')) {
      set_rows(*node->as_array(), value);
    } else {
      draft_.replace(draft_.map().span_of(*node), value);
    }
  }

  /// What can't stand beside the new key: text where a section is wanted, a section where text is.
  void make_way(const std::string& value) {
    for (std::size_t n = 1; n < steps_.size(); ++n) {
      const toml::node* above = draft_.find(steps_, n);
      if (above != nullptr && !above->is_table() && !above->is_array()) return take_out(*above, n);
    }
    const toml::node* node = draft_.find(steps_, steps_.size());
    if (node == nullptr || !node->is_table()) return;
    if (!value.starts_with('{') || !draft_.in_braces(*node)) take_out(*node, steps_.size());
  }

  /// A line or a section becomes a comment; an item in braces goes.
  ///   in  node  what stands at the first `count` steps
  void take_out(const toml::node& node, std::size_t count) {
    const toml::table* table = node.as_table();
    if (draft_.repeated(node) || (table != nullptr && draft_.headed(node))) {
      take_out_blocks(node);
    } else if (lies_in_brackets(node, count)) {
      draft_.erase_item(draft_.map().span_of(node));
    } else if (table != nullptr && !draft_.in_braces(node)) {
      dotted(*table);
    } else {
      draft_.comment_out({draft_.first_line(node), draft_.last_line(node)});
    }
  }

  void take_out_blocks(const toml::node& node) {
    std::vector<Draft::Lines> blocks;
    gather(node, blocks);
    std::ranges::sort(blocks, {}, &Draft::Lines::first);
    for (std::size_t i = blocks.size(); i > 0; --i) draft_.comment_out(blocks[i - 1]);
  }

  /// "[a]" or "[[a]]" with every "[a.b]" and "[[a.b]]" that has a heading too.
  void gather(const toml::node& node, std::vector<Draft::Lines>& out) const {
    if (const toml::table* table = node.as_table()) {
      if (draft_.headed(node)) out.push_back(draft_.block_of(*table));
      for (const auto& [name, below] : *table) gather(below, out);
    } else if (draft_.repeated(node)) {
      for (const toml::node& row : *node.as_array()) gather(row, out);
    }
  }

  /// A section that is there only by its keys' dots or by headings below it.
  void dotted(const toml::table& table) {
    std::vector<Draft::Lines> lines;
    for (const auto& [name, below] : table) {
      if (below.is_table() && draft_.headed(below)) {
        gather(*below.as_table(), lines);
      } else {
        lines.push_back({draft_.first_line(below), draft_.last_line(below)});
      }
    }
    std::ranges::sort(lines, {}, &Draft::Lines::first);
    for (std::size_t i = lines.size(); i > 0; --i) draft_.comment_out(lines[i - 1]);
  }

  /// In a list or in braces, not on a line of its own.
  [[nodiscard]] bool lies_in_brackets(const toml::node& node, std::size_t count) const {
    if (steps_[count - 1].row > 0 && !draft_.headed(node)) return true;
    const Span at = draft_.map().span_of(node);
    for (std::size_t n = 1; n < count; ++n) {
      const toml::node* above = draft_.find(steps_, n);
      if (above == nullptr) continue;
      const Span around = draft_.map().span_of(*above);
      if (around.from < at.from && at.to <= around.to && !draft_.headed(*above)) return true;
    }
    return false;
  }

  void insert(const std::string& value) {
    std::size_t n = steps_.size() - 1;
    while (n > 0 && draft_.find(steps_, n) == nullptr) --n;
    const toml::node* above = n == 0 ? &draft_.table() : draft_.find(steps_, n);
    const toml::table* table = above->as_table();
    Steps rest(steps_.begin() + static_cast<std::ptrdiff_t>(n), steps_.end());
    if (table == nullptr || std::ranges::any_of(rest, [](const Step& s) { return s.row > 0; })) return;
    const std::string line = key_of(rest, rest.size()) + " = " + value;
    if (draft_.in_braces(*above)) {
      put_in_braces(*table, line);
    } else if (rest.size() == 1 && value.starts_with("[{") && n == 0) {
      put_blocks(value);
    } else if (rest.size() > 1 || !put_in_section(*table, rest.front().name, value)) {
      put_new_section(steps_.back().name + " = " + value);
    }
  }

  void put_in_braces(const toml::table& table, const std::string& line) {
    const Span at = draft_.map().span_of(table);
    draft_.replace({at.to - 1, at.to}, (table.empty() ? "" : ", ") + line + "}");
  }

  /// Beside its own kind; false where the section has neither heading nor key.
  bool put_in_section(const toml::table& table, const std::string& name, const std::string& value) {
    const bool headed = draft_.headed(table);
    if (headed && wake(draft_.block_of(table), name, value)) return true;
    const toml::node* last = nullptr;
    for (const auto& [key, below] : table) {
      const bool line =
          !draft_.headed(below) && !draft_.repeated(below) && (!below.is_table() || draft_.in_braces(below));
      if (line && (last == nullptr || draft_.first_line(below) > draft_.first_line(*last))) last = &below;
    }
    if (last == nullptr && !headed) return false;
    // spelt like its neighbour, whose name may carry a part of the section
    std::string front;
    std::size_t below = last == nullptr ? draft_.block_of(table).first : draft_.last_line(*last);
    if (last != nullptr) {
      const std::string_view line = draft_.map().line(draft_.first_line(*last));
      const std::string_view word = line.substr(0, line.find('='));
      const auto dot = word.rfind('.');
      front = word.substr(0, dot == std::string_view::npos ? word.find_first_not_of(" \t") : dot + 1);
    }
    draft_.put_below(below, front + name + " = " + value);
    return true;
  }

  /// Where the key sleeps as a comment of its section, it wakes there.
  bool wake(Draft::Lines block, const std::string& name, const std::string& value) {
    for (std::size_t i = block.first + 1; i <= draft_.map().lines(); ++i) {
      const std::string_view line = draft_.map().line(i);
      if (asleep_heading(line) || (i > block.last && trimmed(line).starts_with('['))) return false;
      if (i > block.last && !trimmed(line).empty() && !trimmed(line).starts_with('#')) return false;
      const auto at = asleep(line, name);
      if (!at) continue;
      const std::string rest(line.substr(at->to));
      const std::size_t from = draft_.map().line_start(i);
      draft_.replace({from, from + line.size()}, name + " = " + value + rest);
      return true;
    }
    return false;
  }

  /// Under a sleeping heading, else at the end.
  void put_new_section(const std::string& line) {
    const std::string heading = "[" + key_of(steps_, steps_.size() - 1) + "]";
    for (std::size_t i = 1; i <= draft_.map().lines(); ++i) {
      const std::string_view old = draft_.map().line(i);
      if (!asleep_heading(old) || trimmed(trimmed(old).substr(1)) != heading) continue;
      const std::size_t from = draft_.map().line_start(i);
      draft_.replace({from, from + old.size()}, heading);
      const auto equals = line.find(" = ");
      (void)put_in_section(*draft_.find(steps_, steps_.size() - 1)->as_table(), line.substr(0, equals),
                           line.substr(equals + 3));
      return;
    }
    draft_.append(heading + "\n" + line);
  }

  /// The names of a row of a list, in the order of the schema.
  [[nodiscard]] std::vector<std::string> columns(const Steps& list) const {
    const std::string head = canonical(key_of(list, list.size())) + "[].";
    std::vector<std::string> out;
    for (const Row& known : rows_) {
      if (!known.key.starts_with(head)) continue;
      const std::string_view rest = known.key.substr(head.size());
      std::string name(rest.substr(0, rest.find_first_of(".[")));
      if (std::ranges::find(out, name) == out.end()) out.push_back(std::move(name));
    }
    return out;
  }

  /// "[{kind = "boss"}]" as "[[features]]": at the end of the file, rows within rows below their like.
  void put_blocks(const std::string& value) {
    const Draft wanted("v = " + value, rows_);
    Steps plain = steps_;
    for (Step& s : plain) s.row = 0;
    for (const toml::node& row : *wanted.table()["v"].as_array()) {
      std::string block = "[[" + key_of(plain, plain.size()) + "]]";
      if (const toml::table* cells = row.as_table()) {
        for (const std::string& name : columns(steps_)) {
          if (const toml::node* cell = cells->get(name))
            block += fmt::format("\n{} = {}", name, wanted.map().text_of(*cell));
        }
      }
      const toml::node* list = draft_.find(steps_, steps_.size());
      if (steps_.size() > 1 && list != nullptr && draft_.repeated(*list)) {
        draft_.put_below(draft_.block_of(*list->as_array()->back().as_table()).last, "\n" + block);
      } else {
        draft_.append(block);
      }
    }
  }

  [[nodiscard]] static bool same(const toml::node& a, const toml::node& b) {
    if (a.is_table() && b.is_table()) return *a.as_table() == *b.as_table();
    if (a.is_array() && b.is_array()) return *a.as_array() == *b.as_array();
    return false;
  }

  /// Where rows went out of a list that is otherwise as it was; its end where that can't be told.
  [[nodiscard]] static std::size_t gone_from(const toml::array& old, const toml::array& rows) {
    const std::size_t gone = old.size() - rows.size();
    std::size_t at = 0;
    while (at < rows.size() && same(old[at], rows[at])) ++at;
    for (std::size_t i = at; i < rows.size(); ++i) {
      if (!same(old[i + gone], rows[i])) return rows.size();
    }
    return at;
  }

  /// Rows that stay as they are keep their place and their comments.
  void set_rows(const toml::array& old, const std::string& value) {
    const Draft wanted("v = " + value, rows_);
    const toml::array& rows = *wanted.table()["v"].as_array();
    if (draft_.repeated(old)) return set_blocks(old, rows, wanted, value);
    if (old.empty() || rows.empty()) return draft_.replace(draft_.map().span_of(old), value);
    const auto mine = [&]() -> const toml::array& { return *draft_.find(steps_, steps_.size())->as_array(); };
    if (old.size() > rows.size()) {
      const std::size_t from = gone_from(old, rows);
      for (std::size_t n = old.size() - rows.size(); n > 0; --n)
        draft_.erase_item(draft_.map().span_of(mine()[from + n - 1]));
    }
    const std::size_t common = std::min(mine().size(), rows.size());
    for (std::size_t i = 0; i < common; ++i) {
      if (!same(mine()[i], rows[i]) && draft_.map().text_of(mine()[i]) != wanted.map().text_of(rows[i]))
        draft_.replace(draft_.map().span_of(mine()[i]), wanted.map().text_of(rows[i]));
    }
    for (std::size_t i = common; i < rows.size(); ++i) {
      const Span last = draft_.map().span_of(mine()[i - 1]);
      const std::size_t line = draft_.first_line(mine()[i - 1]);
      const std::string_view words = draft_.map().line(line);
      const auto indent = words.find_first_not_of(" \t");
      const bool own_line = draft_.map().line_start(line) + indent == last.from;
      const std::string gap = own_line ? ",\n" + std::string(words.substr(0, indent)) : ", ";
      draft_.replace({last.to, last.to}, gap + std::string(wanted.map().text_of(rows[i])));
    }
  }

  /// Each block as its row says, cell by cell; blocks too many become comments.
  void set_blocks(const toml::array& old, const toml::array& rows, const Draft& wanted,
                  const std::string& value) {
    const Steps list = steps_;
    const std::size_t common = std::min(old.size(), rows.size());
    if (old.size() > common) {
      const std::size_t from = gone_from(old, rows);
      for (std::size_t n = old.size() - common; n > 0; --n)
        take_out_blocks(*draft_.find(list, list.size())->as_array()->get(from + n - 1));
    }
    for (std::size_t i = 0; i < common; ++i) {
      if (rows[i].is_table()) set_cells(list, i, *rows[i].as_table(), wanted);
    }
    steps_ = list;
    if (rows.size() == common) return;
    const Span first = wanted.map().span_of(rows[common]);
    put_blocks("[" + value.substr(first.from - 4));
  }

  void set_cells(const Steps& list, std::size_t i, const toml::table& cells, const Draft& wanted) {
    for (const std::string& name : columns(list)) {
      const toml::node* cell = cells.get(name);
      steps_ = list;
      steps_.back().row = i + 1;
      steps_.push_back({name, 0});
      const toml::node* mine = draft_.find(steps_, steps_.size());
      if (cell != nullptr && (mine == nullptr || (!same(*mine, *cell) && draft_.map().text_of(*mine) !=
                                                                             wanted.map().text_of(*cell)))) {
        set(std::string(wanted.map().text_of(*cell)));
      } else if (cell == nullptr && mine != nullptr) {
        take_out(*mine, steps_.size());
      }
    }
  }

  Draft draft_;
  const std::string& file_;
  std::span<const Row> rows_;
  Steps steps_;  ///< of the edit in hand
};

}  // namespace

std::string value_text(std::string_view key, std::string_view typed, std::span<const Row> rows) {
  const std::string_view value = trimmed(typed);
  const Row* row = find_row(rows, key);
  const bool words = row != nullptr && (row->form == Form::text || row->form == Form::choice);
  const bool as_it_is = is_value(value, false) && (!words || value.front() == '"' || value.front() == '\'');
  return as_it_is ? std::string(value) : quoted(value);
}

Result<std::string> edited_text(const std::string& text, const std::vector<Edit>& edits,
                                const std::string& file, std::span<const Row> rows) {
  if (auto problem = stopped_at_door(text, file)) return tl::unexpected(std::move(*problem));
  try {
    Editor editor(text, file, rows);
    for (const Edit& edit : edits) {
      if (const auto made = editor.make(edit); !made) return tl::unexpected(made.error());
    }
    return editor.text();
  } catch (const toml::parse_error& error) {
    return tl::unexpected(grammar_problem(error, file));
  }
}

}  // namespace halfround::job
