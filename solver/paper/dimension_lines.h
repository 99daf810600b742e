// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <string>
#include <vector>

#include "solver/paper/paragraph.h"

/// Linear dimensions beside a view, stacked so that none crosses another; manner of ISO 129-1. All in mm of
/// paper, in the view's own coordinates.
namespace hosefit {

inline constexpr double kFigure_mm = 2.6;         ///< height of the font of figures
inline constexpr double kArrowHead_mm = 2.6;      ///< length
inline constexpr double kFirstLine_mm = 6.5;      ///< from the view to the nearest dimension line
inline constexpr double kNextLine_mm = 5.5;       ///< from one dimension line to the next
inline constexpr double kExtensionGap_mm = 1;     ///< between what is dimensioned and its extension line
inline constexpr double kExtensionOver_mm = 1.5;  ///< of an extension line beyond the dimension line

enum class Side { below, above, left, right };
inline constexpr bool is_level(Side side) {  ///< its dimension lines run along X
  return side == Side::below || side == Side::above;
}

struct Dimension {
  double from = 0, to = 0;                  ///< along the side
  double from_feature = 0, to_feature = 0;  ///< across it: where what is dimensioned ends
  std::string words;
};

struct DimensionLine {
  Dimension dimension;
  Side side = Side::below;
  int level = 0;      ///< 0 is nearest to the view
  double across = 0;  ///< of the dimension line
  bool arrows_outside = false;
  double words_from = 0, words_to = 0;  ///< along; on the line or beside it

  Vec2 at(double along, double across_mm) const {
    return is_level(side) ? Vec2(along, across_mm) : Vec2(across_mm, along);
  }
  double low() const { return std::min(dimension.from, dimension.to); }
  double high() const { return std::max(dimension.from, dimension.to); }
  Vec2 line_from() const;  ///< ends of all that is drawn along the dimension line
  Vec2 line_to() const;
  Eigen::AlignedBox2d words_box() const;  ///< above the line; on its left where it stands upright
  Eigen::AlignedBox2d box() const;        ///< of line, words and extension lines beyond it
};

/// Where the view ends beside which dimensions are stacked.
struct ViewEdge {
  double across = 0;
  double low = 0,
         high = 0;  ///< along; words go beyond only where they must, since other sides have theirs there
};

/// Shorter ones nearer to the view, longer ones over them; beside each other where there is room. Two that
/// are the same are drawn once.
std::vector<DimensionLine> stacked(std::vector<Dimension> wanted, Side side, const ViewEdge& edge,
                                   const TextWidth& width_of);

}  // namespace hosefit
