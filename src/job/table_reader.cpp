#include "job/table_reader.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/maths.h"
#include "base/number.h"
#include "job/text_door.h"

namespace halfround::job {

using base::Place;

namespace {

Line begin_of(const toml::source_region& region) {
  return {static_cast<int>(region.begin.line), static_cast<int>(region.begin.column)};
}

double edge_value(double house, base::Kind kind) {
  return kind == base::Kind::angle ? base::to_deg(house) : house;
}

base::Kind kind_of(const Row& row) {
  if (row.form == Form::angle) return base::Kind::angle;
  if (row.form == Form::mass) return base::Kind::mass;
  if (row.form == Form::ratio) return base::Kind::ratio;
  if (row.form == Form::force) return base::Kind::force;
  return row.form == Form::count ? base::Kind::count : base::Kind::length;
}

/// The end of the row's range that lies nearer to what was found.
base::Offer nearest_end(const Row& row, double found, const char* unit) {
  const std::string typed = base::shortest(found < row.least ? row.least : row.most);
  return {"", typed, fmt::format("{}{}", typed, unit)};
}

std::size_t characters(std::string_view text) {
  std::size_t n = 0;
  for (const char c : text) n += (static_cast<unsigned char>(c) & 0xC0) != 0x80;
  return n;
}

}  // namespace

TableReader::TableReader(std::string_view text, Grammar grammar, Seen seen, base::Problems& problems)
    : map_(text), grammar_(grammar), seen_(seen), problems_(problems) {}

const Row& TableReader::row_of(const Spot& spot) const {
  const Row* row = find_row(grammar_.rows, spot.key);
  base::check(row != nullptr, "every key that is read has a row in the schema");
  return *row;
}

// ---- places
// ------------------------------------------------------------------------------------------------------

std::string TableReader::found(const toml::node& node) const {
  constexpr std::size_t kReadable = 40;
  std::string_view whole = map_.text_of(node);
  whole = whole.substr(0, whole.find('\n'));
  std::size_t n = 0;
  while (n < whole.size() && n < kReadable) n += std::max<std::size_t>(1, character_length(whole.substr(n)));
  std::string out(whole.substr(0, n));
  if (n < whole.size()) out += " ...";
  return out.empty() ? "nothing" : out;
}

Place TableReader::place(const Spot& spot) const {
  const Line at = spot.node != nullptr ? begin_of(spot.node->source()) : spot.above;
  return {seen_.file, at.line, at.column, spot.key};
}

void TableReader::complain(std::string code, Place where, std::string what, std::string fits,
                           std::vector<base::Offer> offers) {
  if (problems_.size() > kMostProblems) return;
  if (problems_.size() == kMostProblems) {
    problems_.push_back(
        {"too-many-problems",
         {seen_.file, where.line, where.column, ""},
         fmt::format("There are more than {} problems; the rest isn't listed.", kMostProblems),
         "Mend these first, or begin with 'halfround new'."});
    return;
  }
  for (base::Offer& o : offers) o.key = where.key;
  problems_.push_back(
      {std::move(code), std::move(where), std::move(what), std::move(fits), std::move(offers)});
}

// ---- tables
// ------------------------------------------------------------------------------------------------------

Spot TableReader::in(const Spot& table, std::string_view name) {
  Spot out{nullptr, table.key.empty() ? std::string(name) : fmt::format("{}.{}", table.key, name),
           table.above};
  if (table.node == nullptr) return out;
  out.above = begin_of(table.node->source());
  if (const toml::table* t = table.node->as_table()) out.node = t->get(name);
  if (out.node != nullptr) seen_.lines[out.key] = begin_of(out.node->source());
  return out;
}

Spot TableReader::section(const Spot& parent, std::string_view name) {
  Spot out = in(parent, name);
  if (out.node != nullptr && !out.node->is_table()) {
    complain("table-expected", place(out),
             fmt::format("Found {} where a section is wanted.", found(*out.node)),
             fmt::format("Write [{}] on a line of its own and its keys below.", out.key));
    out.above = begin_of(out.node->source());
  }
  return out;
}

void TableReader::missing(const Spot& spot, const Row& row) {
  complain("key-missing", place(spot), fmt::format("The key {} is missing. {}", spot.key, row.meaning),
           what_fits(row));
}

bool TableReader::usable(const Spot& spot, const Row& row, bool wanted) {
  if (spot.node != nullptr) return true;
  if (wanted || row.need == Need::required) missing(spot, row);
  if (row.need == Need::assumed) seen_.assumed.push_back(spot.key);
  return false;
}

// ---- values
// ------------------------------------------------------------------------------------------------------

std::optional<Quantity> TableReader::parsed(const Spot& spot, const Row& row, base::Kind kind) {
  const toml::node& node = *spot.node;
  Quantity out;
  if (const auto* text = node.as_string()) {
    const auto q = base::parse_quantity(text->get(), kind);
    if (!q) {
      complain(q.error().code, place(spot), q.error().what, q.error().fits, q.error().offers);
      return std::nullopt;
    }
    out = *q;
  } else if (node.is_number()) {
    const double value = node.value<double>().value_or(NAN);
    if (!std::isfinite(value)) {
      complain("not-a-number", place(spot),
               fmt::format("Found {}, which is no number to build by.", found(node)), what_fits(row));
      return std::nullopt;
    }
    out = {kind == base::Kind::angle ? base::to_rad(value) : value, std::string(map_.text_of(node)), false};
    if (out.typed.empty()) out.typed = found(node);
  } else {
    complain("quantity-expected", place(spot), fmt::format("Found {}, which is no number.", found(node)),
             what_fits(row));
    return std::nullopt;
  }
  // the ends of the range are meant to be allowed, whatever the conversion does to the last digit
  const double v = edge_value(out.value, kind), grain = 1e-9;
  if (!(v >= row.least - grain && v <= row.most + grain)) {
    const char* unit = kind == base::Kind::angle    ? " deg"
                       : kind == base::Kind::length ? " mm"
                       : kind == base::Kind::mass   ? " kg"
                       : kind == base::Kind::force  ? " N"
                                                    : "";
    const std::string shown = fmt::format("{:.6g}{}", v, unit);
    complain("out-of-range", place(spot),
             node.is_number() || out.typed == shown
                 ? fmt::format("Found {}.", shown)
                 : fmt::format("Found {}, that is {}.", found(node), shown),
             what_fits(row), {nearest_end(row, v, unit)});
    return std::nullopt;
  }
  return out;
}

Quantity TableReader::quantity(const Spot& spot, bool wanted) {
  const Row& row = row_of(spot);
  if (usable(spot, row, wanted)) return parsed(spot, row, kind_of(row)).value_or(Quantity{});
  if (row.need != Need::assumed) return {};
  const auto fallback = base::parse_quantity(row.fallback, kind_of(row));
  base::check(fallback.has_value(), "the defaults of the schema can be read");
  return *fallback;
}

std::optional<Quantity> TableReader::maybe(const Spot& spot) {
  if (spot.node == nullptr) return std::nullopt;
  const Row& row = row_of(spot);
  return parsed(spot, row, kind_of(row));
}

std::optional<Quantity> TableReader::either(const Spot& spot, base::Kind kind, bool wanted) {
  const Row& row = row_of(spot);
  if (!usable(spot, row, wanted)) return std::nullopt;
  return parsed(spot, row, kind);
}

std::optional<int> TableReader::count(const Spot& spot) {
  const Row& row = row_of(spot);
  if (!usable(spot, row, false)) return std::nullopt;
  const auto* whole = spot.node->as_integer();
  if (whole == nullptr || whole->get() < static_cast<std::int64_t>(row.least) ||
      whole->get() > static_cast<std::int64_t>(row.most)) {
    complain(spot.key == "version" ? "version-unknown" : "out-of-range", place(spot),
             fmt::format("Found {}.", found(*spot.node)), what_fits(row),
             {nearest_end(row, spot.node->value<double>().value_or(row.least), "")});
    return std::nullopt;
  }
  return static_cast<int>(whole->get());
}

std::string TableReader::text(const Spot& spot, bool wanted) {
  const Row& row = row_of(spot);
  if (!usable(spot, row, wanted)) return std::string(row.fallback);
  const auto* value = spot.node->as_string();
  if (value == nullptr) {
    complain("text-expected", place(spot), fmt::format("Found {} where text is wanted.", found(*spot.node)),
             what_fits(row));
    return {};
  }
  const std::size_t n = characters(value->get());
  if (n < static_cast<std::size_t>(row.least) || n > static_cast<std::size_t>(row.most)) {
    complain("text-length", place(spot), fmt::format("Found a text of {} characters.", n),
             fmt::format("Give {} to {} characters, e.g. {}.", row.least, row.most, row.example));
    return {};
  }
  for (const char c : value->get()) {
    if (static_cast<unsigned char>(c) < 0x20 && c != '\n' && c != '\t') {
      complain("text-not-printable", place(spot), "Found a control character in the text.",
               fmt::format("Write letters and signs only, e.g. {}.", row.example));
      return {};
    }
  }
  return value->get();
}

std::optional<std::size_t> TableReader::choice(const Spot& spot, bool wanted) {
  const Row& row = row_of(spot);
  std::string word(row.fallback);
  if (usable(spot, row, wanted)) {
    const auto* value = spot.node->as_string();
    word = value != nullptr ? value->get() : "";
  } else if (row.need != Need::assumed) {
    return std::nullopt;
  }
  std::string_view rest = row.choices;
  for (std::size_t i = 0; !rest.empty(); ++i) {
    const auto bar = rest.find('|');
    if (word == rest.substr(0, bar)) return i;
    rest = bar == std::string_view::npos ? std::string_view{} : rest.substr(bar + 1);
  }
  complain("choice-unknown", place(spot), fmt::format("Found {}.", found(*spot.node)), what_fits(row));
  return std::nullopt;
}

std::optional<Quantity> TableReader::share(const Spot& spot, bool& remainder) {
  const Row& row = row_of(spot);
  remainder = false;
  if (spot.node == nullptr) return std::nullopt;
  if (const auto* text = spot.node->as_string(); text != nullptr && text->get() == "remainder") {
    remainder = true;
    return std::nullopt;
  }
  if (row.least == row.most) {
    complain(
        "choice-unknown", place(spot),
        fmt::format("Found {}; what a blade's own bend gives is measured from its shape.", found(*spot.node)),
        what_fits(row));
    return std::nullopt;
  }
  return parsed(spot, row, base::Kind::length);
}

// ---- lists
// -------------------------------------------------------------------------------------------------------

std::vector<Spot> TableReader::rows(const Spot& spot, bool wanted) {
  const Row& row = row_of(spot);
  if (!usable(spot, row, wanted)) return {};
  const toml::array* list = spot.node->as_array();
  if (list == nullptr) {
    complain("list-expected", place(spot), fmt::format("Found {} where a list is wanted.", found(*spot.node)),
             what_fits(row));
    return {};
  }
  const auto n = static_cast<double>(list->size());
  if (n < row.least || n > row.most) {
    complain("list-length", place(spot), fmt::format("Found a list of {} rows.", list->size()),
             fmt::format("Give {} to {} rows, e.g. {}.", row.least, row.most, row.example));
    return {};
  }
  std::vector<Spot> out;
  for (std::size_t i = 0; i < list->size(); ++i) {
    const toml::node& item = (*list)[i];
    out.push_back({&item, fmt::format("{}[{}]", spot.key, i + 1), begin_of(item.source())});
    seen_.lines[out.back().key] = begin_of(item.source());
  }
  return out;
}

namespace {

/// How to write a row without what is not known, where one of its cells may be left out.
std::string braces_for(const Grammar& grammar, const std::string& row,
                       std::initializer_list<std::string_view> names) {
  std::string known;
  bool all = true;
  for (const std::string_view name : names) {
    const Row* cell = find_row(grammar.rows, fmt::format("{}.{}", row, name));
    if (cell == nullptr || cell->need == Need::optional) {
      all = false;
      continue;
    }
    known += fmt::format("{}{} = {}", known.empty() ? "" : ", ", name, cell->example);
  }
  return all || known.empty() ? "" : fmt::format(" Without what is not known: {{{}}}.", known);
}

}  // namespace

std::vector<Spot> TableReader::cells(const Spot& row, std::initializer_list<std::string_view> names) {
  std::vector<Spot> out;
  if (row.node->is_table()) {
    for (const std::string_view name : names) out.push_back(in(row, name));
    return out;
  }
  const toml::array* list = row.node->as_array();
  if (list != nullptr && list->size() == names.size()) {
    std::size_t i = 0;
    for (const std::string_view name : names) {
      const toml::node& item = (*list)[i++];
      out.push_back({&item, fmt::format("{}.{}", row.key, name), begin_of(item.source())});
      seen_.lines[out.back().key] = begin_of(item.source());
    }
    return out;
  }
  std::string wanted;
  for (const std::string_view name : names) wanted += fmt::format("{}{}", wanted.empty() ? "" : ", ", name);
  complain("row-length", place(row),
           list != nullptr ? fmt::format("Found a row of {} values.", list->size())
                           : fmt::format("Found {} where a row is wanted.", found(*row.node)),
           fmt::format("Give {} values in brackets: [{}].{}", names.size(), wanted,
                       braces_for(grammar_, row.key, names)));
  return {};
}

// ---- what nobody knows
// -------------------------------------------------------------------------------------------

void TableReader::unknown(const std::string& key, const toml::source_region& where) {
  const std::string shown = key.size() > 80 ? fmt::format("{}...", key.substr(0, 40)) : key;
  if (problems_.size() > kMostProblems) return;
  const std::string near = nearest_key(grammar_.rows, key);
  complain("key-unknown", {seen_.file, begin_of(where).line, begin_of(where).column, shown},
           fmt::format("There is no key {}.", shown),
           near.empty() ? fmt::format("Every key is listed in {}.", grammar_.page)
                        : fmt::format("Did you mean {}?", near));
}

void TableReader::refuse_unknown(const toml::table& table, const std::string& prefix) {
  for (auto&& [name, node] : table) {
    const std::string key =
        prefix.empty() ? std::string(name.str()) : fmt::format("{}.{}", prefix, name.str());
    const Row* row = find_row(grammar_.rows, key);
    const bool section = is_section(grammar_.rows, key);
    // a name with dots or brackets of its own must not pass for a path
    const bool odd = name.str().find_first_of(".[]") != std::string_view::npos;
    if (odd || (row == nullptr && !section)) {
      unknown(key, name.source());
    } else if (const toml::table* below = node.as_table()) {
      if (section) refuse_unknown(*below, key);
    } else if (const toml::array* list = node.as_array();
               list != nullptr && row != nullptr && row->form == Form::list) {
      for (std::size_t i = 0; i < list->size(); ++i) {
        if (const toml::table* item = (*list)[i].as_table())
          refuse_unknown(*item, fmt::format("{}[{}]", key, i + 1));
      }
    }
  }
}

// ---- the whole list
// ----------------------------------------------------------------------------------------------------

namespace {

/// What stands between single quotation marks; "" where nothing does.
std::string quoted_in(const std::string& said) {
  const std::size_t from = said.find('\'');
  const std::size_t to = from == std::string::npos ? from : said.find('\'', from + 1);
  return to == std::string::npos ? "" : said.substr(from + 1, to - from - 1);
}

/// The parser's words in a builder's: "in a list: the file ends here".
std::string plain_words(std::string said) {
  static constexpr std::pair<std::string_view, std::string_view> kTurns[] = {
      {"Error while parsing ", "in "},
      {"in key-value pair", "in a key and its value"},
      {"in array", "in a list"},
      {"in inline table", "in a piece in braces"},
      {"in table header", "in a section's heading"},
      {"in table", "in a section"},
      {"encountered end-of-file", "the file ends here"}};
  for (const auto& [from, to] : kTurns) {
    const std::size_t at = said.find(from);
    if (at != std::string::npos) said.replace(at, from.size(), to);
  }
  return said.substr(0, 200);
}

}  // namespace

base::Problem grammar_problem(const toml::parse_error& error, const std::string& file) {
  const std::string said(error.description());
  const auto& at = error.source().begin;
  const Place where{file, static_cast<int>(at.line), static_cast<int>(at.column), ""};
  if (said.find("redefine") != std::string::npos || said.find("already") != std::string::npos) {
    const std::string name = quoted_in(said);
    return {"key-twice", where,
            fmt::format("{} stands here a second time.", name.empty() ? "A key or section" : name),
            "Keep one of the two; a section's keys stand together under one heading."};
  }
  return {"toml-syntax", where, fmt::format("The line can't be read: {}.", plain_words(said)),
          "A key is written key = value; anything but a plain number goes in quotation marks, e.g. wall = "
          "\"1,2 mm\"."};
}

base::Problems in_file_order(base::Problems problems) {
  using base::Problem;
  std::stable_sort(problems.begin(), problems.end(), [](const Problem& a, const Problem& b) {
    return std::pair(a.where.line, a.where.column) < std::pair(b.where.line, b.where.column);
  });
  // a key for both blades is read once a side, its complaints are said once
  const auto same = [](const Problem& a, const Problem& b) {
    return a.code == b.code && a.where.line == b.where.line && a.where.column == b.where.column &&
           a.where.key == b.where.key;
  };
  problems.erase(std::unique(problems.begin(), problems.end(), same), problems.end());
  return problems;
}

}  // namespace halfround::job
