// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <cstdint>
#include <fstream>
#include <iostream>
#include <limits>
#include <string>
#include <vector>

#include "solver/base/dice.h"
#include "solver/geometry/shape.h"

/// make_scan FILE: writes what a hand scanner would have made of the bare bay of the invented van, engine,
/// radiator and floor panels out: a noisy mesh with holes, in the scanner's own unit and frame, as a binary
/// PLY. The same bytes on every run.
/// make_scan FILE --spots also prints the spots of vehicle.yaml as a hand would pick them in that scan.
namespace {

using namespace hosefit;

constexpr double kStep_mm = 6.0;   // of the grid that the surface is taken from
constexpr double kNoise_mm = 0.7;  // of a hand scanner, one standard deviation about; common practice
constexpr double kMmPerUnit = 412.7;
const Vec3 kLow(-225, -575, -105), kHigh(2000, 575, 720);

// The scanner's frame in the vehicle.
Pose scanner() {
  return {(Eigen::AngleAxisd(0.4, Vec3::UnitZ()) * Eigen::AngleAxisd(-0.9, Vec3::UnitY()) *
           Eigen::AngleAxisd(2.1, Vec3::UnitX()))
              .toRotationMatrix(),
          Vec3(830, -2100, 1640)};
}

Shape box(const Vec3& low, const Vec3& high) {
  return BoxShape{Pose::translation((low + high) / 2), (high - low) / 2};
}

/// The sheet metal of the bay as a solid. Positive in the free space.
class Metal {
 public:
  double at(const Vec3& p) const {
    const double walls = std::max(least(blocks_, p), -least(hollows_, p));
    return std::min(walls, least(parts_, p));
  }

 private:
  static double least(const std::vector<Shape>& shapes, const Vec3& p) {
    double least = std::numeric_limits<double>::infinity();
    for (const Shape& shape : shapes) least = std::min(least, signed_distance_mm(shape, p));
    return least;
  }
  std::vector<Shape> blocks_{box({-210, -540, -20}, {900, 540, 480}),
                             box({895, -560, -90}, {1960, 560, 690})};
  std::vector<Shape> hollows_{box({-195, -470, 60}, {250, 470, 3000}), box({240, -310, 40}, {910, 310, 3000}),
                              box({902, -480, -60}, {1900, 480, 3000})};
  std::vector<Shape> parts_{box({560, -312, 30}, {640, 312, 92}),                 // crossmember
                            box({700, -312, 30}, {860, -205, 190}),               // gear linkage box
                            box({90, 380, 50}, {235, 472, 240}),                  // battery tray
                            CylinderShape{{90, -390, 55}, {90, -390, 330}, 58},   // washer bottle
                            CapsuleShape{{250, -296, 190}, {905, -296, 190}, 9},  // brake pipes
                            CapsuleShape{{250, 180, 50}, {900, 230, 50}, 9},      // hand brake cable
                            box({1000, 425, 260}, {1070, 482, 400}),              // jack bracket
                            box({1250, 345, 410}, {1430, 482, 590}),              // heater box
                            CapsuleShape{{910, 466, 610}, {1890, 466, 610}, 15},  // loom
                            box({1180, 330, -70}, {1420, 482, 40}),
                            box({1180, -482, -70}, {1420, -330, 40}),                 // mount pedestals
                            CylinderShape{{1800, -482, 220}, {1800, -395, 220}, 70},  // air filter stub
                            SphereShape{{1650, -440, 480}, 70}};                      // vacuum reservoir
};

/// Values on the corners of a grid, known exactly near the surface only.
struct Grid {
  std::array<int, 3> count{};
  std::vector<float> value;
  std::size_t index(int i, int j, int k) const {
    return (static_cast<std::size_t>(k) * static_cast<std::size_t>(count[1]) + static_cast<std::size_t>(j)) *
               static_cast<std::size_t>(count[0]) +
           static_cast<std::size_t>(i);
  }
  Vec3 corner(int i, int j, int k) const { return kLow + kStep_mm * Vec3(i, j, k); }
};

Grid sampled(const Metal& metal) {
  Grid grid;
  for (int k = 0; k < 3; ++k)
    grid.count[static_cast<std::size_t>(k)] = static_cast<int>((kHigh - kLow)[k] / kStep_mm) + 1;
  grid.value.resize(grid.index(0, 0, grid.count[2]));
  constexpr int kBlock = 12;
  for (int k0 = 0; k0 < grid.count[2]; k0 += kBlock)
    for (int j0 = 0; j0 < grid.count[1]; j0 += kBlock)
      for (int i0 = 0; i0 < grid.count[0]; i0 += kBlock) {
        const double middle = metal.at(grid.corner(i0, j0, k0) + Vec3::Constant(kBlock * kStep_mm / 2));
        const bool far = std::abs(middle) > kBlock * kStep_mm;
        for (int k = k0; k < std::min(k0 + kBlock, grid.count[2]); ++k)
          for (int j = j0; j < std::min(j0 + kBlock, grid.count[1]); ++j)
            for (int i = i0; i < std::min(i0 + kBlock, grid.count[0]); ++i)
              grid.value[grid.index(i, j, k)] =
                  static_cast<float>(far ? middle : metal.at(grid.corner(i, j, k)));
      }
  return grid;
}

struct Quad {
  std::array<std::uint32_t, 4> corner;  // counter-clockwise seen from the free space
};
struct Surface {
  std::vector<Vec3> vertices;
  std::vector<Quad> quads;
};

/// One vertex per cell that the surface passes through, one quad per grid edge that it crosses (S. F. F.
/// Gibson, Constrained elastic surface nets, MICCAI 1998, without the relaxation).
class SurfaceNet {
 public:
  explicit SurfaceNet(const Grid& grid) : grid_(grid), vertex_(grid.value.size(), kNone) {
    for (int k = 0; k + 1 < grid.count[2]; ++k)
      for (int j = 0; j + 1 < grid.count[1]; ++j)
        for (int i = 0; i + 1 < grid.count[0]; ++i) add_vertex({i, j, k});
    for (int k = 1; k + 1 < grid.count[2]; ++k)
      for (int j = 1; j + 1 < grid.count[1]; ++j)
        for (int i = 1; i + 1 < grid.count[0]; ++i)
          for (std::size_t axis = 0; axis < 3; ++axis) add_quad({i, j, k}, axis);
  }
  Surface take() { return std::move(out_); }

 private:
  static constexpr std::uint32_t kNone = 0xffffffffU;
  using Cell = std::array<int, 3>;
  float value(const Cell& c) const { return grid_.value[grid_.index(c[0], c[1], c[2])]; }

  void add_vertex(const Cell& cell) {
    Vec3 sum = Vec3::Zero();
    int crossings = 0;
    for (int from = 0; from < 8; ++from)
      for (int axis = 0; axis < 3; ++axis) {
        if (from >> axis & 1) continue;
        const int to = from | 1 << axis;
        const Cell a{cell[0] + (from & 1), cell[1] + (from >> 1 & 1), cell[2] + (from >> 2)};
        const Cell b{cell[0] + (to & 1), cell[1] + (to >> 1 & 1), cell[2] + (to >> 2)};
        const double va = value(a);
        const double vb = value(b);
        if ((va < 0) == (vb < 0)) continue;
        const Vec3 pa = grid_.corner(a[0], a[1], a[2]);
        sum += pa + va / (va - vb) * (grid_.corner(b[0], b[1], b[2]) - pa);
        ++crossings;
      }
    if (crossings == 0) return;
    vertex_[grid_.index(cell[0], cell[1], cell[2])] = static_cast<std::uint32_t>(out_.vertices.size());
    out_.vertices.emplace_back(sum / crossings);
  }

  void add_quad(const Cell& at, std::size_t axis) {
    Cell next = at;
    ++next[axis];
    const bool in_metal = value(at) < 0;
    if (in_metal == (value(next) < 0)) return;
    const std::size_t u = (axis + 1) % 3;
    const std::size_t v = (axis + 2) % 3;
    Quad quad{};
    constexpr int kU[4] = {-1, 0, 0, -1};
    constexpr int kV[4] = {-1, -1, 0, 0};
    for (std::size_t c = 0; c < 4; ++c) {
      Cell cell = at;
      cell[u] += kU[c];
      cell[v] += kV[c];
      quad.corner[in_metal ? c : 3 - c] = vertex_[grid_.index(cell[0], cell[1], cell[2])];
    }
    out_.quads.push_back(quad);
  }

  const Grid& grid_;
  std::vector<std::uint32_t> vertex_;
  Surface out_;
};

Vec3 middle_of(const Surface& surface, const Quad& quad) {
  Vec3 sum = Vec3::Zero();
  for (const std::uint32_t c : quad.corner) sum += surface.vertices[c];
  return sum / 4;
}
Vec3 facing(const Surface& surface, const Quad& quad) {
  const auto& v = surface.vertices;
  const Vec3 n = (v[quad.corner[2]] - v[quad.corner[0]]).cross(v[quad.corner[3]] - v[quad.corner[1]]);
  return n.norm() > 0 ? Vec3(n.normalized()) : Vec3::Zero();
}

/// Where the scanner was held.
std::vector<Vec3> stations() {
  std::vector<Vec3> out;
  for (const double y : {0.0, -330.0, 330.0})
    for (const double x : {80.0, 480.0, 900.0, 1300.0, 1700.0}) out.emplace_back(x, y, 1150);
  for (const double y : {-200.0, 200.0})
    for (const double x : {60.0, 400.0, 780.0, 1050.0, 1500.0}) out.emplace_back(x, y, 430);
  return out;
}

bool in_sight(const Metal& metal, const Vec3& from, const Vec3& n, const Vec3& station) {
  const Vec3 way = station - from;
  const double length = way.norm();
  const Vec3 along = way / length;
  if (along.dot(n) < 0.17) return false;  // flatter than 10 degrees returns nothing
  for (double s = 2 * kStep_mm; s < length;) {
    const Vec3 p = from + s * along;
    if (p.z() > kHigh.z()) return true;
    const double d = metal.at(p);
    if (d < 0.5) return false;
    s += std::max(d, 2.0);
  }
  return true;
}

/// Keeps what some station saw, short of a ragged outer edge, and takes holes out where paint shone.
void see(const Metal& metal, Surface& surface) {
  Dice dice(RunSeed{3}, 1);
  std::vector<std::pair<Vec3, double>> holes;
  for (int i = 0; i < 70; ++i) {
    const Quad& quad = surface.quads[dice.below(surface.quads.size())];
    holes.emplace_back(middle_of(surface, quad), dice.between(6, 26));
  }
  const std::vector<Vec3> at = stations();
  std::erase_if(surface.quads, [&](const Quad& quad) {
    const Vec3 p = middle_of(surface, quad);
    const double edge = 522 + 7 * std::sin(p.x() / 23) + 4 * std::sin(p.x() / 7);
    if (std::abs(p.y()) > edge || p.x() > 1930 + 6 * std::sin(p.y() / 19)) return true;
    for (const auto& [middle, radius] : holes)
      if ((p - middle).norm() < radius) return true;
    const Vec3 n = facing(surface, quad);
    return std::none_of(at.begin(), at.end(), [&](const Vec3& s) { return in_sight(metal, p, n, s); });
  });
}

void shake(Surface& surface) {
  Dice dice(RunSeed{3}, 2);
  for (Vec3& v : surface.vertices)
    for (int k = 0; k < 3; ++k)  // nearly normal: the sum of three even ones
      v[k] += kNoise_mm / std::sqrt(3.0) * 2 *
              (dice.between(-0.5, 0.5) + dice.between(-0.5, 0.5) + dice.between(-0.5, 0.5));
}

std::vector<std::array<std::uint32_t, 3>> triangles(const Surface& surface) {
  std::vector<std::array<std::uint32_t, 3>> out;
  for (const Quad& q : surface.quads) {
    out.push_back({q.corner[0], q.corner[1], q.corner[2]});
    out.push_back({q.corner[0], q.corner[2], q.corner[3]});
  }
  // What stitching leaves behind.
  Dice dice(RunSeed{3}, 3);
  const std::size_t sound = out.size();
  for (int i = 0; i < 40; ++i) out.push_back(out[dice.below(sound)]);
  for (int i = 0; i < 12; ++i) {
    const auto& t = out[dice.below(sound)];
    out.push_back({t[0], t[1], t[1]});
  }
  for (int i = 0; i < 25; ++i) {
    auto& t = out[dice.below(sound)];
    std::swap(t[1], t[2]);
  }
  return out;
}

void put(std::string& out, std::uint32_t value) {
  for (int i = 0; i < 4; ++i) out.push_back(static_cast<char>(value >> (8 * i) & 0xff));
}
void put(std::string& out, float value) {
  put(out, std::bit_cast<std::uint32_t>(value));
}

std::string as_ply(const Surface& surface) {
  const auto faces = triangles(surface);
  std::vector<std::uint32_t> number(surface.vertices.size(), 0);
  for (const auto& t : faces)
    for (const std::uint32_t v : t) number[v] = 1;
  std::uint32_t used = 0;
  for (std::uint32_t& n : number) n = n ? used++ : used;
  std::string out =
      "ply\nformat binary_little_endian 1.0\ncomment an invented van, bare bay, hand scan\nelement vertex " +
      std::to_string(used) +
      "\nproperty float x\nproperty float y\nproperty float z\nproperty uchar confidence\nelement face " +
      std::to_string(faces.size()) + "\nproperty list uchar int vertex_indices\nend_header\n";
  std::vector<bool> wanted(surface.vertices.size(), false);
  for (const auto& t : faces)
    for (const std::uint32_t v : t) wanted[v] = true;
  const Pose pose = scanner();
  for (std::size_t v = 0; v < surface.vertices.size(); ++v) {
    if (!wanted[v]) continue;
    const Vec3 p = pose.point_inverse(surface.vertices[v]) / kMmPerUnit;
    for (int k = 0; k < 3; ++k) put(out, static_cast<float>(p[k]));
    out.push_back(static_cast<char>(200));
  }
  for (const auto& t : faces) {
    out.push_back(3);
    for (const std::uint32_t v : t) put(out, number[v]);
  }
  return out;
}

void print_spots() {
  const std::vector<std::pair<std::string, Vec3>> spots{
      {"left nose corner", {250, -470, 480}},       {"right nose corner", {250, 470, 480}},
      {"left engine bay corner", {902, -480, 690}}, {"right rear corner", {1900, 480, 690}},
      {"left rear corner", {1900, -480, 690}},      {"crossmember middle", {560, 0, 92}},
      {"right mount pedestal", {1180, 330, 40}}};
  Dice dice(RunSeed{3}, 4);
  const Pose pose = scanner();
  for (const auto& [name, at] : spots) {
    const Vec3 picked(at.x() + dice.between(-2, 2), at.y() + dice.between(-2, 2),
                      at.z() + dice.between(-2, 2));
    const Vec3 p = pose.point_inverse(picked) / kMmPerUnit;
    std::printf("{name: %s, in_scan: [%.4f, %.4f, %.4f], at: [%.0f, %.0f, %.0f]}\n", name.c_str(), p.x(),
                p.y(), p.z(), at.x() + dice.between(-2, 2), at.y() + dice.between(-2, 2),
                at.z() + dice.between(-2, 2));
  }
}

}  // namespace

int main(int count, char** words) {
  if (count < 2) return std::cerr << "make_scan FILE [--spots]\n", 2;
  const Metal metal;
  Surface surface = SurfaceNet(sampled(metal)).take();
  see(metal, surface);
  shake(surface);
  if (count > 2 && std::string(words[2]) == "--spots") print_spots();
  const std::string bytes = as_ply(surface);
  std::cerr << surface.quads.size() * 2 << " triangles\n";
  std::ofstream out(words[1], std::ios::binary);
  out.write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
  return out.flush().good() ? 0 : 4;
}
