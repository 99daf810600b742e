// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/scene/pane_scene.h"

namespace hosefit {

bool is_shown(const Section& section, const Vec3& p_mm) {
  if (!section.on) return true;
  return section.cuts_less ? p_mm[section.axis] >= section.at_mm : p_mm[section.axis] <= section.at_mm;
}

// Quiet tints, so that the colours of spare gap on the lines stand out against all of them.
Colour body_colour(BayBody body) {
  switch (body) {
    case BayBody::chassis:
      return {0.80, 0.83, 0.85};
    case BayBody::hood:
      return {0.76, 0.79, 0.82};
    case BayBody::fan:
      return {0.66, 0.69, 0.72};
    case BayBody::on_engine:
      return {0.74, 0.67, 0.63};
    case BayBody::engine:
      return {0.72, 0.73, 0.73};
    case BayBody::drive:
      return {0.60, 0.63, 0.66};
    case BayBody::pump:
      return {0.47, 0.53, 0.60};
    case BayBody::housing:
      return {0.56, 0.50, 0.60};
    case BayBody::intake_base:
    case BayBody::intake_stretch:
    case BayBody::intake_top:
      return {0.84, 0.81, 0.73};
  }
  return {0.8, 0.8, 0.8};
}

namespace {

template <class Counts>
AxisBox box_around(const PaneScene& scene, const Counts& counts) {
  AxisBox out;
  for (const DrawnBody& body : scene.bodies) {
    if (!counts(body)) continue;
    for (const AxisBox& own : body.mesh->boxes) {
      if (own.isEmpty()) continue;
      for (int k = 0; k < 8; ++k)
        out.extend(body.pose.point(own.corner(static_cast<AxisBox::CornerType>(k))));
    }
  }
  for (const auto& tube : scene.tubes)
    if (!tube->box.isEmpty()) out.extend(tube->box);
  return out;
}

}  // namespace

AxisBox box_of(const PaneScene& scene) {
  return box_around(scene, [](const DrawnBody& body) {
    return body.body != index(BayBody::hood) && body.look != BodyLook::hidden;
  });
}

AxisBox focus_of(const PaneScene& scene) {
  return box_around(scene, [](const DrawnBody& body) { return !body.same_in_all; });
}

Section in_the_middle(Section section, const PaneScene& scene) {
  AxisBox box = focus_of(scene);
  if (box.isEmpty()) box = box_of(scene);
  if (!box.isEmpty()) section.at_mm = box.center()[section.axis];
  return section;
}

}  // namespace hosefit
