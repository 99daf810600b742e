// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <algorithm>
#include <fstream>
#include <map>
#include <sstream>
#include <stdexcept>
#include <string>
#include <vector>

/// Rows of tests/coolant/data/*.csv: one header row, no quoting, no commas inside cells.
namespace hosefit_test {

class Row {
 public:
  explicit Row(std::map<std::string, std::string> cells) : cells_(std::move(cells)) {}
  const std::string& text(const std::string& column) const { return cells_.at(column); }
  bool has(const std::string& column) const { return !text(column).empty(); }
  double number(const std::string& column) const {
    try {
      return std::stod(text(column));
    } catch (const std::exception&) {
      throw std::runtime_error("row " + text("id") + ": " + column + " is not a number: " + text(column));
    }
  }
  bool starts(const std::string& column, const std::string& with) const {
    return text(column).rfind(with, 0) == 0;
  }

 private:
  std::map<std::string, std::string> cells_;
};

inline std::vector<std::string> split(const std::string& line, char separator) {
  std::vector<std::string> cells;
  std::istringstream in(line + separator);
  for (std::string cell; std::getline(in, cell, separator);) cells.push_back(cell);
  return cells;
}

/// Throws when the file is missing, a row has another number of cells than the header, or there is no row.
inline std::vector<Row> rows_of(const std::string& file) {
  std::ifstream in(std::string(HOSEFIT_TEST_DIR) + "/coolant/data/" + file);
  std::string line;
  if (!std::getline(in, line)) throw std::runtime_error("no such data: " + file);
  const std::vector<std::string> columns = split(line, ',');
  std::vector<Row> rows;
  while (std::getline(in, line)) {
    const std::vector<std::string> cells = split(line, ',');
    if (cells.size() != columns.size()) throw std::runtime_error(file + ": wrong number of cells: " + line);
    std::map<std::string, std::string> named;
    for (std::size_t i = 0; i < cells.size(); ++i) named[columns[i]] = cells[i];
    rows.emplace_back(std::move(named));
  }
  if (rows.empty()) throw std::runtime_error("no rows: " + file);
  return rows;
}

/// "a=1;b=2" as numbers by name.
inline std::map<std::string, double> inputs_of(const Row& row) {
  std::map<std::string, double> inputs;
  for (const std::string& pair : split(row.text("inputs"), ';')) {
    const std::vector<std::string> sides = split(pair, '=');
    if (sides.size() == 2) inputs[sides[0]] = std::stod(sides[1]);
  }
  return inputs;
}

/// The tables print ten to twelve digits, so no row can be met closer than this.
inline constexpr double printed_digits = 1e-9;

/// The row's own tolerance, but not below the digits it was printed with.
inline double tolerance_of(const Row& row) {
  return std::max(row.number("rel_tol"), printed_digits);
}

inline double relative_miss(double got, double want) {
  const double size = want == 0.0 ? 1.0 : want;
  return (got > want ? got - want : want - got) / (size < 0.0 ? -size : size);
}

}  // namespace hosefit_test
