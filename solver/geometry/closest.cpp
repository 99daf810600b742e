// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/geometry/closest.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace hosefit {
namespace {

// Fraction along a-b of the point nearest to p; 0 for a segment without length.
double fraction_along(const Vec3& p, const Vec3& a, const Vec3& b) {
  const Vec3 run = b - a;
  const double l2 = run.squaredNorm();
  return l2 > 0 ? std::clamp((p - a).dot(run) / l2, 0.0, 1.0) : 0.0;
}

// A triangle without area, or so nearly that its normal has no meaning: the nearest of its edges decides.
TrianglePoint closest_on_edges(const Vec3& p, const Vec3& a, const Vec3& b, const Vec3& c) {
  const Vec3 corners[3] = {a, b, c};
  constexpr TrianglePart edges[3] = {TrianglePart::edge_ab, TrianglePart::edge_bc, TrianglePart::edge_ca};
  constexpr TrianglePart ends[3] = {TrianglePart::corner_a, TrianglePart::corner_b, TrianglePart::corner_c};
  TrianglePoint best;
  double best_d2 = -1;
  for (int k = 0; k < 3; ++k) {
    const Vec3& from = corners[k];
    const Vec3& to = corners[(k + 1) % 3];
    const double t = fraction_along(p, from, to);
    const Vec3 q = from + t * (to - from);
    const double d2 = (q - p).squaredNorm();
    if (best_d2 >= 0 && d2 >= best_d2) continue;
    best_d2 = d2;
    best = {q, t <= 0 ? ends[k] : t >= 1 ? ends[(k + 1) % 3] : edges[k]};
  }
  return best;
}

void keep_closer(ClosestPair& best, const ClosestPair& other) {
  if ((other.on_first_mm - other.on_second_mm).squaredNorm() <
      (best.on_first_mm - best.on_second_mm).squaredNorm())
    best = other;
}

}  // namespace

Vec3 closest_on_segment(const Vec3& p_mm, const Vec3& a_mm, const Vec3& b_mm) {
  return a_mm + fraction_along(p_mm, a_mm, b_mm) * (b_mm - a_mm);
}

TrianglePoint closest_on_triangle(const Vec3& p, const Vec3& a, const Vec3& b, const Vec3& c) {
  const Vec3 ab = b - a;
  const Vec3 ac = c - a;
  const double n2 = ab.cross(ac).squaredNorm();
  const double l2 = std::max({ab.squaredNorm(), ac.squaredNorm(), (c - b).squaredNorm()});
  if (n2 <= 1e-24 * l2 * l2) return closest_on_edges(p, a, b, c);

  const Vec3 ap = p - a;
  const double d1 = ab.dot(ap);
  const double d2 = ac.dot(ap);
  if (d1 <= 0 && d2 <= 0) return {a, TrianglePart::corner_a};
  const Vec3 bp = p - b;
  const double d3 = ab.dot(bp);
  const double d4 = ac.dot(bp);
  if (d3 >= 0 && d4 <= d3) return {b, TrianglePart::corner_b};
  const double vc = d1 * d4 - d3 * d2;
  if (vc <= 0 && d1 >= 0 && d3 <= 0) return {a + d1 / (d1 - d3) * ab, TrianglePart::edge_ab};
  const Vec3 cp = p - c;
  const double d5 = ab.dot(cp);
  const double d6 = ac.dot(cp);
  if (d6 >= 0 && d5 <= d6) return {c, TrianglePart::corner_c};
  const double vb = d5 * d2 - d1 * d6;
  if (vb <= 0 && d2 >= 0 && d6 <= 0) return {a + d2 / (d2 - d6) * ac, TrianglePart::edge_ca};
  const double va = d3 * d6 - d5 * d4;
  if (va <= 0 && d4 - d3 >= 0 && d5 - d6 >= 0)
    return {b + (d4 - d3) / ((d4 - d3) + (d5 - d6)) * (c - b), TrianglePart::edge_bc};
  const double sum = va + vb + vc;
  return {a + vb / sum * ab + vc / sum * ac, TrianglePart::face};
}

Vec3 closest_on_arc(const Vec3& p_mm, const Arc& arc) {
  const Vec3 x = arc.start_mm - arc.centre_mm;
  const Vec3 y = arc.normal.cross(x);
  const Vec3 v = p_mm - arc.centre_mm;
  double t = std::atan2(v.dot(y), v.dot(x));
  if (t < 0) t += 2 * std::numbers::pi;
  if (t > arc.angle_rad) {
    // Beyond the ends: the nearer one is the one fewer radians away.
    t = t - arc.angle_rad < 2 * std::numbers::pi - t ? arc.angle_rad : 0.0;
  }
  return arc.centre_mm + std::cos(t) * x + std::sin(t) * y;
}

Vec3 closest_on_piece(const Vec3& p_mm, const Piece& piece) {
  if (const auto* straight = std::get_if<Straight>(&piece))
    return closest_on_segment(p_mm, straight->from_mm, straight->to_mm);
  return closest_on_arc(p_mm, std::get<Arc>(piece));
}

ClosestPair closest_segment_segment(const Vec3& a, const Vec3& b, const Vec3& c, const Vec3& d) {
  // Either the two inner points, or one end against the other segment.
  ClosestPair best{a, closest_on_segment(a, c, d)};
  keep_closer(best, {b, closest_on_segment(b, c, d)});
  keep_closer(best, {closest_on_segment(c, a, b), c});
  keep_closer(best, {closest_on_segment(d, a, b), d});
  const Vec3 u = b - a;
  const Vec3 v = d - c;
  const Vec3 w = c - a;
  const Vec3 n = u.cross(v);
  const double n2 = n.squaredNorm();
  if (n2 > 1e-24 * u.squaredNorm() * v.squaredNorm()) {
    const double s = w.cross(v).dot(n) / n2;
    const double t = w.cross(u).dot(n) / n2;
    if (s >= 0 && s <= 1 && t >= 0 && t <= 1) keep_closer(best, {a + s * u, c + t * v});
  }
  return best;
}

ClosestPair closest_segment_triangle(const Vec3& a, const Vec3& b, const Vec3& x, const Vec3& y,
                                     const Vec3& z) {
  const Vec3 n = (y - x).cross(z - x);
  const double da = n.dot(a - x);
  const double db = n.dot(b - x);
  if ((da < 0) != (db < 0)) {
    const Vec3 q = a + da / (da - db) * (b - a);
    const bool inside = n.dot((y - x).cross(q - x)) >= 0 && n.dot((z - y).cross(q - y)) >= 0 &&
                        n.dot((x - z).cross(q - z)) >= 0;
    if (inside && n.squaredNorm() > 0) return {q, q};
  }
  ClosestPair best{a, closest_on_triangle(a, x, y, z).point_mm};
  keep_closer(best, {b, closest_on_triangle(b, x, y, z).point_mm});
  keep_closer(best, closest_segment_segment(a, b, x, y));
  keep_closer(best, closest_segment_segment(a, b, y, z));
  keep_closer(best, closest_segment_segment(a, b, z, x));
  return best;
}

}  // namespace hosefit
