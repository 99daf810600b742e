// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/gl/pane_painter.h"

#include <algorithm>
#include <iterator>

namespace hosefit {
namespace {

constexpr Colour kPaper{0.985F, 0.985F, 0.975F};
constexpr Colour kEdge{0.22F, 0.25F, 0.29F};
constexpr Colour kFaintEdge{0.62F, 0.66F, 0.70F};   // of bodies shown in outline
constexpr Colour kSelected{0.80F, 0.475F, 0.655F};  // not a colour of the gap classes
constexpr double kOutlineOfDistance = 0.0013;       // a line of one to two pixels around tubes
constexpr int kStillFrames = 3;

bool same_body(const DrawnBody& a, const DrawnBody& b) {
  return a.mesh == b.mesh && a.body == b.body && a.look == b.look && a.pose.origin_mm == b.pose.origin_mm &&
         a.pose.rotation == b.pose.rotation;
}

bool same_view(const PaneScene& a, const PaneScene& b) {
  return a.camera == b.camera && a.section == b.section && a.selected == b.selected;
}

std::vector<DrawnBody> common(const PaneScene& scene) {
  std::vector<DrawnBody> out;
  std::copy_if(scene.bodies.begin(), scene.bodies.end(), std::back_inserter(out),
               [](const DrawnBody& body) { return body.same_in_all; });
  return out;
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
  if (body.look == BodyLook::solid) {
    glEnable(GL_POLYGON_OFFSET_FILL);
    glPolygonOffset(1, 1);
    program_.set_style(false, 0);
    Program::set_colour(body_colour(static_cast<BayBody>(body.body)));
    if (moving_)
      buffers.draw_coarse();
    else
      buffers.draw_triangles();
    glDisable(GL_POLYGON_OFFSET_FILL);
  }
  if (holds_selected) {  // drawn again in front of itself; in outline too, so that it is found
    const MeshRange& range = body.mesh->obstacles[ref->obstacle];
    program_.set_style(false, 0);
    Program::set_colour(kSelected);
    buffers.draw_triangles(range.first_index, range.index_count);
  }
  program_.set_style(true, 0);
  Program::set_colour(body.look == BodyLook::solid ? kEdge : kFaintEdge);
  buffers.draw_edges();
}

void PanePainter::draw_bodies(const PaneScene& scene, bool same_in_all) {
  for (const DrawnBody& body : scene.bodies)
    if (body.same_in_all == same_in_all) draw_body(scene, body);
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
    buffers.draw_triangles();
    glDisable(GL_CULL_FACE);
    program_.set_style(false, 0);
    program_.set_over(kEdge, 0);
    buffers.draw_triangles();
  }
}

PanePainter::Painted& PanePainter::layer_of(const PaneScene& scene, int width, int height, int samples) {
  const std::vector<DrawnBody> bodies = common(scene);
  for (Painted& layer : layers_)
    if (layer.picture->is(width, height, samples) && same_view(layer.scene, scene) &&
        same_bodies(layer.scene.bodies, bodies)) {
      layer.used = true;
      return layer;
    }
  auto free = std::find_if(layers_.begin(), layers_.end(), [&](const Painted& layer) {
    return !layer.used && layer.picture->is(width, height, samples);
  });
  if (free == layers_.end()) {
    layers_.push_back({std::make_unique<Picture>(width, height, samples), {}, 0, true});
    free = layers_.end() - 1;
  }
  free->used = true;
  free->scene = scene;
  free->scene.bodies = bodies;
  free->scene.tubes.clear();
  free->picture->begin();
  glClearColor(kPaper.r, kPaper.g, kPaper.b, 1);
  glClear(GL_COLOR_BUFFER_BIT | GL_DEPTH_BUFFER_BIT);
  draw_bodies(scene, true);
  return *free;
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
  const Painted& layer = layer_of(scene, width, height, samples);
  pane.picture->copy_from(*layer.picture);
  pane.picture->begin();
  draw_bodies(scene, false);
  draw_tubes(scene);
  pane.picture->finish();
  glDisable(GL_CLIP_DISTANCE0);
  glDisable(GL_DEPTH_TEST);
  ++drawn_;
  return pane.picture->texture();
}

bool PanePainter::end_frame() {
  bool wants_finer = false;
  for (const auto& [slot, pane] : panes_)
    wants_finer = wants_finer || (pane.used && pane.still_frames < kStillFrames);
  std::erase_if(panes_, [](const auto& one) { return !one.second.used; });
  std::erase_if(layers_, [](const Painted& layer) { return !layer.used; });
  for (auto& [slot, pane] : panes_) pane.used = false;
  for (Painted& layer : layers_) layer.used = false;
  buffers_.drop_unused();
  return wants_finer;
}

}  // namespace hosefit
