// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <string>
#include <vector>

#include "solver/base/quantity.h"
#include "solver/picture/drawing.h"
#include "solver/picture/labels.h"

/// What is written on a picture.
namespace hosefit {

/// One line each, safe to print.
struct Caption {
  std::string vehicle, parts, question;  ///< "Harrow half-ton"; pump, drive, housing; intake and height
  std::string verdict, decides;
};

/// How a picture of a size is divided. All lengths in pixels grow with the size; 1 at 1600 x 1000.
struct Sheet {
  double unit = 1;
  PixelBox head, drawing, foot;
  Font plain, strong, small;  ///< never below 8 px; 13 px and more at the default size
};
Sheet sheet_of(Size size);

struct ScaleBar {
  double length_mm = 0;
  PixelBox box;  ///< the bar itself: its width is length_mm times the camera's scale
};

/// What was written, for looking up and for tests.
struct Notes {
  std::vector<std::string> texts;   ///< of the labels, same order as labels
  std::vector<PlacedLabel> labels;  ///< `wish` is the index into texts
  ScaleBar scale;
};

struct AnnotateOptions {
  std::string seen_from;  ///< "from the left", "close up"
  LengthUnit unit = LengthUnit::mm;
  bool close = false;  ///< draw the gap itself between its two sides
};

/// Caption above; legend, scale bar and axes below; labels with leaders; the deciding spot with its figure.
Notes annotate(Drawing& drawing, const Scene& scene, const View& view, const Rendering& rendering,
               const Caption& caption, const AnnotateOptions& options);

}  // namespace hosefit
