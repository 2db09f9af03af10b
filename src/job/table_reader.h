// Values out of the parsed TOML, one key at a time, each held against its row of the schema. Every complaint
// goes to one list with file, line, column and key. Only this room sees this header: toml++ stays behind it.
// Frame: none.
#pragma once

#include <toml++/toml.h>

#include <initializer_list>
#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "job/job.h"
#include "job/schema.h"
#include "job/text_map.h"

namespace halfround::job {

inline constexpr std::size_t kMostProblems = 100;  ///< more complaints than this nobody reads

/// A key and what stands behind it; `node` is null where nothing does.
struct Spot {
  const toml::node* node = nullptr;
  std::string key;
  Line above;  ///< where the table it belongs to begins, for complaints about what is missing
};

/// One kind of file: its keys, and the page that lists them.
struct Grammar {
  std::span<const Row> rows;
  std::string_view page;  ///< "docs/job-file.md"
};

/// Where the reader writes down what it came past.
struct Seen {
  const std::string& file;
  std::map<std::string, Line>& lines;
  std::vector<std::string>& assumed;
};

class TableReader {
 public:
  TableReader(std::string_view text, Grammar grammar, Seen seen, base::Problems& problems);
  TableReader(std::string_view text, Job& job, base::Problems& problems)
      : TableReader(text, {schema(), "docs/job-file.md"}, {job.file, job.lines, job.assumed}, problems) {}

  /// The root, and what lies below a table. A spot that ought to be a table and isn't is complained of once.
  [[nodiscard]] Spot root(const toml::table& table) const { return {&table, "", {1, 1}}; }
  [[nodiscard]] Spot section(const Spot& parent, std::string_view name);
  [[nodiscard]] Spot in(const Spot& table, std::string_view name);

  /// Values by their row. A missing one: complained of when required or `wanted`, replaced by its fallback
  /// when assumed. What couldn't be read has an empty `typed`.
  Quantity quantity(const Spot& spot, bool wanted = false);
  std::optional<Quantity> maybe(const Spot& spot);
  /// A length or an angle where the row says either.
  std::optional<Quantity> either(const Spot& spot, base::Kind kind, bool wanted = false);
  std::string text(const Spot& spot, bool wanted = false);
  /// The place of the choice in the row's `choices`.
  std::optional<std::size_t> choice(const Spot& spot, bool wanted = false);
  std::optional<int> count(const Spot& spot);
  /// A share of the offset: empty where it is "remainder" (then `remainder` is set).
  std::optional<Quantity> share(const Spot& spot, bool& remainder);
  /// The rows of a list, "list[1]", "list[2]" ...
  std::vector<Spot> rows(const Spot& spot, bool wanted = false);
  /// The cells of a row written [a, b, c] or {name = a, ...}; empty where the row is neither.
  std::vector<Spot> cells(const Spot& row, std::initializer_list<std::string_view> names);

  /// Complains of every key no row knows.
  void refuse_unknown(const toml::table& table, const std::string& prefix);

  void complain(std::string code, base::Place where, std::string what, std::string fits,
                std::vector<base::Offer> offers = {});
  [[nodiscard]] base::Place place(const Spot& spot) const;
  /// What stands there, as it stands there, cut to a readable length.
  [[nodiscard]] std::string found(const toml::node& node) const;

 private:
  [[nodiscard]] const Row& row_of(const Spot& spot) const;
  std::optional<Quantity> parsed(const Spot& spot, const Row& row, base::Kind kind);
  void missing(const Spot& spot, const Row& row);
  bool usable(const Spot& spot, const Row& row, bool wanted);
  void unknown(const std::string& key, const toml::source_region& where);

  TextMap map_;
  Grammar grammar_;
  Seen seen_;
  base::Problems& problems_;
};

/// What the TOML parser stopped at, in our words.
[[nodiscard]] base::Problem grammar_problem(const toml::parse_error& error, const std::string& file);

/// As they stand in the file; what was said twice of one place is said once.
[[nodiscard]] base::Problems in_file_order(base::Problems problems);

}  // namespace halfround::job
