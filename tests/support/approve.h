// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <algorithm>
#include <catch2/catch.hpp>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>
#include <string_view>
#include <vector>

namespace hosefit {

inline std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> lines;
  std::istringstream in(text);
  for (std::string line; std::getline(in, line);) lines.push_back(line);
  return lines;
}

/// The first lines that differ, as "line 12: - approved" and "line 12: + now"; at most 20 pairs.
inline std::string difference(const std::string& approved, const std::string& now) {
  const std::vector<std::string> a = lines_of(approved);
  const std::vector<std::string> b = lines_of(now);
  std::string out;
  int told = 0;
  for (std::size_t i = 0; i < std::max(a.size(), b.size()) && told < 20; ++i) {
    const bool in_a = i < a.size();
    const bool in_b = i < b.size();
    if (in_a && in_b && a[i] == b[i]) continue;
    const std::string where = "line " + std::to_string(i + 1) + ": ";
    if (in_a) out += where + "- " + a[i] + "\n";
    if (in_b) out += where + "+ " + b[i] + "\n";
    ++told;
  }
  return out.empty() && approved != now ? "they differ in line ends only\n" : out;
}

/// Holds `text` against tests/golden/<name>. With HOSEFIT_APPROVE=1 in the environment the file is written
/// instead, for a person to read as a diff. A file that is not there fails.
inline void approve(std::string_view name, const std::string& text) {
  const std::filesystem::path file = std::filesystem::path(HOSEFIT_ROOT_DIR) / "tests" / "golden" / name;
  const char* const accept = std::getenv("HOSEFIT_APPROVE");
  if (accept != nullptr && std::string_view(accept) == "1") {
    std::ofstream out(file, std::ios::binary);
    out << text;
    out.close();
    REQUIRE(out.good());
    return;
  }
  std::ifstream in(file, std::ios::binary);
  INFO("approved file " << file.string() << " (HOSEFIT_APPROVE=1 writes it)");
  REQUIRE(in.good());
  std::ostringstream approved;
  approved << in.rdbuf();
  const std::string changes = difference(approved.str(), text);
  INFO(changes);
  CHECK((approved.str() == text));
}

}  // namespace hosefit
