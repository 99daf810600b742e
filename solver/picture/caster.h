// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cstdint>
#include <memory>
#include <optional>
#include <vector>

#include "solver/picture/camera.h"
#include "solver/picture/scene.h"

namespace hosefit {

/// What part a scene's item plays in one view.
enum class Layer : std::uint8_t { solid, glass, hidden };

struct RayHit {
  std::size_t item = 0;  ///< index into Scene::items
  std::size_t triangle = 0;
  double along_mm = 0;  ///< from the ray's origin
  double u = 0, v = 0;  ///< weights of the triangle's second and third corner
  Vec3 normal;          ///< unit, of the flat triangle, outward where the surface is closed
};

/// Rays against the triangles of a scene. Single precision inside, taken about the scene's middle: places are
/// good to about 1e-6 of the scene's size. Built by one thread, so that hits do not depend on the thread
/// count; const queries may run in parallel. Of surfaces at the same distance either may be hit, always the
/// same.
class Caster {
 public:
  /// layers: one per item; hidden items are not there. The scene must outlive the caster.
  Caster(const Scene& scene, const std::vector<Layer>& layers);
  ~Caster();
  Caster(Caster&&) noexcept;
  Caster& operator=(Caster&&) noexcept;

  /// The first surface between two distances along the ray: of solid items, of glass items, of lines alone.
  std::optional<RayHit> first_solid(const Ray& ray, double from_mm, double to_mm) const;
  std::optional<RayHit> first_glass(const Ray& ray, double from_mm, double to_mm) const;
  std::optional<RayHit> first_line(const Ray& ray, double from_mm, double to_mm) const;

 private:
  struct Index;
  std::unique_ptr<const Index> index_;
};

}  // namespace hosefit
