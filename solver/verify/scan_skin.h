// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <memory>
#include <span>
#include <vector>

#include "solver/geometry/mesh_edges.h"
#include "solver/geometry/winding_tree.h"
#include "solver/verify/mesh_distance.h"

namespace hosefit {

/// Whether a scan tells what is at a place. A scan is a surface with open edges, seen from its front (the
/// side from which corners run counter-clockwise); what lies behind it and past its edges nobody saw.
enum class Sight { seen, behind, past_edge };

/// The rule, for a point p with D = distance to the nearest point q of the surface, w = generalised winding
/// number (share of all directions in which the surface's back lies, less that of its front, every layer
/// counted):
///   1. behind, when w >= 0.1 (inside of a body scanned from outside, behind the wall of a bay), or when
///   three
///      or more of 14 lines of sight meet the surface from behind first (inside of a half scanned body that
///      stands in a scanned bay, under a lip seen from above only);
///   2. q on no open edge: seen when p is in front of the surface there, else behind;
///   3. q on an open edge: seen when p is within 45 degrees of straight in front of that edge and w <= -0.25,
///      so that the scan's front fills at least a quarter of all directions (straight over a straight edge it
///      is a quarter; inside a scanned bay more, over a hole as high as that is wide too); past_edge
///      otherwise, up to as far from the edge as the edge it hangs together with is long across: what was not
///      scanned is taken to stand out no farther than the hole, or the scan, is wide.
/// Farther off than the scan is long across everything is seen: the scan has no say there.
/// Limits: w and sides go by the file's faces, so a patch that is the wrong way round as a whole is read the
/// wrong way round; what stands free in front of a surface and was not scanned (black hose, glass) is never
/// missed by any rule; 0.1, 0.25, 3 of 14 and 45 degrees are common practice, no source.
/// Immutable; queries are thread-safe. In the mesh's frame.
class ScanSkin {
 public:
  explicit ScanSkin(std::shared_ptr<const MeshDistance> surface);

  /// The whole rule.
  Sight at(const Vec3& p_mm) const;
  /// The rule without lines of sight, which cost most and tell of large things only.
  Sight between(const Vec3& p_mm) const;
  /// By the nearest point alone: for places around one that was looked at.
  Sight beside(const Vec3& p_mm) const;
  const AxisBox& box() const { return box_; }
  double across_mm() const { return across_mm_; }  ///< diagonal of the box

  static constexpr double kBackShare = 0.1, kFrontShare = 0.25;
  static constexpr int kBackSights = 3;

 private:
  static constexpr std::uint32_t kNoRim = 0xffffffffU;
  struct Stand;  // where a point stands towards the nearest part of the surface
  Stand stand(const Vec3& p_mm) const;
  Sight on_rim(const Stand& stand, double winding) const;
  bool sees_backs(const Vec3& p_mm) const;
  void find_rims(const MeshEdges& edges, std::span<const std::uint32_t> same);
  void find_normals(const MeshEdges& edges, std::span<const std::uint32_t> same);

  std::shared_ptr<const MeshDistance> surface_;
  WindingTree winding_;
  AxisBox box_;
  double across_mm_ = 0;
  std::vector<Eigen::Vector3f> vertex_normal_;  // sum over faces, weighed by their angle there
  std::vector<Eigen::Vector3f> side_normal_;    // of the two faces along a side
  std::vector<std::uint32_t> rim_of_side_, rim_of_vertex_;
  std::vector<double> rim_across_mm_;
};

}  // namespace hosefit
