// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/verify/mesh_distance.h"

#include <CGAL/AABB_traits.h>
#include <CGAL/AABB_tree.h>
#include <CGAL/AABB_triangle_primitive.h>
#include <CGAL/Exact_predicates_inexact_constructions_kernel.h>

#include <cmath>
#include <iterator>
#include <limits>
#include <vector>

#include "solver/geometry/mesh_mending.h"
#include "solver/geometry/winding_tree.h"

namespace hosefit {
namespace {

using Kernel = CGAL::Exact_predicates_inexact_constructions_kernel;
using Triangles = std::vector<Kernel::Triangle_3>;
using Primitive = CGAL::AABB_triangle_primitive<Kernel, Triangles::const_iterator>;
using Tree = CGAL::AABB_tree<CGAL::AABB_traits<Kernel, Primitive>>;

// Directions that no modelled edge or face lies along.
const Kernel::Vector_3 kRayOne(0.5278136, 0.2938417, 0.7969213);
const Kernel::Vector_3 kRayTwo(-0.3671093, 0.8315471, -0.4169877);

}  // namespace

struct MeshDistance::Index {
  std::shared_ptr<const TriangleMesh> mesh;
  bool solid = false, watertight = false;
  Vec3 shift_mm;  // the tree's origin, so that triangles far from the frame's origin lose no digits
  AxisBox box;
  Triangles triangles;
  std::vector<std::uint32_t> number;  // of each triangle in the mesh
  Tree tree;
  std::optional<WindingTree> winding;  // of a solid with holes

  Kernel::Point_3 point(const Vec3& p_mm) const {
    const Vec3 q = p_mm - shift_mm;
    return {q.x(), q.y(), q.z()};
  }
  int crossings(const Kernel::Point_3& p, const Kernel::Vector_3& ray) const {
    std::vector<Tree::Primitive_id> hit;
    tree.all_intersected_primitives(Kernel::Ray_3(p, ray), std::back_inserter(hit));
    int sum = 0;
    for (const auto& id : hit) {
      const Kernel::Point_3& a = id->vertex(0);
      const CGAL::Orientation side = CGAL::orientation(a, id->vertex(1), id->vertex(2), a + ray);
      sum += side == CGAL::POSITIVE ? 1 : side == CGAL::NEGATIVE ? -1 : 0;
    }
    return sum;
  }
  bool inside(const Vec3& p_mm) const {
    if (!solid || !box.contains(p_mm)) return false;
    if (winding) return std::abs(winding->at(p_mm)) > 0.5;
    const int one = crossings(point(p_mm), kRayOne);
    if (one == crossings(point(p_mm), kRayTwo)) return one != 0;
    return std::lround(winding_number(*mesh, p_mm)) != 0;
  }
  std::uint32_t number_of(const Tree::Primitive_id& id) const {
    return number[static_cast<std::size_t>(id - triangles.cbegin())];
  }
};

MeshDistance::MeshDistance(std::shared_ptr<const TriangleMesh> mesh, Inside inside) {
  auto index = std::make_unique<Index>();
  index->mesh = std::move(mesh);
  index->solid = inside == Inside::solid;
  index->watertight = index->solid && is_closed(*index->mesh);
  if (index->solid && !index->watertight) {
    MendedMesh mended = mend(*index->mesh);
    index->watertight = mended.closed;
    index->mesh = std::make_shared<const TriangleMesh>(std::move(mended.mesh));
    if (!index->watertight) index->winding.emplace(index->mesh);
  }
  const TriangleMesh& m = *index->mesh;
  index->box = bounds(m);
  index->shift_mm = index->box.isEmpty() ? Vec3(Vec3::Zero()) : Vec3(index->box.center());
  index->triangles.reserve(m.triangles.size());
  index->number.reserve(m.triangles.size());
  for (std::uint32_t i = 0; i < m.triangles.size(); ++i) {
    const auto& t = m.triangles[i];
    Kernel::Triangle_3 triangle(index->point(m.vertices_mm[t[0]]), index->point(m.vertices_mm[t[1]]),
                                index->point(m.vertices_mm[t[2]]));
    if (triangle.is_degenerate()) continue;
    index->triangles.push_back(triangle);
    index->number.push_back(i);
  }
  index->tree.insert(index->triangles.cbegin(), index->triangles.cend());
  index->tree.build();
  if (!index->triangles.empty()) index->tree.accelerate_distance_queries();
  index_ = std::move(index);
}
MeshDistance::~MeshDistance() = default;
MeshDistance::MeshDistance(MeshDistance&&) noexcept = default;
MeshDistance& MeshDistance::operator=(MeshDistance&&) noexcept = default;

double MeshDistance::signed_distance_mm(const Vec3& p_mm) const {
  if (index_->triangles.empty()) return std::numeric_limits<double>::infinity();
  const double distance = std::sqrt(CGAL::to_double(index_->tree.squared_distance(index_->point(p_mm))));
  return index_->inside(p_mm) ? -distance : distance;
}

bool MeshDistance::watertight() const {
  return index_->watertight;
}
const std::shared_ptr<const TriangleMesh>& MeshDistance::mesh() const {
  return index_->mesh;
}

std::optional<MeshDistance::Nearest> MeshDistance::nearest(const Vec3& p_mm) const {
  if (index_->triangles.empty()) return std::nullopt;
  const auto [point, id] = index_->tree.closest_point_and_primitive(index_->point(p_mm));
  return Nearest{Vec3(point.x(), point.y(), point.z()) + index_->shift_mm, index_->number_of(id)};
}

std::optional<bool> MeshDistance::meets_front(const Vec3& p_mm, const Vec3& direction) const {
  if (index_->triangles.empty()) return std::nullopt;
  const Kernel::Vector_3 along(direction.x(), direction.y(), direction.z());
  const auto first = index_->tree.first_intersected_primitive(Kernel::Ray_3(index_->point(p_mm), along));
  if (!first) return std::nullopt;
  const Kernel::Point_3& a = (*first)->vertex(0);
  return CGAL::orientation(a, (*first)->vertex(1), (*first)->vertex(2), a + along) == CGAL::NEGATIVE;
}

}  // namespace hosefit
