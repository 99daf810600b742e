// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/family/ducts.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace hosefit::family {
namespace {

constexpr double kSolid_mm = 90.0;     // how far walls reach beyond the duct
constexpr double kChamber_mm = 180.0;  // length of the room at each end
constexpr double kChamberHalf_mm = 75.0;
constexpr double kNeckToMouth_mm = 70.0;

// The duct lies in XY. Its inner corner is the origin: leg 1 comes along +X below y = 0, leg 2 leaves turned
// left by the angle.
struct Duct {
  double turn_rad, width, half_height, leg;
  Vec2 out() const { return {std::cos(turn_rad), std::sin(turn_rad)}; }
  Vec2 left_of_out() const { return {-std::sin(turn_rad), std::cos(turn_rad)}; }
  // Where the outer walls meet.
  Vec2 outer_corner() const { return {width * std::tan(turn_rad / 2), -width}; }
};

Shape prism(std::vector<Vec2> outline, double from_z, double to_z) {
  ExtrusionShape shape;
  shape.frame = Pose::translation({0, 0, from_z});
  double area = 0;
  for (std::size_t i = 0, j = outline.size() - 1; i < outline.size(); j = i++)
    area += outline[j].x() * outline[i].y() - outline[i].x() * outline[j].y();
  if (area < 0) std::reverse(outline.begin(), outline.end());
  shape.outline_mm = std::move(outline);
  shape.height_mm = to_z - from_z;
  return shape;
}

void add_chamber(std::vector<Obstacle>& out, const std::string& name, const Pose& mouth) {
  // X of the mouth points into the duct.
  const double h = kChamberHalf_mm, t = h + 15, c = kChamber_mm;
  const auto box = [&](const char* side, const Vec3& least, const Vec3& most) {
    add(out, name + side, BoxShape{mouth * Pose::translation((least + most) / 2), (most - least) / 2});
  };
  box(" back", {-c - 15, -t, -t}, {-c, t, t});
  box(" left", {-c, h, -t}, {0, t, t});
  box(" right", {-c, -t, -t}, {0, -h, t});
  box(" roof", {-c, -t, h}, {0, t, t});
  box(" floor", {-c, -t, -t}, {0, t, -h});
}

void add_duct(std::vector<Obstacle>& out, const Duct& d) {
  const Vec2 in = Vec2::UnitX(), u = d.out(), n = d.left_of_out(), up = Vec2::UnitY();
  const Vec2 start = -d.leg * in, end = d.leg * u, k = d.outer_corner();
  const double z = kChamberHalf_mm + 15;
  add(out, "duct inner", prism({Vec2(0, 0), end, end + kSolid_mm * n, start + kSolid_mm * up, start}, -z, z));
  const Vec2 low_start = start - d.width * up, low_end = end - d.width * n;
  add(out, "duct outer 1",
      prism({low_start, low_start - kSolid_mm * up, k + kSolid_mm * (in - up), k + kSolid_mm * in, k}, -z,
            z));
  add(out, "duct outer 2",
      prism({low_end, low_end - kSolid_mm * n, k - kSolid_mm * (u + n), k - kSolid_mm * u, k}, -z, z));
  for (const int side : {-1, 1}) {
    const double near = d.half_height * side, far = z * side;
    const double from = std::min(near, far), to = std::max(near, far);
    const std::string name = side < 0 ? "duct floor" : "duct roof";
    add(out, name + " 1", prism({start, Vec2(0, 0), k, low_start}, from, to));
    add(out, name + " 2", prism({end, Vec2(0, 0), k, low_end}, from, to));
  }
  const Vec2 mouth = start - d.width / 2 * up, exit = end - d.width / 2 * n;
  add_chamber(out, "chamber a", Pose::from_axes({mouth.x(), mouth.y(), 0}, Vec3::UnitZ(), Vec3::UnitX()));
  add_chamber(out, "chamber b",
              Pose::from_axes({exit.x(), exit.y(), 0}, Vec3::UnitZ(), Vec3(-u.x(), -u.y(), 0)));
}

// The bend with most room: both outer walls and the inner corner are kept off alike. Into it from the neck by
// a bend the other way, and out of it as it came in: the same turned over about the middle of the corner.
std::optional<Centreline> witness_of(const Duct& d, double radius, double keep_off, double lead) {
  const double half = d.turn_rad / 2;
  const double off = d.width - keep_off - radius;  // of the bend's centre above y = 0, negated
  const Vec2 centre(off * std::tan(half), -off);
  const Vec2 begin(-d.leg - kNeckToMouth_mm + lead, -d.width / 2);
  const Vec2 first(begin.x(), begin.y() - radius);  // centre of the bend to the right
  const Vec2 across = centre - first;
  const double apart = across.norm();
  if (apart < 2 * radius + 1) return std::nullopt;
  // The inner tangent of two equal circles leaves the line of centres by asin(2 R / distance), to the right
  // then up to the left: the run starts above the first centre and ends below the second.
  const double tilt = std::atan2(across.y(), across.x()) - std::asin(2 * radius / apart);
  if (tilt > -1e-4) return std::nullopt;  // no bend to the right needed
  const double theta = -tilt;
  const Vec2 p1 = begin + radius * std::tan(theta / 2) * Vec2::UnitX();
  // Mirror about the corner's bisector turns the way in into the way out, run backwards.
  const Vec2 axis(std::sin(half), -std::cos(half));
  const auto mirrored = [&](const Vec2& p) -> Vec2 { return 2 * p.dot(axis) * axis - p; };
  const Vec2 along(std::cos(tilt), std::sin(tilt));
  // The middle intersection point lies on the bisector.
  const Vec2 square(-axis.y(), axis.x());
  const Vec2 p2 = p1 - p1.dot(square) / along.dot(square) * along;
  const auto flat = [](const Vec2& p) { return Vec3(p.x(), p.y(), 0); };
  const Vec2 neck(-d.leg - kNeckToMouth_mm, -d.width / 2);
  FilletChain chain;
  chain.points_mm = {flat(neck), flat(p1), flat(p2), flat(mirrored(p1)), flat(mirrored(neck))};
  chain.radii_mm.assign(3, radius);
  return centreline_of(chain);
}

}  // namespace

FamilyBay any_duct(Dice& dice, double least_share, double most_share) {
  for (;;) {
    Hose hose = any_hose(dice);
    const double share = dice.between(least_share, most_share);
    Duct d{};
    d.turn_rad = dice.between(60, 105) * std::numbers::pi / 180;
    const double cosine = std::cos(d.turn_rad / 2), off = hose.keep_off_mm();
    // Largest radius that passes: (width - off (1 + cos)) / (1 - cos) with half the turn; see ducts.h.
    d.width = hose.radius_mm / share * (1 - cosine) + off * (1 + cosine);
    if (d.width < 2 * off + 4) continue;
    d.half_height = off + 0.05;
    d.leg = dice.between(160, 280);
    const double short_by = (hose.radius_mm * (1 - cosine) + off * (1 + cosine) - d.width) / (1 + cosine);
    const double missing = std::max(0.0, short_by);
    const std::optional<Centreline> witness = witness_of(d, hose.radius_mm, off - short_by, hose.lead_mm());
    if (!witness || !untangled(*witness, hose)) continue;
    std::vector<Obstacle> obstacles;
    add_duct(obstacles, d);
    Hose as_it_fits = hose;
    if (missing > 0) as_it_fits.gap_mm -= missing + 0.03;
    bool clear = true;
    for (const Obstacle& o : obstacles) clear = clear && keeps_clear(o.shape, *witness, as_it_fits, 0);
    if (!clear) continue;
    FamilyBay out = finished(dice, std::move(obstacles), *witness, hose);
    out.missing_mm = missing;
    return out;
  }
}

}  // namespace hosefit::family
