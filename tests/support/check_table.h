// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cstdlib>
#include <fstream>
#include <map>
#include <stdexcept>
#include <string>
#include <vector>

namespace hosefit::test {

/// One row of a table of check values: a CSV file with a header row and no quoted commas.
class CheckRow {
 public:
  explicit CheckRow(std::map<std::string, std::string> cells) : cells_(std::move(cells)) {}
  const std::string& text(const std::string& column) const { return cells_.at(column); }
  bool has(const std::string& column) const { return !cells_.at(column).empty(); }
  double number(const std::string& column) const {
    if (!has(column)) throw std::runtime_error("check table: empty cell in " + column);
    return std::strtod(cells_.at(column).c_str(), nullptr);
  }

 private:
  std::map<std::string, std::string> cells_;
};

/// Throws when the file is missing or has no rows, so that a lost table cannot pass.
inline std::vector<CheckRow> check_table(const std::string& path) {
  std::ifstream in(path);
  const auto split = [](const std::string& line) {
    std::vector<std::string> cells{""};
    for (const char c : line) {
      if (c == ',') {
        cells.emplace_back();
      } else if (c != '\r') {
        cells.back() += c;
      }
    }
    return cells;
  };
  std::string line;
  std::getline(in, line);
  const auto header = split(line);
  std::vector<CheckRow> rows;
  while (std::getline(in, line)) {
    const auto cells = split(line);
    std::map<std::string, std::string> row;
    for (std::size_t i = 0; i < header.size(); ++i) row[header[i]] = cells.at(i);
    rows.emplace_back(std::move(row));
  }
  if (rows.empty()) throw std::runtime_error("check table " + path + " is missing or empty");
  return rows;
}

}  // namespace hosefit::test
