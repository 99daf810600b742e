// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>
#include <variant>
#include <vector>

#include "solver/geometry/pose.h"

/// What gets made: alternating straights and circular arcs, tangent-continuous. Millimetres and radians.
namespace hosefit {

struct Straight {
  Vec3 from_mm, to_mm;
};
/// The point at angle t, 0 <= t <= angle_rad, is centre + rotation(normal, t) (start - centre): right-handed
/// about normal.
struct Arc {
  Vec3 start_mm, centre_mm;
  Vec3 normal;           ///< unit, square to start - centre
  double angle_rad = 0;  ///< 0 < angle < 2 pi
  double radius_mm() const { return (start_mm - centre_mm).norm(); }
};
using Piece = std::variant<Straight, Arc>;

struct Centreline {
  std::vector<Piece> pieces;
};

double length_mm(const Piece& piece);
Vec3 point_at(const Piece& piece, double s_mm);      ///< s along the piece, 0 .. length
Vec3 direction_at(const Piece& piece, double s_mm);  ///< unit; a straight of length 0 is a programming error
Piece transformed(const Piece& piece, const Pose& pose);
Piece reversed(const Piece& piece);

double length_mm(const Centreline& centreline);
Vec3 point_at(const Centreline& centreline, double s_mm);
Vec3 direction_at(const Centreline& centreline, double s_mm);
Vec3 start_point(const Centreline& centreline);
Vec3 end_point(const Centreline& centreline);
Vec3 start_direction(const Centreline& centreline);
Vec3 end_direction(const Centreline& centreline);
Centreline transformed(const Centreline& centreline, const Pose& pose);
Centreline reversed(const Centreline& centreline);
std::optional<double> tightest_bend_mm(const Centreline& centreline);  ///< empty when there is no bend

/// The part between two arc lengths; pieces shorter than 1e-9 mm are left out.
Centreline part_of(const Centreline& centreline, double from_s_mm, double to_s_mm);

/// Start, intersection points, end, with one bend radius per intersection point. A bend turns by less than
/// 180 deg.
struct FilletChain {
  std::vector<Vec3> points_mm;   ///< at least 2
  std::vector<double> radii_mm;  ///< points_mm.size() - 2
};
/// Empty when a leg is too short for the tangent lengths at its ends, a bend reaches 180 deg, or points
/// coincide. Bends below 1e-9 rad become straight joints. Tangent length is R tan(bend / 2).
std::optional<Centreline> centreline_of(const FilletChain& chain);

/// One row per bend: straight fed before it, turn of the bend plane since the bend before (right-handed about
/// the direction of travel, first 0, range (-180, 180] deg), bend angle, radius. `last_straight_mm` after the
/// final bend.
struct BendRow {
  double feed_mm = 0, rotate_rad = 0, bend_rad = 0, radius_mm = 0;
};
struct BendTable {
  std::vector<BendRow> rows;
  double last_straight_mm = 0;
};
BendTable bend_table(const Centreline& centreline);

}  // namespace hosefit
