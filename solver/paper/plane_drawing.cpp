// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/paper/plane_drawing.h"

#include <fmt/format.h>

#include <cmath>
#include <numbers>

#include "solver/report/words.h"

namespace hosefit {
namespace {

using Anchor = PdfPages::Anchor;
using Pen = PdfPages::Pen;

constexpr Pen kCentre{kCentrelinePen_mm, 0, 0};
constexpr Pen kOutside{0.2, 0.35, 0};
constexpr Pen kTick{0.25, 0, 0};
constexpr Pen kHelp{0.15, 0.4, 1.5};
constexpr double kFigures_mm = 3.2;
constexpr double kArrow_mm = 8;        // from the ends of a straight
constexpr double kArrowFrom_mm = 60;   // shorter ones hold their figure only
constexpr double kMostHelp_rad = 2.6;  // beyond, the straights meet too far away to be of use on paper

Vec2 left_of(const Vec2& direction) {
  return {-direction.y(), direction.x()};
}

Vec2 direction_at(const FlatPiece& piece, double share) {
  if (piece.radius_mm == 0) return (piece.to_mm - piece.from_mm).normalized();
  const double angle = piece.from_rad + share * piece.sweep_rad;
  return std::copysign(1.0, piece.sweep_rad) * Vec2(-std::sin(angle), std::cos(angle));
}

// Text is read from below or from the right, never upside down.
double upright(const Vec2& direction) {
  double angle = std::atan2(direction.y(), direction.x());
  if (angle > std::numbers::pi / 2 + 1e-6) angle -= std::numbers::pi;
  if (angle <= -std::numbers::pi / 2 + 1e-6) angle += std::numbers::pi;
  return angle;
}

void draw_arrow(PdfPages& pdf, const Vec2& at, const Vec2& direction) {
  const Vec2 side = left_of(direction);
  pdf.line(at + 3 * direction, at - 2 * direction + 2 * side, kTick);
  pdf.line(at + 3 * direction, at - 2 * direction - 2 * side, kTick);
}

void draw_straight(PdfPages& pdf, const FlatPiece& piece, double outside_mm, LengthUnit unit) {
  const Vec2 along = piece.to_mm - piece.from_mm;
  const double length = along.norm();
  if (length < 1e-9) return;
  const Vec2 side = left_of(along / length) * outside_mm / 2;
  pdf.line(piece.from_mm, piece.to_mm, kCentre);
  pdf.line(piece.from_mm + side, piece.to_mm + side, kOutside);
  pdf.line(piece.from_mm - side, piece.to_mm - side, kOutside);
  const std::string words = "straight " + length_words(Length::mm(length), unit);
  const double turn = upright(along);
  const Vec2 up(-std::sin(turn), std::cos(turn));
  if (pdf.text_width_mm(kFigures_mm, words) > length) return;
  pdf.text((piece.from_mm + piece.to_mm) / 2 + 1.2 * up, kFigures_mm, words, Anchor::middle, turn);
  if (length < kArrowFrom_mm) return;
  for (const double from_end : {kArrow_mm, length - kArrow_mm})
    draw_arrow(pdf, piece.from_mm + from_end * along / length, along / length);
}

void draw_meeting_point(PdfPages& pdf, const FlatPiece& arc) {
  if (std::abs(arc.sweep_rad) > kMostHelp_rad) return;
  const Vec2 meets =
      arc.from_mm + arc.radius_mm * std::tan(std::abs(arc.sweep_rad) / 2) * direction_at(arc, 0);
  pdf.line(arc.from_mm, meets, kHelp);
  pdf.line(meets, arc.to_mm, kHelp);
  pdf.line(meets - Vec2(2, 2), meets + Vec2(2, 2), kTick);
  pdf.line(meets - Vec2(2, -2), meets + Vec2(2, -2), kTick);
}

void draw_bend(PdfPages& pdf, const FlatPiece& arc, double outside_mm, int number, LengthUnit unit) {
  pdf.arc(arc.centre_mm, arc.radius_mm, arc.from_rad, arc.sweep_rad, kCentre);
  for (const double off : {-outside_mm / 2, outside_mm / 2})
    if (arc.radius_mm + off > 0)
      pdf.arc(arc.centre_mm, arc.radius_mm + off, arc.from_rad, arc.sweep_rad, kOutside);
  draw_meeting_point(pdf, arc);
  const double reach = outside_mm / 2 + 2;
  for (const double share : {0.0, 1.0}) {
    const Vec2 side = left_of(direction_at(arc, share)) * reach;
    pdf.line(point_at(arc, share) - side, point_at(arc, share) + side, kTick);
  }
  // On the inside of the bend, where there is room beside the tube or across it.
  const Vec2 middle = point_at(arc, 0.5);
  const Vec2 inward = (arc.centre_mm - middle).normalized();
  const double turn = upright(direction_at(arc, 0.5));
  const Vec2 up(-std::sin(turn), std::cos(turn));
  const Vec2 at = middle + inward * 0.25 * outside_mm;
  pdf.text(at + 0.6 * up, kFigures_mm,
           fmt::format("bend {}: {:.1f} deg", number, Angle::rad(std::abs(arc.sweep_rad)).deg()),
           Anchor::middle, turn, true);
  pdf.text(at - 1.4 * kFigures_mm * up + 0.6 * up, kFigures_mm,
           "radius " + length_words(Length::mm(arc.radius_mm), unit), Anchor::middle, turn);
}

void draw_end(PdfPages& pdf, const Vec2& at, const Vec2& outward, double outside_mm,
              const std::string& words) {
  const Vec2 side = left_of(outward) * (outside_mm / 2 + 3);
  pdf.line(at - side, at + side, {0.5, 0, 0});
  const double turn = upright(side);
  const Vec2 up(-std::sin(turn), std::cos(turn));
  const double off = up.dot(outward) > 0 ? 1.5 : -1.5 - 0.8 * kFigures_mm;
  pdf.text(at + off * up, kFigures_mm, words, Anchor::middle, turn, true);
}

}  // namespace

void draw_plane(PdfPages& pdf, const BendPlane& plane, double outside_mm, const PlaneWords& words) {
  int bend = words.bends_before;
  for (const FlatPiece& piece : plane.pieces) {
    if (piece.radius_mm > 0)
      draw_bend(pdf, piece, outside_mm, ++bend, words.unit);
    else
      draw_straight(pdf, piece, outside_mm, words.unit);
  }
  const FlatPiece& first = plane.pieces.front();
  const FlatPiece& last = plane.pieces.back();
  draw_end(pdf, point_at(first, 0), -direction_at(first, 0), outside_mm, words.begins);
  draw_end(pdf, point_at(last, 1), direction_at(last, 1), outside_mm, words.ends);
}

}  // namespace hosefit
