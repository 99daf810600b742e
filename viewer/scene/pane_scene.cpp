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
      return {0.80F, 0.83F, 0.85F};
    case BayBody::hood:
      return {0.76F, 0.79F, 0.82F};
    case BayBody::fan:
      return {0.66F, 0.69F, 0.72F};
    case BayBody::on_engine:
      return {0.74F, 0.67F, 0.63F};
    case BayBody::engine:
      return {0.72F, 0.73F, 0.73F};
    case BayBody::drive:
      return {0.60F, 0.63F, 0.66F};
    case BayBody::pump:
      return {0.47F, 0.53F, 0.60F};
    case BayBody::housing:
      return {0.56F, 0.50F, 0.60F};
    case BayBody::intake_base:
    case BayBody::intake_stretch:
    case BayBody::intake_top:
      return {0.84F, 0.81F, 0.73F};
  }
  return {0.8F, 0.8F, 0.8F};
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
