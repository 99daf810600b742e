// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "solver/base/quantity.h"
#include "solver/picture/annotate.h"

namespace hosefit {

struct PictureOptions {
  std::optional<Side> side = Side::three_quarter;  ///< empty: the deciding spot from near
  Size size;
  LengthUnit unit = LengthUnit::mm;
  Threads threads{1};
};

struct Picture {
  Image image;
  std::string png;  ///< the bytes of the file
  Camera camera;
  Notes notes;  ///< what was written on it, and where
};

/// The picture of one candidate. Empty when its parts do not bolt together (there is nothing to draw), or
/// when the close-up is asked for and no place decides.
std::optional<Picture> picture_of(const Prepared& prepared, const CandidateResult& result,
                                  const PictureOptions& options);

/// The same of a scene at hand.
std::optional<Picture> picture_of(const Scene& scene, const Caption& caption, const PictureOptions& options);

/// Title, verdict and what decides, as they stand on the picture; safe to print.
Caption caption_of(const Job& job, const CandidateResult& result, LengthUnit unit);

}  // namespace hosefit
