// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "solver/paper/bend_planes.h"

namespace hosefit {

/// Sizes after ISO 216 (A4) and ANSI/ASME Y14.1 (Letter, 8.5 x 11 in), upright.
enum class Paper { a4, letter };
std::string_view word(Paper paper);  ///< "a4", "letter"
std::optional<Paper> paper_named(std::string_view word);
Vec2 size_mm(Paper paper);

/// How much longer to draw than true, across and down the sheet, so that a printer that prints a bar of
/// 100 mm as `measured` mm prints it true: 100 / measured. 1 = as it is.
struct Stretch {
  double across = 1, down = 1;
};

/// One sheet of paper: the part of the drawing between `from_mm` and `from_mm` + the drawing field.
struct Tile {
  int column = 0, row = 0;  ///< from the lower left of the drawing
  Vec2 from_mm;             ///< in the paper's plane, true millimetres
};

/// A drawing laid out on as few sheets as a turn in steps of 5 degrees allows. Sheets overlap by
/// kOverlap_mm; those that nothing is drawn on are left out.
struct Tiling {
  BendPlane plane;  ///< turned
  Vec2 field_mm;    ///< of the drawing on one sheet, true millimetres
  Vec2 origin_mm;   ///< lower left of tile (0, 0)
  int columns = 1, rows = 1;
  std::vector<Tile> tiles;  ///< row by row from below
};
inline constexpr double kMargin_mm = 12.0;  ///< that printers leave white, and more
inline constexpr double kFooter_mm = 34.0;  ///< for the bars and the words
inline constexpr double kOverlap_mm = 10.0;

/// `outside_mm`: the outside diameter to keep on the paper around the centreline.
Tiling tiled(const BendPlane& plane, double outside_mm, Paper paper, const Stretch& stretch);

/// "A1" for column 0, row 0; letters go up, numbers to the right.
std::string tile_name(const Tile& tile);

/// Places of the registration marks that fall on a tile, in the paper's plane: the middles of the corners
/// that it shares with its neighbours, so that one mark stands on up to four sheets.
std::vector<Vec2> marks_on(const Tiling& tiling, const Tile& tile);

}  // namespace hosefit
