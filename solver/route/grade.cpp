// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/route/grade.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

namespace hosefit {
namespace {

// Heights in travel order at every piece end and every crest or trough between; `up` is the vertical after
// pitching.
std::vector<double> turning_heights(const Centreline& centreline, const Vec3& up) {
  std::vector<double> heights;
  for (const Piece& piece : centreline.pieces) {
    heights.push_back(up.dot(point_at(piece, 0)));
    if (const Arc* arc = std::get_if<Arc>(&piece)) {
      const Vec3 spoke = arc->start_mm - arc->centre_mm;
      const double cosine_part = up.dot(spoke);
      const double sine_part = up.dot(arc->normal.cross(spoke));
      const double amplitude = std::hypot(cosine_part, sine_part);
      double crest =
          std::atan2(sine_part, cosine_part);  // the height is greatest here, least half a turn away
      if (crest < 0) crest += 2 * std::numbers::pi;
      const double trough = crest < std::numbers::pi ? crest + std::numbers::pi : crest - std::numbers::pi;
      const double centre = up.dot(arc->centre_mm);
      for (const double t : {std::min(crest, trough), std::max(crest, trough)})
        if (t < arc->angle_rad) heights.push_back(centre + (t == crest ? amplitude : -amplitude));
    }
    heights.push_back(up.dot(point_at(piece, length_mm(piece))));
  }
  return heights;
}

double largest_fall(const std::vector<double>& heights) {
  double highest = -1e300, fall = 0;
  for (const double h : heights) {
    highest = std::max(highest, h);
    fall = std::max(fall, highest - h);
  }
  return fall;
}

}  // namespace

std::array<double, 3> back_fall_mm(const Centreline& centreline, Grade grade) {
  std::array<double, 3> out{};
  if (grade == Grade::free) return out;
  for (std::size_t i = 0; i < kPitches_deg.size(); ++i) {
    const double pitch = kPitches_deg[i] * std::numbers::pi / 180;
    std::vector<double> heights = turning_heights(centreline, {std::sin(pitch), 0, std::cos(pitch)});
    const double falls = largest_fall(heights);
    std::reverse(heights.begin(), heights.end());
    const double rises = largest_fall(heights);
    out[i] = grade == Grade::rise ? falls : grade == Grade::fall ? rises : std::min(falls, rises);
  }
  return out;
}

}  // namespace hosefit
