// Tables as comma-separated text, as RFC 4180 has it: a head with the units, CRLF, quotes where they are
// needed.
#pragma once

#include <optional>
#include <string>
#include <vector>

namespace halfround::exchange {

struct CsvTable {
  std::string stem;               ///< file name without ending: "depths-by-clock"
  std::string what;               ///< one plain line
  std::vector<std::string> head;  ///< "outer depth (mm)"
  std::vector<std::vector<std::string>> rows;
};

/// A number for a machine: decimal point, at most `decimals`, no zeros behind; empty where there is none.
[[nodiscard]] std::string csv_number(std::optional<double> value, int decimals = 3);

/// The table as text. A cell of words that a spreadsheet would take for a formula (it begins with = + - @ or
/// a tab) gets an apostrophe in front; numbers stay as they are.
///   in  every row as long as the head
[[nodiscard]] std::string to_csv(const CsvTable& table);

}  // namespace halfround::exchange
