// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/verify/proof_bodies.h"

#include <map>
#include <mutex>
#include <utility>

#include "solver/verify/mesh_distance.h"
#include "solver/verify/triangle_tree.h"

namespace hosefit {
namespace {

std::shared_ptr<const MeshDistance> distance_tree(const Obstacle& obstacle) {
  if (has_closed_form(obstacle.shape)) return nullptr;
  if (const auto* mesh = std::get_if<MeshShape>(&obstacle.shape))
    return std::make_shared<const MeshDistance>(
        mesh->mesh, obstacle.closed ? MeshDistance::Inside::solid : MeshDistance::Inside::empty);
  return std::make_shared<const MeshDistance>(
      std::make_shared<const TriangleMesh>(tessellate(obstacle.shape, 0.0)), MeshDistance::Inside::solid);
}

AxisBox moved(const AxisBox& box, const Pose& pose) {
  AxisBox out;
  for (int corner = 0; corner < 8; ++corner)
    out.extend(pose.point(box.corner(static_cast<AxisBox::CornerType>(corner))));
  return out;
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
    Slot<TriangleTree> triangles;
  };
  std::mutex mutex;
  std::map<std::pair<const Body*, std::size_t>, std::shared_ptr<ObstacleSlots>> by_obstacle;

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

std::shared_ptr<const TriangleTree> ProofStore::triangles(const std::shared_ptr<const Body>& body,
                                                          std::size_t obstacle) {
  const auto slots = slots_->of(body, obstacle);
  auto& slot = slots->triangles;
  std::call_once(slot.once, [&] {
    slot.made =
        std::make_shared<const TriangleTree>(tessellate(body->obstacles[obstacle].shape, kOvershoot_mm));
  });
  return slot.made;
}

struct ProofBodies::Solids {
  struct Solid {
    AxisBox box;                               // vehicle frame
    std::shared_ptr<const MeshDistance> tree;  // null: closed form
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
      group.solids.push_back(
          {moved(bounds(placed.body->obstacles[i].shape), placed.pose), store.distance(placed.body, i)});
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

const AxisBox& ProofBodies::box(ObstacleRef ref) const {
  return solids_->groups[ref.body].solids[ref.obstacle].box;
}

}  // namespace hosefit
