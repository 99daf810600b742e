// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cstdlib>

#include "solver/picture/render.h"

namespace hosefit {

/// How two pictures differ: mean over all bytes, and the share of pixels with a byte off by more than 12.
struct PictureDifference {
  double mean = 0, share_off = 0;
};

inline PictureDifference difference(const Image& a, const Image& b) {
  if (a.rgb.size() != b.rgb.size() || a.size.width != b.size.width) return {255, 1};
  PictureDifference out;
  const double pixels = double(a.rgb.size()) / 3;
  for (std::size_t i = 0; i < a.rgb.size(); i += 3) {
    bool off = false;
    for (std::size_t k = i; k < i + 3; ++k) {
      const int d = std::abs(int(a.rgb[k]) - int(b.rgb[k]));
      out.mean += d / (3 * pixels);
      off = off || d > 12;
    }
    out.share_off += off ? 1 / pixels : 0;
  }
  return out;
}

/// Leaves room for another rounding of a few samples (14 pixels at 480 x 300), not for a part that has moved:
/// an outline moved by 5 mm changes more, even at that size.
inline bool is_same(const PictureDifference& d) {
  return d.mean <= 0.02 && d.share_off <= 0.0001;
}

}  // namespace hosefit
