// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <memory>

#include "solver/model/bay.h"

namespace hosefit {

class MeshDistance;
class ScanSkin;
class TriangleTree;

struct UnseenPlace;  // unseen_parts.h

/// The gap between two rigid solids.
struct SolidGap {
  double distance_mm =
      0;  ///< `within_mm` when nothing is nearer; 0: they cross; negative: one lies inside the other
  Vec3 on_a_mm = Vec3::Zero();  ///< a's frame
};

/// What is dear to prepare of each Body, by Body object, made once and shared by all bays that hold the same
/// object: distance trees of rails and meshes, triangles of every obstacle. Safe to use from several threads;
/// something is made by the first thread that asks for it while the others wait for that one only.
class ProofStore {
 public:
  ProofStore();
  ~ProofStore();
  ProofStore(const ProofStore&) = delete;
  ProofStore& operator=(const ProofStore&) = delete;

  /// Null for obstacles with a closed form.
  std::shared_ptr<const MeshDistance> distance(const std::shared_ptr<const Body>& body, std::size_t obstacle);
  /// What tells the seen side of a scan from the unseen one; null for obstacles that are all there: closed
  /// ones and open ones seen from both sides.
  std::shared_ptr<const ScanSkin> skin(const std::shared_ptr<const Body>& body, std::size_t obstacle);
  /// Triangles that contain the obstacle, nowhere more than kOvershoot_mm away from it.
  std::shared_ptr<const TriangleTree> triangles(const std::shared_ptr<const Body>& body,
                                                std::size_t obstacle);

  /// How far apart two obstacles are when b's body stands at `b_in_a` in a's frame; measured once for the
  /// same question.
  SolidGap gap(const std::shared_ptr<const Body>& body_a, std::size_t a,
               const std::shared_ptr<const Body>& body_b, std::size_t b, const Pose& b_in_a,
               double within_mm);

  /// The places on a part's obstacle that a scan has not seen, when the part's body stands at `part_in_scan`
  /// in the frame of the scan's; looked for once for the same question. See unseen_parts.h.
  std::shared_ptr<const std::vector<UnseenPlace>> unseen(const std::shared_ptr<const Body>& part_body,
                                                         std::size_t part,
                                                         const std::shared_ptr<const Body>& scan_body,
                                                         std::size_t scan, const Pose& part_in_scan);

  static constexpr double kOvershoot_mm =
      0.02;  ///< twice this stays below the 0.05 mm promised for rigid gaps

 private:
  struct Slots;
  std::unique_ptr<Slots> slots_;
};

/// Bodies prepared for measuring: closed-form solids as they are, trees for rails and meshes. Immutable,
/// thread-safe.
class ProofBodies {
 public:
  explicit ProofBodies(const Bay& bay);
  ProofBodies(const Bay& bay, ProofStore& store);
  ~ProofBodies();
  ProofBodies(ProofBodies&&) noexcept;
  ProofBodies& operator=(ProofBodies&&) noexcept;

  /// Signed distance (negative inside a closed obstacle) from a point of the vehicle frame. 1-Lipschitz.
  double distance_mm(ObstacleRef ref, const Vec3& p_mm) const;
  /// Null where every side of the obstacle is known. In the body's frame: see own().
  const ScanSkin* skin(ObstacleRef ref) const;
  Vec3 own(ObstacleRef ref, const Vec3& p_mm) const;  ///< a point of the vehicle frame in the body's frame
  /// Known to be convex: its distance is then a convex function of the point.
  bool is_convex(ObstacleRef ref) const;
  /// Box around the obstacle in the vehicle frame.
  const AxisBox& box(ObstacleRef ref) const;

 private:
  struct Solids;
  std::unique_ptr<const Solids> solids_;
};

}  // namespace hosefit
