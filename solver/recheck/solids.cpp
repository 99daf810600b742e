// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/recheck/solids.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

namespace hosefit::recheck {
namespace {

constexpr double kFar = std::numeric_limits<double>::infinity();

double to_segment(const V2& p, const V2& a, const V2& b) {
  const V2 run = b - a;
  const double square = run.dot(run);
  const double t = square > 0 ? std::clamp((p - a).dot(run) / square, 0.0, 1.0) : 0.0;
  return (p - a - t * run).norm();
}

double distance(const Block& block, const V3& p) {
  const V3 own = block.frame.back(p);
  const V3 nearest = own.cwiseMax(-block.half_mm).cwiseMin(block.half_mm);
  const double outside = (own - nearest).norm();
  return outside > 0 ? outside : -(block.half_mm - own.cwiseAbs()).minCoeff();
}

double distance(const Round& round, const V3& p) {
  const double length = (round.b_mm - round.a_mm).norm();
  const V3 axis = (round.b_mm - round.a_mm) / length;
  const double along = (p - round.a_mm).dot(axis);
  const double out = (p - round.a_mm - along * axis).norm();
  const V2 here(out, along), rim_a(round.radius_a_mm, 0), rim_b(round.radius_b_mm, length);
  const double to_surface = std::min({to_segment(here, V2(0, 0), rim_a), to_segment(here, rim_a, rim_b),
                                      to_segment(here, rim_b, V2(0, length))});
  const double share = along / length;
  const bool inside =
      share > 0 && share < 1 && out < (1 - share) * round.radius_a_mm + share * round.radius_b_mm;
  return inside ? -to_surface : to_surface;
}

double distance(const Ball& ball, const V3& p) {
  return (p - nearest_on_segment(p, ball.a_mm, ball.b_mm)).norm() - ball.radius_mm;
}

// Times the outline runs around a point: crossings of the ray to the right, upward ones counted +1.
int turns_around(const std::vector<V2>& outline, const V2& p) {
  int turns = 0;
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const V2& a = outline[i];
    const V2& b = outline[(i + 1) % outline.size()];
    const double side = (b.x() - a.x()) * (p.y() - a.y()) - (p.x() - a.x()) * (b.y() - a.y());
    if (a.y() <= p.y() && b.y() > p.y() && side > 0) ++turns;
    if (a.y() > p.y() && b.y() <= p.y() && side < 0) --turns;
  }
  return turns;
}

double distance(const Prism& prism, const V3& p) {
  const V3 own = prism.frame.back(p);
  const V2 flat(own.x(), own.y());
  double to_outline = kFar;
  for (std::size_t i = 0; i < prism.outline_mm.size(); ++i)
    to_outline = std::min(to_outline, to_segment(flat, prism.outline_mm[i],
                                                 prism.outline_mm[(i + 1) % prism.outline_mm.size()]));
  const bool over = turns_around(prism.outline_mm, flat) != 0;
  const double beyond = std::max({-own.z(), own.z() - prism.height_mm, 0.0});
  if (!over) return std::hypot(to_outline, beyond);
  if (beyond > 0) return beyond;
  return -std::min({to_outline, own.z(), prism.height_mm - own.z()});
}

using Piece = std::array<V3, 8>;
constexpr std::array<std::array<std::size_t, 4>, 4> kSides{
    {{0, 1, 5, 4}, {1, 2, 6, 5}, {2, 3, 7, 6}, {3, 0, 4, 7}}};

bool is_in(const Piece& piece, const V3& p) {
  const V3 middle = (piece[0] + piece[2] + piece[4] + piece[6]) / 4;
  const auto same_side = [&](const V3& a, const V3& b, const V3& c) {
    const V3 normal = (b - a).cross(c - a);
    return normal.dot(p - a) * normal.dot(middle - a) >= 0;
  };
  for (const auto& side : kSides)
    if (!same_side(piece[side[0]], piece[side[1]], piece[side[2]])) return false;
  return same_side(piece[0], piece[1], piece[2]) && same_side(piece[4], piece[5], piece[6]);
}

double to_quad(const V3& p, const V3& a, const V3& b, const V3& c, const V3& d) {
  return std::min(distance_to_triangle(p, a, b, c), distance_to_triangle(p, a, c, d));
}

double distance(const Pieces& rail, const V3& p) {
  double least = kFar;
  bool inside = false;
  for (const Piece& piece : rail.pieces) {
    for (const auto& side : kSides)
      least = std::min(least, to_quad(p, piece[side[0]], piece[side[1]], piece[side[2]], piece[side[3]]));
    inside = inside || is_in(piece, p);
  }
  const Piece& first = rail.pieces.front();
  const Piece& last = rail.pieces.back();
  least = std::min({least, to_quad(p, first[0], first[1], first[2], first[3]),
                    to_quad(p, last[4], last[5], last[6], last[7])});
  return inside ? -least : least;
}

Box3 box(const Block& block) {
  const V3 out = block.frame.turn.cwiseAbs() * block.half_mm;
  return {V3(block.frame.at_mm - out), V3(block.frame.at_mm + out)};
}
Box3 box(const Round& round) {
  const V3 axis = (round.b_mm - round.a_mm).normalized();
  const V3 reach = (V3::Ones() - axis.cwiseAbs2()).cwiseMax(0.0).cwiseSqrt();
  Box3 out;
  for (const auto& [at, radius] :
       {std::pair(round.a_mm, round.radius_a_mm), {round.b_mm, round.radius_b_mm}}) {
    out.extend(V3(at - radius * reach));
    out.extend(V3(at + radius * reach));
  }
  return out;
}
Box3 box(const Ball& ball) {
  Box3 out;
  for (const V3& end : {ball.a_mm, ball.b_mm}) {
    out.extend(V3(end.array() - ball.radius_mm));
    out.extend(V3(end.array() + ball.radius_mm));
  }
  return out;
}
Box3 box(const Prism& prism) {
  Box3 out;
  for (const V2& corner : prism.outline_mm)
    for (const double z : {0.0, prism.height_mm})
      out.extend(prism.frame.point(V3(corner.x(), corner.y(), z)));
  return out;
}
Box3 box(const Pieces& rail) {
  Box3 out;
  for (const Piece& piece : rail.pieces)
    for (const V3& corner : piece) out.extend(corner);
  return out;
}
Box3 box(const Surface& surface) {
  Box3 out;
  for (int k = 0; k < 8; ++k)
    out.extend(surface.frame.point(surface.grid->box().corner(static_cast<Box3::CornerType>(k))));
  return out;
}

}  // namespace

std::vector<Piece> rail_pieces(const std::vector<V3>& path_mm, const V3& up, double width_mm,
                               double height_mm) {
  std::vector<Piece> out;
  V3 along = (path_mm[1] - path_mm[0]).normalized();
  const Frame first = axes(path_mm[0], along, up);  // its first axis: up made square to the leg
  const V3 rise = first.turn.col(0) * height_mm / 2, side = first.turn.col(1) * width_mm / 2;
  std::array<V3, 4> here{path_mm[0] - side - rise, path_mm[0] + side - rise, path_mm[0] + side + rise,
                         path_mm[0] - side + rise};
  for (std::size_t i = 0; i + 1 < path_mm.size(); ++i) {
    along = (path_mm[i + 1] - path_mm[i]).normalized();
    V3 mitre = along;
    if (i + 2 < path_mm.size()) mitre = (along + (path_mm[i + 2] - path_mm[i + 1]).normalized()).normalized();
    Piece piece;
    for (std::size_t k = 0; k < 4; ++k) {
      const double run = mitre.dot(path_mm[i + 1] - here[k]) / mitre.dot(along);
      if (!(run > 0)) return {};
      piece[k] = here[k];
      piece[k + 4] = here[k] + run * along;
    }
    out.push_back(piece);
    for (std::size_t k = 0; k < 4; ++k) here[k] = piece[k + 4];
  }
  return out;
}

Solid moved(const Solid& solid, const Frame& frame) {
  struct Mover {
    const Frame& f;
    Solid operator()(const Block& s) const { return Block{f * s.frame, s.half_mm}; }
    Solid operator()(const Round& s) const {
      return Round{f.point(s.a_mm), f.point(s.b_mm), s.radius_a_mm, s.radius_b_mm};
    }
    Solid operator()(const Ball& s) const { return Ball{f.point(s.a_mm), f.point(s.b_mm), s.radius_mm}; }
    Solid operator()(const Prism& s) const { return Prism{f * s.frame, s.outline_mm, s.height_mm}; }
    Solid operator()(Pieces s) const {
      for (Piece& piece : s.pieces)
        for (V3& corner : piece) corner = f.point(corner);
      return s;
    }
    Solid operator()(const Surface& s) const { return Surface{s.grid, s.solid, f * s.frame}; }
  };
  return std::visit(Mover{frame}, solid);
}

Box3 box_of(const Solid& solid) {
  return std::visit([](const auto& s) { return box(s); }, solid);
}

double distance_mm(const Solid& solid, const V3& p_mm, double within_mm) {
  if (const auto* surface = std::get_if<Surface>(&solid))
    return surface->grid->distance_mm(surface->frame.back(p_mm), within_mm);
  struct Asker {
    const V3& p;
    double operator()(const Block& s) const { return distance(s, p); }
    double operator()(const Round& s) const { return distance(s, p); }
    double operator()(const Ball& s) const { return distance(s, p); }
    double operator()(const Prism& s) const { return distance(s, p); }
    double operator()(const Pieces& s) const { return distance(s, p); }
    double operator()(const Surface&) const { return kFar; }
  };
  return std::visit(Asker{p_mm}, solid);
}

bool is_inside(const Solid& solid, const V3& p_mm) {
  const auto* surface = std::get_if<Surface>(&solid);
  if (surface == nullptr) return distance_mm(solid, p_mm, kFar) < 0;
  if (!surface->solid || !box_of(solid).contains(p_mm)) return false;
  return std::abs(surface->grid->turns_around(surface->frame.back(p_mm))) > 0.5;
}

}  // namespace hosefit::recheck
