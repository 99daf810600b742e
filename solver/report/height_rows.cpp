// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/report/height_rows.h"

#include <fmt/format.h>

#include "solver/report/words.h"

namespace hosefit {
namespace {

bool narrow(const HeightWindow& window) {
  return window.to - window.from < kLeastHeightRow;
}

std::vector<HeightWindow> joined(const std::vector<HeightWindow>& windows) {
  std::vector<HeightWindow> out;
  for (HeightWindow window : windows) {
    if (windows.size() > 1 && narrow(window)) window.fit = Fit::undecided;
    if (!out.empty() && window.fit == Fit::undecided && out.back().fit == Fit::undecided)
      out.back().to = window.to;
    else
      out.push_back(std::move(window));
  }
  return out;
}

}  // namespace

HeightRows height_rows(const std::vector<HeightWindow>& windows, LengthUnit unit) {
  HeightRows out;
  for (const HeightWindow& window : joined(windows)) {
    if (windows.size() > 1 && narrow(window)) {
      out.left_out = true;
      continue;
    }
    HeightRow row{window.from, window.to, window.fit, {}};
    if (window.binds)
      row.binds = fmt::format("at {}{}: {}", length_words(window.binds_at, unit),
                              window.fit == Fit::fits ? ", above it" : "",
                              words_of(*window.binds, {unit, nullptr}).brief);
    out.rows.push_back(std::move(row));
  }
  return out;
}

std::string left_out_words(const HeightRows& rows, LengthUnit unit) {
  if (!rows.left_out) return {};
  return fmt::format("Undecided intervals of less than {} between them are not listed.",
                     length_words(kLeastHeightRow, unit));
}

}  // namespace hosefit
