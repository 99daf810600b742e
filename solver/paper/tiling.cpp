// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/paper/tiling.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace hosefit {
namespace {

constexpr double kTurnStep_rad = 5.0 * std::numbers::pi / 180.0;
constexpr int kTurns = 72;
constexpr double kAround_mm = 8.0;  // white around the tube, for its marks and words

int count(double extent_mm, double field_mm) {
  return std::max(1,
                  static_cast<int>(std::ceil((extent_mm - kOverlap_mm) / (field_mm - kOverlap_mm) - 1e-9)));
}

// Whether the tube, thought square at its ends, comes onto the tile: by samples closer than half the overlap.
bool drawn_on(const BendPlane& plane, double off_mm, const Vec2& from, const Vec2& field) {
  const Eigen::AlignedBox2d box(from - Vec2::Constant(off_mm), from + field + Vec2::Constant(off_mm));
  for (const FlatPiece& piece : plane.pieces) {
    const double length = piece.radius_mm > 0 ? piece.radius_mm * std::abs(piece.sweep_rad)
                                              : (piece.to_mm - piece.from_mm).norm();
    const int steps = 1 + static_cast<int>(length / (kOverlap_mm / 2));
    for (int i = 0; i <= steps; ++i)
      if (box.contains(point_at(piece, static_cast<double>(i) / steps))) return true;
  }
  return false;
}

Tiling laid_out(const BendPlane& plane, double off_mm, const Vec2& field) {
  const Eigen::AlignedBox2d box = box_of(plane, off_mm);
  Tiling out{plane, field, Vec2::Zero(), 1, 1, {}};
  out.columns = count(box.sizes().x(), field.x());
  out.rows = count(box.sizes().y(), field.y());
  const Vec2 step = field - Vec2::Constant(kOverlap_mm);
  const Vec2 covered = Vec2(out.columns - 1, out.rows - 1).cwiseProduct(step) + field;
  out.origin_mm = box.center() - covered / 2;
  for (int row = 0; row < out.rows; ++row)
    for (int column = 0; column < out.columns; ++column) {
      const Vec2 from = out.origin_mm + Vec2(column, row).cwiseProduct(step);
      if (drawn_on(plane, off_mm, from, field)) out.tiles.push_back({column, row, from});
    }
  return out;
}

}  // namespace

std::string_view word(Paper paper) {
  return paper == Paper::a4 ? "a4" : "letter";
}

std::optional<Paper> paper_named(std::string_view name) {
  for (const Paper paper : {Paper::a4, Paper::letter})
    if (name == word(paper)) return paper;
  return std::nullopt;
}

Vec2 size_mm(Paper paper) {
  return paper == Paper::a4 ? Vec2(210, 297) : Vec2(8.5 * 25.4, 11 * 25.4);
}

Tiling tiled(const BendPlane& plane, double outside_mm, Paper paper, const Stretch& stretch) {
  const Vec2 nominal = size_mm(paper) - Vec2(2 * kMargin_mm, 2 * kMargin_mm + kFooter_mm);
  const Vec2 field(nominal.x() / stretch.across, nominal.y() / stretch.down);
  const double off_mm = outside_mm / 2 + kAround_mm;
  Tiling best = laid_out(plane, off_mm, field);
  for (int i = 1; i < kTurns; ++i) {
    Tiling next = laid_out(turned(plane, i * kTurnStep_rad), off_mm, field);
    if (next.tiles.size() < best.tiles.size()) best = std::move(next);
  }
  return best;
}

std::string tile_name(const Tile& tile) {
  std::string letters;
  for (int row = tile.row; row >= 0; row = row / 26 - 1)
    letters.insert(letters.begin(), static_cast<char>('A' + row % 26));
  return fmt::format("{}{}", letters, tile.column + 1);
}

std::vector<Vec2> marks_on(const Tiling& tiling, const Tile& tile) {
  std::vector<Vec2> marks;
  for (const double y : {kOverlap_mm / 2, tiling.field_mm.y() - kOverlap_mm / 2})
    for (const double x : {kOverlap_mm / 2, tiling.field_mm.x() - kOverlap_mm / 2})
      marks.push_back(tile.from_mm + Vec2(x, y));
  return marks;
}

}  // namespace hosefit
