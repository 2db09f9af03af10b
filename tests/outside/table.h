// Reads the tables of outside values: '#' opens a comment, cells stand between tabs.
#pragma once

#include <fstream>
#include <sstream>
#include <string>
#include <vector>

namespace halfround::outside {

using Row = std::vector<std::string>;

/// in  name  below tests/outside/
inline std::vector<Row> table(const std::string& name) {
  std::ifstream file(std::string(SOURCE_DIR) + "/tests/outside/" + name);
  std::vector<Row> rows;
  for (std::string line; std::getline(file, line);) {
    if (line.empty() || line[0] == '#') continue;
    Row row;
    std::istringstream cells(line);
    for (std::string cell; std::getline(cells, cell, '\t');) row.push_back(cell);
    rows.push_back(row);
  }
  return rows;
}

inline double number(const std::string& cell) {
  return std::stod(cell);
}

inline std::vector<double> numbers(const std::string& cell) {
  std::istringstream in(cell);
  std::vector<double> out;
  for (double v = 0; in >> v;) out.push_back(v);
  return out;
}

}  // namespace halfround::outside
