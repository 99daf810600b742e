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
  Tree tree;

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
    if (!watertight) return winding_number(*mesh, p_mm) > 0.5;
    const int one = crossings(point(p_mm), kRayOne);
    if (one == crossings(point(p_mm), kRayTwo)) return one != 0;
    return std::lround(winding_number(*mesh, p_mm)) != 0;
  }
};

MeshDistance::MeshDistance(std::shared_ptr<const TriangleMesh> mesh, Inside inside) {
  auto index = std::make_unique<Index>();
  index->solid = inside == Inside::solid;
  index->watertight = index->solid && is_closed(*mesh);
  index->box = bounds(*mesh);
  index->shift_mm = index->box.isEmpty() ? Vec3(Vec3::Zero()) : Vec3(index->box.center());
  index->mesh = std::move(mesh);
  const TriangleMesh& m = *index->mesh;
  for (const auto& t : m.triangles) {
    Kernel::Triangle_3 triangle(index->point(m.vertices_mm[t[0]]), index->point(m.vertices_mm[t[1]]),
                                index->point(m.vertices_mm[t[2]]));
    if (!triangle.is_degenerate()) index->triangles.push_back(triangle);
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

}  // namespace hosefit
