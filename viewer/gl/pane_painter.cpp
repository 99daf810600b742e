// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/gl/pane_painter.h"

#include <algorithm>
#include <iterator>

namespace hosefit {
namespace {

constexpr Colour kGround{0.985, 0.985, 0.975};
constexpr Colour kEdge{0.22, 0.25, 0.29};
constexpr Colour kFaintEdge{0.62, 0.66, 0.70};   // of bodies shown in outline
constexpr Colour kSelected{0.80, 0.475, 0.655};  // not a colour of the gap classes
constexpr Colour kCutHose{0.42, 0.42, 0.44};     // rubber, whatever the hose is painted with
constexpr double kPale = 0.55;                   // share of paper in the colour of what is dim
constexpr double kOutlineOfDistance = 0.0013;    // a line of one to two pixels around tubes
constexpr int kStillFrames = 3;

bool same_body(const DrawnBody& a, const DrawnBody& b) {
  return a.mesh == b.mesh && a.body == b.body && a.look == b.look && a.pose.origin_mm == b.pose.origin_mm &&
         a.pose.rotation == b.pose.rotation;
}

bool same_view(const PaneScene& a, const PaneScene& b) {
  return a.camera == b.camera && a.section == b.section && a.selected == b.selected;
}

// Those that most panes share and that change least come first; what is drawn is right in any order.
constexpr int kSharedStrata = 3, kOwnStratum = 3;
int stratum_of(const DrawnBody& body) {
  switch (static_cast<BayBody>(body.body)) {
    case BayBody::chassis:
    case BayBody::hood:
    case BayBody::fan:
    case BayBody::on_engine:
    case BayBody::engine:
      return 0;
    case BayBody::intake_base:
    case BayBody::intake_stretch:
    case BayBody::intake_top:
      return 1;
    case BayBody::drive:
      return 2;
    case BayBody::pump:
    case BayBody::housing:
      break;
  }
  return kOwnStratum;
}

std::vector<DrawnBody> below(const PaneScene& scene, int strata) {
  std::vector<DrawnBody> out;
  std::copy_if(scene.bodies.begin(), scene.bodies.end(), std::back_inserter(out),
               [=](const DrawnBody& body) { return stratum_of(body) < strata; });
  return out;
}

void clear_picture() {
  glClearColor(static_cast<float>(kGround.red), static_cast<float>(kGround.green),
               static_cast<float>(kGround.blue), 1);
  glClear(GL_COLOR_BUFFER_BIT | GL_DEPTH_BUFFER_BIT | GL_STENCIL_BUFFER_BIT);
}

bool same_bodies(const std::vector<DrawnBody>& a, const std::vector<DrawnBody>& b) {
  return std::equal(a.begin(), a.end(), b.begin(), b.end(), same_body);
}

}  // namespace

void PanePainter::draw_body(const PaneScene& scene, const DrawnBody& body) {
  if (body.look == BodyLook::hidden) return;
  const MeshBuffers& buffers = buffers_.of(body.mesh);
  program_.set_pose(body.pose);
  const auto* ref = scene.selected ? std::get_if<ObstacleRef>(&*scene.selected) : nullptr;
  const bool holds_selected =
      ref != nullptr && ref->body == body.body && ref->obstacle < body.mesh->obstacles.size();
  if (body.look == BodyLook::solid || body.look == BodyLook::dim) {
    const bool dim = body.look == BodyLook::dim;
    program_.set_dim(dim);
    program_.set_over(kGround, dim ? kPale : 0);
    glEnable(GL_POLYGON_OFFSET_FILL);
    glPolygonOffset(1, 1);
    program_.set_style(false, 0);
    Program::set_colour(body_colour(static_cast<BayBody>(body.body)));
    draw_surface(buffers);
    glDisable(GL_POLYGON_OFFSET_FILL);
    program_.set_dim(false);
    program_.set_over(kGround, 0);
    if (scene.section.on && !dim) {
      draw_cut_faces(scene, buffers, body.pose, body_colour(static_cast<BayBody>(body.body)));
      program_.set_pose(body.pose);
    }
  }
  if (holds_selected) {  // drawn again in front of itself; in outline too, so that it is found
    const MeshRange& range = body.mesh->obstacles[ref->obstacle];
    program_.set_style(false, 0);
    Program::set_colour(kSelected);
    set_sides(range.solid);
    buffers.draw_triangles(range.first_index, range.index_count);
  }
  program_.set_style(true, 0);
  Program::set_colour(body.look == BodyLook::solid ? kEdge : kFaintEdge);
  buffers.draw_edges();
}

// The back of a solid is hidden by its front, or by its cut face: leaving it away saves half the work.
void PanePainter::set_sides(bool solid) {
  if (solid)
    glEnable(GL_CULL_FACE);
  else
    glDisable(GL_CULL_FACE);
  glCullFace(GL_BACK);
}

// Where more backs than fronts are left on a line of sight, it enters a solid through the section: only there
// is the plane drawn. Sheets have no inside.
void PanePainter::draw_cut_faces(const PaneScene& scene, const MeshBuffers& buffers, const Pose& pose,
                                 const Colour& colour) {
  program_.set_pose(pose);
  glDisable(GL_CULL_FACE);
  glDisable(GL_DEPTH_TEST);
  glColorMask(GL_FALSE, GL_FALSE, GL_FALSE, GL_FALSE);
  glEnable(GL_STENCIL_TEST);
  glStencilFunc(GL_ALWAYS, 0, 0xFF);
  glStencilOpSeparate(GL_FRONT, GL_KEEP, GL_KEEP, GL_DECR_WRAP);
  glStencilOpSeparate(GL_BACK, GL_KEEP, GL_KEEP, GL_INCR_WRAP);
  for (const MeshBuffers::Stretch& stretch : buffers.stretches())
    if (stretch.solid) buffers.draw_triangles(stretch);
  glEnable(GL_DEPTH_TEST);
  glColorMask(GL_TRUE, GL_TRUE, GL_TRUE, GL_TRUE);
  glStencilFunc(GL_NOTEQUAL, 0, 0xFF);
  glStencilOp(GL_KEEP, GL_KEEP, GL_KEEP);
  glDisable(GL_CLIP_DISTANCE0);
  program_.set_pose(Pose{});
  program_.set_hatched(true);
  program_.set_over(colour, 1);
  plane_.draw(scene.section, scene.camera);
  program_.set_over(colour, 0);
  program_.set_hatched(false);
  glEnable(GL_CLIP_DISTANCE0);
  glDisable(GL_STENCIL_TEST);
  glClear(GL_STENCIL_BUFFER_BIT);
}

void PanePainter::draw_surface(const MeshBuffers& buffers) {
  const bool rough = moving_ && !buffers.coarse_stretches().empty();
  for (const MeshBuffers::Stretch& stretch : rough ? buffers.coarse_stretches() : buffers.stretches()) {
    set_sides(stretch.solid);
    if (rough)
      buffers.draw_coarse(stretch);
    else
      buffers.draw_triangles(stretch);
  }
}

void PanePainter::draw_bodies(const PaneScene& scene, int stratum) {
  for (const DrawnBody& body : scene.bodies)
    if (stratum_of(body) == stratum) draw_body(scene, body);
}

// A slightly swollen, dark back stands out around each tube as its outline.
void PanePainter::draw_tubes(const PaneScene& scene) {
  program_.set_pose(Pose{});
  const auto* chosen = scene.selected ? std::get_if<SelectedLine>(&*scene.selected) : nullptr;
  for (const auto& tube : scene.tubes) {
    const MeshBuffers& buffers = buffers_.of(tube);
    const bool selected = chosen != nullptr && chosen->line == tube->line;
    glEnable(GL_CULL_FACE);
    glCullFace(GL_FRONT);
    program_.set_style(true, (selected ? 3 : 1) * kOutlineOfDistance * scene.camera.distance_mm);
    program_.set_over(selected ? kSelected : kEdge, 1);
    buffers.draw_triangles(buffers.stretches().front());
    program_.set_style(false, 0);
    program_.set_over(kEdge, 0);
    draw_surface(buffers);
    if (scene.section.on) draw_cut_faces(scene, buffers, Pose{}, kCutHose);
  }
}

const Picture* PanePainter::layer_of(const PaneScene& scene, int strata, int width, int height, int samples) {
  const std::vector<DrawnBody> bodies = below(scene, strata);
  for (Painted& layer : layers_)
    if (layer.strata == strata && layer.picture->is(width, height, samples) &&
        same_view(layer.scene, scene) && same_bodies(layer.scene.bodies, bodies)) {
      layer.used = true;
      return layer.picture.get();
    }
  const Picture* under = strata > 1 ? layer_of(scene, strata - 1, width, height, samples) : nullptr;
  auto free = std::find_if(layers_.begin(), layers_.end(), [&](const Painted& layer) {
    return !layer.used && layer.strata == strata && layer.picture->is(width, height, samples);
  });
  if (free == layers_.end()) {
    layers_.push_back({std::make_unique<Picture>(width, height, samples), {}, 0, 0, true});
    free = layers_.end() - 1;
  }
  free->used = true;
  free->strata = strata;
  free->scene = scene;
  free->scene.bodies = bodies;
  free->scene.tubes.clear();
  if (under != nullptr) free->picture->copy_from(*under);
  free->picture->begin();
  if (under == nullptr) clear_picture();
  draw_bodies(scene, strata - 1);
  return free->picture.get();
}

GLuint PanePainter::paint(std::size_t slot, const PaneScene& scene, int width, int height) {
  Painted& pane = panes_[slot];
  pane.used = true;
  const bool same = pane.picture && same_view(pane.scene, scene) && pane.scene.tubes == scene.tubes &&
                    same_bodies(pane.scene.bodies, scene.bodies) &&
                    (pane.picture->is(width, height, 1) || pane.picture->is(width, height, samples_));
  pane.still_frames = same ? pane.still_frames + 1 : 0;
  const int samples = pane.still_frames >= kStillFrames ? samples_ : 1;
  if (same && (pane.still_frames < kStillFrames || pane.picture->is(width, height, samples)))
    return pane.picture->texture();
  if (!pane.picture || !pane.picture->is(width, height, samples))
    pane.picture = std::make_unique<Picture>(width, height, samples);
  // A layer that only one pane looks at pays when the next picture is seen from the same place.
  const bool turning = pane.still_frames == 0 && !same_view(pane.scene, scene);
  const int strata = plainly_ ? 0 : panes_before_ > 1 ? kSharedStrata : turning ? 0 : 1;
  pane.scene = scene;
  glEnable(GL_DEPTH_TEST);
  glEnable(GL_MULTISAMPLE);
  moving_ = samples != samples_;
  if (scene.section.on) glEnable(GL_CLIP_DISTANCE0);
  glDisable(GL_BLEND);
  glDisable(GL_CULL_FACE);
  glDisable(GL_SCISSOR_TEST);
  program_.use(scene.camera, static_cast<double>(width) / height, scene.section);
  program_.set_over(kEdge, 0);
  if (strata > 0) pane.picture->copy_from(*layer_of(scene, strata, width, height, samples));
  pane.picture->begin();
  if (strata == 0) clear_picture();
  for (int stratum = strata; stratum <= kOwnStratum; ++stratum) draw_bodies(scene, stratum);
  draw_tubes(scene);
  pane.picture->finish();
  glDisable(GL_CULL_FACE);
  glDisable(GL_CLIP_DISTANCE0);
  glDisable(GL_DEPTH_TEST);
  ++drawn_;
  return pane.picture->texture();
}

// Vehicle and engine as a pane on screen sees them: wanted as soon as the intake moves.
bool PanePainter::may_serve_again(const Painted& layer) const {
  return layer.strata == 1 && std::any_of(panes_.begin(), panes_.end(), [&](const auto& one) {
           return same_view(one.second.scene, layer.scene) && one.second.picture->same_size(*layer.picture);
         });
}

void PanePainter::draw_plainly(bool on) {
  plainly_ = on;
  panes_.clear();
  layers_.clear();
}

bool PanePainter::end_frame() {
  bool wants_finer = false;
  for (const auto& [slot, pane] : panes_)
    wants_finer = wants_finer || (pane.used && pane.still_frames < kStillFrames);
  std::erase_if(panes_, [](const auto& one) { return !one.second.used; });
  std::erase_if(layers_, [this](const Painted& layer) { return !layer.used && !may_serve_again(layer); });
  panes_before_ = panes_.size();
  for (auto& [slot, pane] : panes_) pane.used = false;
  for (Painted& layer : layers_) layer.used = false;
  buffers_.drop_unused();
  return wants_finer;
}

}  // namespace hosefit
