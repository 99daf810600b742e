// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/verify/proof_bodies.h"

#include <array>
#include <cmath>
#include <map>
#include <mutex>
#include <tuple>
#include <utility>

#include "solver/verify/mesh_distance.h"
#include "solver/verify/scan_skin.h"
#include "solver/verify/triangle_tree.h"
#include "solver/verify/unseen_parts.h"

namespace hosefit {
namespace {

std::shared_ptr<const MeshDistance> distance_tree(const Obstacle& obstacle) {
  if (has_closed_form(obstacle.shape)) return nullptr;
  if (const auto* mesh = std::get_if<MeshShape>(&obstacle.shape))
    return std::make_shared<const MeshDistance>(
        mesh->mesh, obstacle.closed ? MeshDistance::Inside::solid : MeshDistance::Inside::empty);
  // What has neither closed form nor mesh is a rail: its faces are flat, so its triangles are exact.
  return std::make_shared<const MeshDistance>(
      std::make_shared<const TriangleMesh>(tessellate(obstacle.shape, ProofStore::kOvershoot_mm)),
      MeshDistance::Inside::solid);
}

AxisBox moved(const AxisBox& box, const Pose& pose) {
  AxisBox out;
  for (int corner = 0; corner < 8; ++corner)
    out.extend(pose.point(box.corner(static_cast<AxisBox::CornerType>(corner))));
  return out;
}

}  // namespace

namespace {

// Capsules and spheres are all within a radius of a segment: one sliver triangle instead of thousands.
std::shared_ptr<const TriangleTree> measured_surface(const Shape& shape) {
  const auto sliver = [](const Vec3& a, const Vec3& b, double radius_mm) {
    return std::make_shared<const TriangleTree>(TriangleMesh{{a, b, b}, {{0, 1, 2}}}, radius_mm);
  };
  if (const auto* capsule = std::get_if<CapsuleShape>(&shape))
    return sliver(capsule->a_mm, capsule->b_mm, capsule->radius_mm);
  if (const auto* sphere = std::get_if<SphereShape>(&shape))
    return sliver(sphere->centre_mm, sphere->centre_mm, sphere->radius_mm);
  return std::make_shared<const TriangleTree>(tessellate(shape, ProofStore::kOvershoot_mm));
}

// Is `inner`, whose surface does not cross that of `outer`, inside its solid? One point decides then.
bool lies_inside(const TriangleTree& inner, const Pose& inner_in_outer, const Obstacle& outer,
                 const TriangleTree& outer_tree) {
  // Whatever lies inside a capsule is nearer to its axis than its radius and was found to cross it.
  if (!outer.closed || outer_tree.around_mm() > 0 || inner.nodes().empty() || outer_tree.nodes().empty())
    return false;
  const Vec3 p = inner_in_outer.point(inner.mesh().vertices_mm[inner.mesh().triangles.front()[0]]);
  return outer_tree.nodes().front().box.contains(p) && std::abs(winding_number(outer_tree.mesh(), p)) > 0.5;
}

}  // namespace

struct ProofStore::Slots {
  template <class T>
  struct Slot {
    std::once_flag once;
    std::shared_ptr<const T> made;
  };
  struct ObstacleSlots {
    std::shared_ptr<const Body> body;  // keeps the key's address alive
    Slot<MeshDistance> distance;
    Slot<ScanSkin> skin;
    Slot<TriangleTree> triangles;
  };
  std::mutex mutex;
  std::map<std::pair<const Body*, std::size_t>, std::shared_ptr<ObstacleSlots>> by_obstacle;
  // Candidates differ in few parts, so most questions between two parts come up many times.
  using GapQuestion = std::tuple<const Body*, std::size_t, const Body*, std::size_t, std::array<double, 13>>;
  std::map<GapQuestion, SolidGap> gaps;
  std::map<GapQuestion, std::shared_ptr<const std::vector<UnseenPlace>>> unseen;

  std::shared_ptr<ObstacleSlots> of(const std::shared_ptr<const Body>& body, std::size_t obstacle) {
    const std::lock_guard lock(mutex);
    std::shared_ptr<ObstacleSlots>& slot = by_obstacle[{body.get(), obstacle}];
    if (!slot) {
      slot = std::make_shared<ObstacleSlots>();
      slot->body = body;
    }
    return slot;
  }
};

ProofStore::ProofStore() : slots_(std::make_unique<Slots>()) {}
ProofStore::~ProofStore() = default;

std::shared_ptr<const MeshDistance> ProofStore::distance(const std::shared_ptr<const Body>& body,
                                                         std::size_t obstacle) {
  const auto slots = slots_->of(body, obstacle);
  auto& slot = slots->distance;
  std::call_once(slot.once, [&] { slot.made = distance_tree(body->obstacles[obstacle]); });
  return slot.made;
}

std::shared_ptr<const ScanSkin> ProofStore::skin(const std::shared_ptr<const Body>& body,
                                                 std::size_t obstacle) {
  const Obstacle& o = body->obstacles[obstacle];
  if (!std::holds_alternative<MeshShape>(o.shape)) return nullptr;
  if (!o.closed && o.seen_from == SeenFrom::both) return nullptr;
  const auto tree = distance(body, obstacle);
  if (tree->watertight()) return nullptr;
  auto& slot = slots_->of(body, obstacle)->skin;
  std::call_once(slot.once, [&] { slot.made = std::make_shared<const ScanSkin>(tree); });
  return slot.made;
}

std::shared_ptr<const TriangleTree> ProofStore::triangles(const std::shared_ptr<const Body>& body,
                                                          std::size_t obstacle) {
  const auto slots = slots_->of(body, obstacle);
  auto& slot = slots->triangles;
  std::call_once(slot.once, [&] { slot.made = measured_surface(body->obstacles[obstacle].shape); });
  return slot.made;
}

namespace {

std::array<double, 13> key_of(const Pose& pose, double within_mm) {
  std::array<double, 13> key{};
  for (Eigen::Index i = 0; i < 9; ++i) key[static_cast<std::size_t>(i)] = pose.rotation(i / 3, i % 3);
  for (Eigen::Index i = 0; i < 3; ++i) key[static_cast<std::size_t>(9 + i)] = pose.origin_mm[i];
  key[12] = within_mm;
  return key;
}

}  // namespace

SolidGap ProofStore::gap(const std::shared_ptr<const Body>& body_a, std::size_t a,
                         const std::shared_ptr<const Body>& body_b, std::size_t b, const Pose& b_in_a,
                         double within_mm) {
  const Slots::GapQuestion question{body_a.get(), a, body_b.get(), b, key_of(b_in_a, within_mm)};
  {
    const std::lock_guard lock(slots_->mutex);
    if (const auto known = slots_->gaps.find(question); known != slots_->gaps.end()) return known->second;
  }
  const auto tree_a = triangles(body_a, a);  // also keeps both addresses alive
  const auto tree_b = triangles(body_b, b);
  const MeshGap least = least_gap(*tree_a, Pose{}, *tree_b, b_in_a, within_mm);
  SolidGap found{least.distance_mm, least.on_a_mm};
  const bool inside =
      least.distance_mm > 0 && (lies_inside(*tree_b, b_in_a, body_a->obstacles[a], *tree_a) ||
                                lies_inside(*tree_a, inverse(b_in_a), body_b->obstacles[b], *tree_b));
  if (inside) found.distance_mm = -least.distance_mm;
  const std::lock_guard lock(slots_->mutex);
  slots_->gaps.emplace(question, found);
  return found;
}

std::shared_ptr<const std::vector<UnseenPlace>> ProofStore::unseen(
    const std::shared_ptr<const Body>& part_body, std::size_t part,
    const std::shared_ptr<const Body>& scan_body, std::size_t scan, const Pose& part_in_scan) {
  const Slots::GapQuestion question{part_body.get(), part, scan_body.get(), scan, key_of(part_in_scan, 0)};
  {
    const std::lock_guard lock(slots_->mutex);
    if (const auto known = slots_->unseen.find(question); known != slots_->unseen.end()) return known->second;
  }
  slots_->of(part_body, part);  // keeps the address alive; the scan's is kept with its skin
  const auto found = std::make_shared<const std::vector<UnseenPlace>>(
      unseen_places(part_body->obstacles[part].shape, *skin(scan_body, scan), part_in_scan));
  const std::lock_guard lock(slots_->mutex);
  return slots_->unseen.emplace(question, found).first->second;
}

struct ProofBodies::Solids {
  struct Solid {
    AxisBox box;                               // vehicle frame
    std::shared_ptr<const MeshDistance> tree;  // null: closed form
    std::shared_ptr<const ScanSkin> skin;      // null: all sides are known
  };
  struct Group {
    std::shared_ptr<const Body> body;
    Pose pose;
    std::vector<Solid> solids;
  };
  std::vector<Group> groups;
};

ProofBodies::ProofBodies(const Bay& bay, ProofStore& store) {
  auto solids = std::make_unique<Solids>();
  for (const PlacedBody& placed : bay.bodies) {
    Solids::Group group{placed.body, placed.pose, {}};
    for (std::size_t i = 0; i < placed.body->obstacles.size(); ++i)
      group.solids.push_back({moved(bounds(placed.body->obstacles[i].shape), placed.pose),
                              store.distance(placed.body, i), store.skin(placed.body, i)});
    solids->groups.push_back(std::move(group));
  }
  solids_ = std::move(solids);
}

ProofBodies::ProofBodies(const Bay& bay) {
  ProofStore store;
  *this = ProofBodies(bay, store);
}
ProofBodies::~ProofBodies() = default;
ProofBodies::ProofBodies(ProofBodies&&) noexcept = default;
ProofBodies& ProofBodies::operator=(ProofBodies&&) noexcept = default;

double ProofBodies::distance_mm(ObstacleRef ref, const Vec3& p_mm) const {
  const Solids::Group& group = solids_->groups[ref.body];
  const Vec3 p = group.pose.point_inverse(p_mm);
  const auto& tree = group.solids[ref.obstacle].tree;
  return tree ? tree->signed_distance_mm(p)
              : signed_distance_mm(group.body->obstacles[ref.obstacle].shape, p);
}

const ScanSkin* ProofBodies::skin(ObstacleRef ref) const {
  return solids_->groups[ref.body].solids[ref.obstacle].skin.get();
}

Vec3 ProofBodies::own(ObstacleRef ref, const Vec3& p_mm) const {
  return solids_->groups[ref.body].pose.point_inverse(p_mm);
}

bool ProofBodies::is_convex(ObstacleRef ref) const {
  const Shape& shape = solids_->groups[ref.body].body->obstacles[ref.obstacle].shape;
  return has_closed_form(shape) && !std::holds_alternative<ExtrusionShape>(shape);
}

const AxisBox& ProofBodies::box(ObstacleRef ref) const {
  return solids_->groups[ref.body].solids[ref.obstacle].box;
}

}  // namespace hosefit
