// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <array>
#include <span>
#include <vector>

#include "solver/picture/caster.h"
#include "solver/picture/render.h"

namespace hosefit {

/// What one ray met on one layer.
struct Sample {
  std::int32_t item = kNoItem;
  std::uint32_t group = 0, body = 0, triangle = 0;
  Eigen::Vector3f p_mm = Eigen::Vector3f::Zero(), normal = Eigen::Vector3f::Zero();  ///< towards the eye
  bool cut_face = false;
  const Colour* colour = nullptr;  ///< of the surface there; null with kNoItem
};

struct Samples {
  Sample solid, glass, behind;  ///< behind: the foremost line that the solid hides
};

/// Looks at a scene through places of the picture. Const queries may run in parallel.
class Looks {
 public:
  Looks(const Scene& scene, const View& view, Threads threads);

  /// One per place, in pixels; places in rows go fastest.
  std::vector<Samples> at(std::span<const Vec2> places_px) const;

 private:
  Sample sample(const RayHit& hit, const Ray& ray) const;
  Sample cut_face(const RayHit& hit, const Vec3& p_mm) const;

  const Scene& scene_;
  const View& view_;
  Caster caster_;
  std::vector<std::vector<std::array<Eigen::Vector3f, 3>>> normals_;  // per item and triangle
};

/// Between two samples beside each other on one layer. step_mm: how far apart they are on the picture.
enum class Edge { none, crease, outline };
Edge edge_between(const Sample& a, const Sample& b, double step_mm);

/// Nothing to be seen changes between them.
bool alike(const Samples& a, const Samples& b, double step_mm);

}  // namespace hosefit
