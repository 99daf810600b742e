// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <memory>
#include <optional>
#include <variant>
#include <vector>

#include "solver/model/bay.h"
#include "viewer/scene/hose_mesh.h"
#include "viewer/scene/orbit.h"
#include "viewer/scene/solid_mesh.h"

/// What stands in one pane, as values; the drawing of it is elsewhere.
namespace hosefit {

/// `dim`: pale, and what stands behind shines through. `outline`: feature edges only.
enum class BodyLook { solid, dim, outline, hidden };

/// A plane square to a vehicle axis; what lies on one side of it is cut away.
struct Section {
  bool on = false;
  int axis = 2;  ///< 0 = X, 1 = Y, 2 = Z
  double at_mm = 0;
  bool cuts_less = false;  ///< the side of lesser coordinates is cut away, else that of greater ones
  friend bool operator==(const Section&, const Section&) = default;
};
bool is_shown(const Section& section, const Vec3& p_mm);

struct SelectedLine {
  std::size_t line = 0;
  friend bool operator==(const SelectedLine&, const SelectedLine&) = default;
};
/// An obstacle (body as BayBody) or a line of the vehicle.
using Selected = std::variant<ObstacleRef, SelectedLine>;

struct DrawnBody {
  std::shared_ptr<const SolidMesh> mesh;
  Pose pose;
  std::size_t body = 0;  ///< BayBody
  BodyLook look = BodyLook::solid;
  bool same_in_all = false;  ///< part of vehicle or engine: the same in every pane
};

struct PaneScene {
  std::vector<DrawnBody> bodies;
  std::vector<std::shared_ptr<const HoseMesh>> tubes;
  Orbit camera;
  Section section;
  std::optional<Selected> selected;
};

Colour body_colour(BayBody body);
/// Around all bodies and tubes but the hood, which is wide and says little.
AxisBox box_of(const PaneScene& scene);
/// Around what the choice is about: the parts bolted on, and the tubes.
AxisBox focus_of(const PaneScene& scene);
/// The section moved to the middle of what the choice is about, or of all when that is nothing.
Section in_the_middle(Section section, const PaneScene& scene);

}  // namespace hosefit
