// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/paper/bend_planes.h"

#include <cmath>
#include <numbers>

namespace hosefit {
namespace {

constexpr double kPi = std::numbers::pi;

// The pieces [first, last) of the centreline that lie in one plane, and its normal.
struct Run {
  std::size_t first = 0, last = 0;
  Vec3 normal;
  const Arc* first_arc = nullptr;
  const Arc* last_arc = nullptr;
};

bool parallel(const Vec3& a, const Vec3& b, double angle_rad) {
  const double angle = angle_between(a, b);
  return angle < angle_rad || kPi - angle < angle_rad;
}

std::vector<Run> runs_of(const std::vector<Piece>& pieces, double same_plane_rad) {
  std::vector<Run> runs;
  std::size_t straight_before = 0;  // where the straights ahead of the next arc begin
  for (std::size_t i = 0; i < pieces.size(); ++i) {
    const Arc* arc = std::get_if<Arc>(&pieces[i]);
    if (arc == nullptr) continue;
    if (runs.empty() || !parallel(runs.back().normal, arc->normal, same_plane_rad)) {
      if (!runs.empty()) runs.back().last = i;
      runs.push_back({straight_before, pieces.size(), arc->normal, arc, arc});
    }
    runs.back().last_arc = arc;
    straight_before = i + 1;
  }
  if (runs.empty()) runs.push_back({0, pieces.size(), any_perpendicular(direction_at(pieces.front(), 0))});
  return runs;
}

Vec2 on_paper(const Pose& frame, const Vec3& p_mm) {
  return frame.point_inverse(p_mm).head<2>();
}

FlatPiece flat(const Piece& piece, const Pose& frame) {
  FlatPiece out;
  out.from_mm = on_paper(frame, point_at(piece, 0));
  out.to_mm = on_paper(frame, point_at(piece, length_mm(piece)));
  if (const Arc* arc = std::get_if<Arc>(&piece)) {
    out.centre_mm = on_paper(frame, arc->centre_mm);
    const Vec2 radius = out.from_mm - out.centre_mm;
    out.radius_mm = arc->radius_mm();
    out.from_rad = std::atan2(radius.y(), radius.x());
    const double towards_reader = arc->normal.dot(frame.rotation.col(2));
    out.sweep_rad = std::copysign(arc->angle_rad, towards_reader);
  }
  return out;
}

double turn_between(const Arc& before, const Arc& next) {
  const Vec3 travel = direction_at(Piece(next), 0);
  const double turn =
      std::atan2(travel.dot(before.normal.cross(next.normal)), before.normal.dot(next.normal));
  return turn <= -kPi ? kPi : turn;
}

}  // namespace

Vec2 point_at(const FlatPiece& piece, double share) {
  if (piece.radius_mm == 0) return piece.from_mm + share * (piece.to_mm - piece.from_mm);
  const double angle = piece.from_rad + share * piece.sweep_rad;
  return piece.centre_mm + piece.radius_mm * Vec2(std::cos(angle), std::sin(angle));
}

std::vector<BendPlane> bend_planes(const Centreline& centreline, double same_plane_rad) {
  const std::vector<Piece>& pieces = centreline.pieces;
  std::vector<double> start_s(pieces.size() + 1, 0.0);
  for (std::size_t i = 0; i < pieces.size(); ++i) start_s[i + 1] = start_s[i] + length_mm(pieces[i]);

  std::vector<BendPlane> planes;
  const Arc* before = nullptr;
  for (const Run& run : runs_of(pieces, same_plane_rad)) {
    const Piece& first = pieces[run.first];
    BendPlane plane;
    plane.frame = Pose::from_axes(point_at(first, 0), run.normal, direction_at(first, 0));
    plane.from_s_mm = start_s[run.first];
    plane.to_s_mm = start_s[run.last];
    if (before != nullptr) plane.turn_rad = turn_between(*before, *run.first_arc);
    before = run.last_arc;
    for (std::size_t i = run.first; i < run.last; ++i) plane.pieces.push_back(flat(pieces[i], plane.frame));
    planes.push_back(std::move(plane));
  }
  return planes;
}

BendPlane turned(const BendPlane& plane, double angle_rad) {
  const Eigen::Rotation2Dd turn(angle_rad);
  BendPlane out = plane;
  // What was drawn at p is drawn at turn p, so the paper's axes turn the other way under the drawing.
  out.frame.rotation = plane.frame.rotation * Eigen::AngleAxisd(-angle_rad, Vec3::UnitZ()).toRotationMatrix();
  for (FlatPiece& piece : out.pieces) {
    piece.from_mm = turn * piece.from_mm;
    piece.to_mm = turn * piece.to_mm;
    piece.centre_mm = turn * piece.centre_mm;
    piece.from_rad += angle_rad;
  }
  return out;
}

Eigen::AlignedBox2d box_of(const FlatPiece& piece, double off_mm) {
  Eigen::AlignedBox2d box(piece.from_mm);
  box.extend(piece.to_mm);
  if (piece.radius_mm > 0) {
    const double low = std::min(piece.from_rad, piece.from_rad + piece.sweep_rad);
    const double high = std::max(piece.from_rad, piece.from_rad + piece.sweep_rad);
    for (double quarter = std::ceil(low / (kPi / 2)); quarter * kPi / 2 <= high; ++quarter) {
      const double angle = quarter * kPi / 2;
      box.extend(piece.centre_mm + piece.radius_mm * Vec2(std::cos(angle), std::sin(angle)));
    }
  }
  box.min() -= Vec2::Constant(off_mm);
  box.max() += Vec2::Constant(off_mm);
  return box;
}

Eigen::AlignedBox2d box_of(const BendPlane& plane, double off_mm) {
  Eigen::AlignedBox2d box;
  for (const FlatPiece& piece : plane.pieces) box.extend(box_of(piece, off_mm));
  return box;
}

}  // namespace hosefit
