// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <string>
#include <vector>

#include "solver/picture/render.h"

/// Scenes of a few known bodies.
namespace hosefit::hand_made {

inline SceneItem item(Scene& scene, std::string name, TriangleMesh mesh, Colour colour = {0.7, 0.72, 0.75}) {
  SceneItem out;
  out.name = std::move(name);
  out.group = scene.groups++;
  out.mesh = std::move(mesh);
  out.colour = colour;
  out.obstacle = ObstacleRef{0, scene.items.size()};
  return out;
}
inline void add(Scene& scene, std::string name, const Shape& shape, double overshoot_mm = 0.01) {
  scene.items.push_back(item(scene, std::move(name), tessellate(shape, overshoot_mm)));
}
inline std::vector<Layer> all_solid(const Scene& scene) {
  return std::vector<Layer>(scene.items.size(), Layer::solid);
}
inline BoxShape box(const Vec3& centre, const Vec3& half) {
  BoxShape out;
  out.frame = Pose::translation(centre);
  out.half_size_mm = half;
  return out;
}
inline View view(const Scene& scene, Side side, Size size, double px_per_mm, const Vec3& target_mm) {
  View out;
  out.camera = looking_from(side);
  out.camera.target_mm = target_mm;
  out.camera.distance_mm = 2000;
  out.camera.middle_px = {size.width / 2.0, size.height / 2.0};
  out.camera.px_per_mm = px_per_mm;
  out.layers = all_solid(scene);
  return out;
}

}  // namespace hosefit::hand_made
