// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/rules/hose_bores.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace hosefit {
namespace {

struct Row {
  double nominal_mm, least_mm, most_mm;
};
// ISO 1307:2008, not mandrel-made.
constexpr std::array kIso1307{Row{9.5, 8.7, 10.3},   Row{16.0, 15.1, 16.7}, Row{19.0, 18.3, 19.9},
                              Row{25.0, 24.2, 26.6}, Row{31.5, 30.2, 33.4}, Row{38.0, 36.5, 39.7},
                              Row{40.0, 38.5, 41.7}, Row{51.0, 49.1, 52.6}};
constexpr double kPartnerWithin_mm = 0.6;

}  // namespace

std::optional<BoreLimits> iso_1307_limits(Length nominal_bore) {
  const auto off_mm = [&](const Row& row) { return std::abs(row.nominal_mm - nominal_bore.mm()); };
  const Row& row = *std::min_element(kIso1307.begin(), kIso1307.end(),
                                     [&](const Row& a, const Row& b) { return off_mm(a) < off_mm(b); });
  if (off_mm(row) > kPartnerWithin_mm) return std::nullopt;
  return BoreLimits{Length::mm(row.nominal_mm), Length::mm(row.least_mm), Length::mm(row.most_mm)};
}

}  // namespace hosefit
