#include "exchange/csv.h"

#include <charconv>
#include <cmath>
#include <string_view>

#include "base/number.h"
#include "base/result.h"

namespace halfround::exchange {

std::string csv_number(std::optional<double> value, int decimals) {
  if (!value || !std::isfinite(*value)) return "";
  std::string text = base::fixed(*value, decimals);
  if (decimals == 0) return text;
  text.erase(text.find_last_not_of('0') + 1);
  if (text.back() == '.') text.pop_back();
  return text;
}

namespace {

/// A spreadsheet takes what begins so for a formula, or may once it has cut off the tab.
bool could_be_formula(const std::string& cell) {
  return !cell.empty() && std::string_view("=+-@\t\r\n").find(cell.front()) != std::string_view::npos;
}

/// "-1.5", "+3", "-2e-3": numbers stay numbers.
bool is_number(std::string_view cell) {
  if (cell.starts_with('+')) cell.remove_prefix(1);
  double value = 0;
  const auto [end, error] = std::from_chars(cell.data(), cell.data() + cell.size(), value);
  return error == std::errc{} && end == cell.data() + cell.size() && std::isfinite(value);
}

std::string harmless(const std::string& cell) {
  return could_be_formula(cell) && !is_number(cell) ? "'" + cell : cell;
}

}  // namespace

std::string to_csv(const CsvTable& table) {
  std::string out;
  const auto line = [&](const std::vector<std::string>& cells) {
    base::check(cells.size() == table.head.size(), "a row of a table is as long as its head");
    for (std::size_t i = 0; i < cells.size(); ++i) {
      if (i > 0) out += ',';
      const std::string cell = harmless(cells[i]);
      if (cell.find_first_of(",\"\r\n\t") == std::string::npos) {
        out += cell;
        continue;
      }
      out += '"';
      for (const char c : cell) {
        if (c == '"') out += '"';
        out += c;
      }
      out += '"';
    }
    out += "\r\n";
  };
  line(table.head);
  for (const auto& row : table.rows) line(row);
  return out;
}

}  // namespace halfround::exchange
