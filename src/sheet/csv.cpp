#include "sheet/csv.h"

#include <cmath>

#include "base/number.h"
#include "base/result.h"

namespace halfround::sheet {

std::string csv_number(std::optional<double> value, int decimals) {
  if (!value || !std::isfinite(*value)) return "";
  std::string text = base::fixed(*value, decimals);
  if (decimals == 0) return text;
  text.erase(text.find_last_not_of('0') + 1);
  if (text.back() == '.') text.pop_back();
  return text;
}

std::string to_csv(const CsvTable& table) {
  std::string out;
  const auto line = [&](const std::vector<std::string>& cells) {
    base::check(cells.size() == table.head.size(), "a row of a table is as long as its head");
    for (std::size_t i = 0; i < cells.size(); ++i) {
      if (i > 0) out += ',';
      if (cells[i].find_first_of(",\"\r\n") == std::string::npos) {
        out += cells[i];
        continue;
      }
      out += '"';
      for (const char c : cells[i]) {
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

}  // namespace halfround::sheet
