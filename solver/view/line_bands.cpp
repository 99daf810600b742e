// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/view/line_bands.h"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace hosefit {
namespace {

constexpr double kLeastSeen_mm = 6.0;
constexpr double kNothing_mm = 1e-6;

SpareClass class_of(const SpareStretch& stretch, bool proved) {
  if (proved) return spare_class(stretch.at_least_mm);
  return spare_class(stretch.found_mm) == SpareClass::is_short ? SpareClass::is_short
                                                               : SpareClass::not_proved;
}

std::vector<ClassStretch> joined(const std::vector<ClassStretch>& stretches) {
  std::vector<ClassStretch> out;
  for (const ClassStretch& stretch : stretches) {
    if (!out.empty() && out.back().spare == stretch.spare)
      out.back().to_mm = stretch.to_mm;
    else
      out.push_back(stretch);
  }
  return out;
}

// A tight place too short to be seen is drawn longer, never left out.
std::vector<ClassStretch> widened(std::vector<ClassStretch> stretches) {
  for (std::size_t i = 0; i < stretches.size(); ++i) {
    const double lacking = kLeastSeen_mm - (stretches[i].to_mm - stretches[i].from_mm);
    if (lacking <= 0) continue;
    if (i > 0 && stretches[i - 1].spare > stretches[i].spare) {
      const double room = stretches[i - 1].to_mm - stretches[i - 1].from_mm;
      stretches[i].from_mm = stretches[i - 1].to_mm -= std::min(room, lacking / 2);
    }
    if (i + 1 < stretches.size() && stretches[i + 1].spare > stretches[i].spare) {
      const double room = stretches[i + 1].to_mm - stretches[i + 1].from_mm;
      stretches[i].to_mm = stretches[i + 1].from_mm += std::min(room, lacking / 2);
    }
  }
  std::erase_if(stretches, [](const ClassStretch& s) { return s.to_mm - s.from_mm < kNothing_mm; });
  return joined(stretches);
}

// A looser stretch that short between tighter ones only flickers.
std::vector<ClassStretch> without_slivers(std::vector<ClassStretch> stretches) {
  for (std::size_t i = 0; i < stretches.size(); ++i) {
    if (stretches[i].to_mm - stretches[i].from_mm >= kLeastSeen_mm) continue;
    const bool before = i > 0 && stretches[i - 1].spare < stretches[i].spare;
    const bool after = i + 1 < stretches.size() && stretches[i + 1].spare < stretches[i].spare;
    if (before)
      stretches[i].spare = stretches[i - 1].spare;
    else if (after)
      stretches[i].spare = stretches[i + 1].spare;
  }
  return joined(stretches);
}

void add_pattern(const ClassStretch& stretch, std::vector<Band>& bands) {
  const std::vector<double> pattern = ring_pattern_mm(stretch.spare);
  bands.push_back({stretch.from_mm, colour_of(stretch.spare)});
  if (pattern.empty()) return;
  const double period = std::accumulate(pattern.begin(), pattern.end(), 0.0);
  const double rings = period - pattern.front();
  const double length = stretch.to_mm - stretch.from_mm;
  const int groups = std::max(1, static_cast<int>(length / period));
  for (int g = 0; g < groups; ++g) {
    double s = stretch.from_mm + std::max(0.0, (g + 0.5) * length / groups - rings / 2);
    for (std::size_t i = 1; i < pattern.size(); ++i) {
      if (s >= stretch.to_mm) break;
      bands.push_back({s, i % 2 == 1 ? ring_colour_of(stretch.spare) : colour_of(stretch.spare)});
      s += pattern[i];
    }
    if (s < stretch.to_mm) bands.push_back({s, colour_of(stretch.spare)});
  }
}

}  // namespace

std::vector<ClassStretch> classes_along(std::span<const SpareStretch> spare, bool proved) {
  std::vector<ClassStretch> out;
  const double start = spare.empty() ? 0 : spare.front().from_s_mm;
  for (const SpareStretch& stretch : spare)
    out.push_back({stretch.from_s_mm - start, stretch.to_s_mm - start, class_of(stretch, proved)});
  return without_slivers(widened(joined(out)));
}

std::vector<Band> bands_of(std::span<const ClassStretch> classes) {
  std::vector<Band> out;
  for (const ClassStretch& stretch : classes) add_pattern(stretch, out);
  return out;
}

const Colour& colour_at(std::span<const Band> bands, double s_mm) {
  const auto after = std::upper_bound(bands.begin(), bands.end(), s_mm,
                                      [](double s, const Band& b) { return s < b.from_mm; });
  return after == bands.begin() ? bands.front().colour : std::prev(after)->colour;
}

}  // namespace hosefit
