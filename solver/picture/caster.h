// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <vector>

#include "solver/picture/scene.h"
#include "solver/view/camera.h"

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

/// What a ray may meet: solid items, glass items, lines alone.
enum class Among : std::uint8_t { solid, glass, lines };

struct RayRange {
  Ray ray;
  double from_mm = 0, to_mm = 0;  ///< no ray where from >= to
};

/// Rays against the triangles of a scene. Single precision inside, taken about the scene's middle: places are
/// good to about 1e-6 of the scene's size. Built by one thread, so that hits do not depend on the thread
/// count; const queries may run in parallel. Of surfaces at the same distance either may be hit, always the
/// same.
class Caster {
 public:
  /// layers: one per item; hidden items are not there. The scene must outlive the caster.
  /// for_cuts: keeps what `around` needs.
  Caster(const Scene& scene, const std::vector<Layer>& layers, bool for_cuts = false);
  ~Caster();
  Caster(Caster&&) noexcept;
  Caster& operator=(Caster&&) noexcept;

  /// The first surface within each range; rays that lie beside each other on the picture beside each other
  /// here go fastest. hits: as many as ranges.
  void first(Among among, std::span<const RayRange> ranges, std::span<std::optional<RayHit>> hits) const;

  /// What the place lies inside of, closed solid items only: a neck before a line before the first part. The
  /// hit is where `direction` first leaves it. Overlapping and touching surfaces of one item do not disturb:
  /// its surfaces are counted along the whole ray. Precondition: made with for_cuts.
  std::optional<RayHit> around(const Vec3& p_mm, const Vec3& direction) const;

  /// The same for one ray.
  std::optional<RayHit> first_solid(const Ray& ray, double from_mm, double to_mm) const;
  std::optional<RayHit> first_glass(const Ray& ray, double from_mm, double to_mm) const;
  std::optional<RayHit> first_line(const Ray& ray, double from_mm, double to_mm) const;

 private:
  std::optional<RayHit> first_one(Among among, const RayRange& range) const;

  struct Index;
  std::unique_ptr<const Index> index_;
};

}  // namespace hosefit
