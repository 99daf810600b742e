// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <vector>

#include "solver/geometry/centreline.h"

/// A centreline taken apart into the planes that it bends in, so that each can be laid on paper in true size.
namespace hosefit {

/// A straight or an arc in the paper's plane. Arc: about `centre`, from the angle `from_rad` over
/// `sweep_rad`, which is positive counterclockwise. Straight: radius_mm is 0.
struct FlatPiece {
  Vec2 from_mm, to_mm;
  Vec2 centre_mm = Vec2::Zero();
  double radius_mm = 0, from_rad = 0, sweep_rad = 0;
};
Vec2 point_at(const FlatPiece& piece, double share);  ///< 0 at its start, 1 at its end

/// One plane of the centreline. Neighbouring planes share the straight between them, so that it is drawn in
/// both.
struct BendPlane {
  Pose frame;  ///< of the paper (X right, Y up, Z towards the reader) in the vehicle frame
  std::vector<FlatPiece> pieces;
  double from_s_mm = 0, to_s_mm = 0;  ///< arc lengths on the whole centreline
  /// Turn of this plane against the one before, as in a bend table: right-handed about the direction of
  /// travel, (-pi, pi]. 0 for the first. Arcs that bend to the other side of the same plane share it.
  double turn_rad = 0;
};

/// In the order of travel, at least one. Arcs whose planes differ by less than `same_plane_rad` lie in one:
/// at 1e-4 rad a bend of 500 mm leaves the paper by 0.05 mm.
std::vector<BendPlane> bend_planes(const Centreline& centreline, double same_plane_rad = 1e-4);

/// The same drawing turned by an angle about the paper's origin, counterclockwise.
BendPlane turned(const BendPlane& plane, double angle_rad);

/// The smallest box around the drawing, with `off_mm` on every side.
Eigen::AlignedBox2d box_of(const BendPlane& plane, double off_mm);
/// The same for one piece.
Eigen::AlignedBox2d box_of(const FlatPiece& piece, double off_mm);

}  // namespace hosefit
