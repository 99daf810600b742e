// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>
#include <variant>

#include "solver/model/bay.h"
#include "viewer/scene/pane_scene.h"

namespace hosefit {

struct Hit {
  double distance_mm = 0;  ///< along the ray
  Vec3 at_mm;
  Selected what;
};

/// Where a ray first enters a triangle, from either side; none behind its origin. After Moeller and Trumbore,
/// J. Graphics Tools 2 (1997) 21.
std::optional<double> meet_triangle(const Ray& ray, const Vec3& a_mm, const Vec3& b_mm, const Vec3& c_mm);

/// The nearest thing drawn with its surface under the ray, on the side of the section that is shown.
std::optional<Hit> pick(const PaneScene& scene, const Ray& ray);

}  // namespace hosefit
