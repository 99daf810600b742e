// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/geometry/mesh_mending.h"

#include <algorithm>
#include <limits>

#include "solver/geometry/mesh_edges.h"
#include "solver/geometry/vertex_welding.h"

namespace hosefit {
namespace {

using Triangle = std::array<std::uint32_t, 3>;
constexpr std::uint32_t kNone = std::numeric_limits<std::uint32_t>::max();

// Below this share of its longest edge a triangle's height is the rounding of its corners. Ten times more
// would take the needles of a fine scan for nothing.
constexpr double kNoHeight = 1e-7;

bool without_area(const TriangleMesh& mesh, const Triangle& t) {
  const Vec3 ab = mesh.vertices_mm[t[1]] - mesh.vertices_mm[t[0]];
  const Vec3 ac = mesh.vertices_mm[t[2]] - mesh.vertices_mm[t[0]];
  const double longest2 = std::max({ab.squaredNorm(), ac.squaredNorm(), (ac - ab).squaredNorm()});
  return ab.cross(ac).norm() <= kNoHeight * longest2;
}

Triangle sorted(Triangle t) {
  std::sort(t.begin(), t.end());
  return t;
}

// The triangles seen so far, by their corners in any order.
class Seen {
 public:
  explicit Seen(std::size_t triangles) {
    std::size_t size = 64;
    while (size < 2 * triangles) size *= 2;
    slots_.assign(size, kNone);
  }
  // False when `kept` holds such a triangle already.
  bool add(const std::vector<Triangle>& kept, const Triangle& t, std::uint32_t as) {
    const Triangle wanted = sorted(t);
    std::uint64_t h = 0;
    for (const std::uint32_t v : wanted) h = (h ^ v) * 0x9e3779b97f4a7c15ULL, h ^= h >> 31;
    const std::size_t mask = slots_.size() - 1;
    for (std::size_t at = h & mask;; at = (at + 1) & mask) {
      if (slots_[at] == kNone) {
        slots_[at] = as;
        return true;
      }
      if (sorted(kept[slots_[at]]) == wanted) return false;
    }
  }

 private:
  std::vector<std::uint32_t> slots_;
};

void leave_out_useless(TriangleMesh& mesh, MeshFaults& faults) {
  const std::vector<std::uint32_t> same = first_vertex_at_each_place(mesh);
  Seen seen(mesh.triangles.size());
  std::vector<Triangle> kept;
  kept.reserve(mesh.triangles.size());
  for (const Triangle& written : mesh.triangles) {
    const Triangle t{same[written[0]], same[written[1]], same[written[2]]};
    if (t[0] == t[1] || t[1] == t[2] || t[2] == t[0]) {
      ++faults.zero_area;
    } else if (!seen.add(kept, t, static_cast<std::uint32_t>(kept.size()))) {
      ++faults.duplicates;
    } else {
      faults.zero_area += without_area(mesh, t) ? 1 : 0;
      kept.push_back(t);
    }
  }
  mesh.triangles = std::move(kept);
}

// Which triangles to turn so that each runs as most of its surface do.
class Turning {
 public:
  explicit Turning(const MeshEdges& edges, std::size_t triangles)
      : edges_(edges), across_(3 * triangles, kNone), turn_(triangles, 0), reached_(triangles, 0) {
    for (std::size_t e = 0; e < edges.count(); ++e) {
      const auto sides = edges.sides(e);
      if (sides.size() != 2) continue;
      across_[sides[0]] = sides[1];
      across_[sides[1]] = sides[0];
    }
    for (std::uint32_t t = 0; t < triangles; ++t)
      if (!reached_[t]) flood(t);
  }
  bool turn(std::size_t triangle) const { return turn_[triangle] != 0; }
  std::size_t count() const { return count_; }

 private:
  void flood(std::uint32_t first) {
    patch_.assign(1, first);
    reached_[first] = 1;
    bool two_sided = true;
    std::size_t turned = 0;
    for (std::size_t i = 0; i < patch_.size(); ++i)
      for (std::uint32_t side = 3 * patch_[i]; side < 3 * patch_[i] + 3; ++side) {
        if (across_[side] == kNone) continue;
        const std::uint32_t other = across_[side] / 3;
        const bool alike = edges_.runs_up(side) != edges_.runs_up(across_[side]);
        const char wanted = static_cast<char>(alike ? turn_[patch_[i]] : !turn_[patch_[i]]);
        if (reached_[other]) {
          two_sided = two_sided && turn_[other] == wanted;
          continue;
        }
        reached_[other] = 1;
        turn_[other] = wanted;
        turned += wanted ? 1 : 0;
        patch_.push_back(other);
      }
    if (!two_sided) {
      for (const std::uint32_t t : patch_) turn_[t] = 0;
      return;
    }
    if (2 * turned > patch_.size()) {
      for (const std::uint32_t t : patch_) turn_[t] = static_cast<char>(!turn_[t]);
      turned = patch_.size() - turned;
    }
    count_ += turned;
  }

  const MeshEdges& edges_;
  std::vector<std::uint32_t> across_;  // by side: the side on the other triangle
  std::vector<char> turn_, reached_;   // by triangle
  std::vector<std::uint32_t> patch_;
  std::size_t count_ = 0;
};

double sixfold_volume(const TriangleMesh& mesh) {
  const Vec3 centre = bounds(mesh).center();
  double sum = 0;
  for (const Triangle& t : mesh.triangles) {
    const Vec3 a = mesh.vertices_mm[t[0]] - centre;
    const Vec3 b = mesh.vertices_mm[t[1]] - centre;
    sum += a.dot(b.cross(mesh.vertices_mm[t[2]] - centre));
  }
  return sum;
}

}  // namespace

MendedMesh mend(TriangleMesh mesh) {
  MendedMesh out;
  leave_out_useless(mesh, out.faults);
  std::vector<std::uint32_t> same(mesh.vertices_mm.size());
  for (std::uint32_t i = 0; i < same.size(); ++i) same[i] = i;  // welded above
  const MeshEdges edges(mesh, same);
  const Turning turning(edges, mesh.triangles.size());
  out.faults.turned = turning.count();
  out.closed = !mesh.triangles.empty();
  for (std::size_t e = 0; e < edges.count(); ++e) {
    const auto sides = edges.sides(e);
    out.faults.open_edges += sides.size() == 1 ? 1 : 0;
    out.faults.crowded_edges += sides.size() > 2 ? 1 : 0;
    int up = 0;
    for (const std::uint32_t side : sides) up += edges.runs_up(side) != turning.turn(side / 3) ? 1 : -1;
    if (up != 0) out.closed = false;
  }
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t)
    if (turning.turn(t)) std::swap(mesh.triangles[t][1], mesh.triangles[t][2]);
  if (out.closed && sixfold_volume(mesh) < 0) {
    out.faults.inside_out = true;
    for (Triangle& t : mesh.triangles) std::swap(t[1], t[2]);
  }
  out.mesh = std::move(mesh);
  return out;
}

}  // namespace hosefit
