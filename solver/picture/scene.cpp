// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/picture/scene.h"

#include <algorithm>

#include "solver/picture/spot.h"
#include "solver/verify/spare_along.h"
#include "solver/view/line_bands.h"
#include "solver/view/line_tube.h"
#include "solver/view/tube_mesh.h"

namespace hosefit {
namespace {

// Round parts are drawn this exactly; at the default size a pixel is about 1 mm.
constexpr double kPartsSag_mm = 0.12;
constexpr double kLinesSag_mm = 0.05;
constexpr double kWall_mm = 2.0;  // of a neck that states no bore

Colour body_tone(std::size_t body) {
  switch (static_cast<BayBody>(body)) {
    case BayBody::engine:
      return {0.70, 0.72, 0.75};
    case BayBody::pump:
      return {0.53, 0.62, 0.68};
    case BayBody::housing:
      return {0.60, 0.69, 0.72};
    case BayBody::drive:
      return {0.66, 0.66, 0.67};
    case BayBody::intake_base:
    case BayBody::intake_stretch:
    case BayBody::intake_top:
      return {0.82, 0.80, 0.75};
    default:
      return colour_of(Hazard::smooth_metal);
  }
}

Colour part_colour(std::size_t body, Hazard hazard) {
  return hazard == Hazard::smooth_metal ? body_tone(body) : colour_of(hazard);
}

void move(TriangleMesh& mesh, const Pose& pose) {
  for (Vec3& v : mesh.vertices_mm) v = pose.point(v);
}

void add_parts(const Bay& bay, Scene& scene) {
  for (std::size_t b = 0; b < bay.bodies.size(); ++b)
    for (std::size_t o = 0; o < bay.bodies[b].body->obstacles.size(); ++o) {
      const Obstacle& obstacle = bay.bodies[b].body->obstacles[o];
      SceneItem item;
      item.name = obstacle.name;
      item.group = scene.groups++;
      item.colour = part_colour(b, obstacle.hazard);
      item.mesh = tessellate(obstacle.shape, kPartsSag_mm);
      item.closed = obstacle.closed;
      item.obstacle = ObstacleRef{b, o};
      item.body = b;
      move(item.mesh, bay.bodies[b].pose);
      scene.items.push_back(std::move(item));
    }
}

Centreline straight(const Vec3& from_mm, const Vec3& to_mm) {
  return Centreline{{Straight{from_mm, to_mm}}};
}

// The ends of a tee without a place: they are nowhere.
bool is_nowhere(const Bay& bay, std::size_t neck) {
  return bay.tee && !bay.tee->stands && neck >= bay.tee->neck;
}

void add_necks(const Bay& bay, Scene& scene) {
  for (std::size_t n = 0; n < bay.necks.size(); ++n) {
    if (is_nowhere(bay, n)) continue;
    const PlacedNeck& neck = bay.necks[n];
    SceneItem item;
    item.name = neck.name;
    item.kind = SceneKind::neck;
    item.group = scene.groups++;
    item.colour = mixed(body_tone(neck.body), kInk, 0.15);
    const double length = std::max(neck.straight.mm(), kWall_mm);
    item.mesh = tube_mesh(straight(neck.end_mm - length * neck.outward, neck.end_mm),
                          neck.outside_diameter.mm() / 2, kLinesSag_mm)
                    .mesh;
    item.body = neck.body;
    scene.items.push_back(std::move(item));
  }
}

SceneLine line_of(const Bay& bay, std::size_t line) {
  SceneLine out;
  out.name = bay.lines[line].line.name;
  out.from_mm = bay.necks[bay.lines[line].from].end_mm;
  out.to_mm = bay.necks[bay.lines[line].to].end_mm;
  // What leads to a tee that stands nowhere is drawn as a point at its other end.
  if (is_nowhere(bay, bay.lines[line].from)) out.from_mm = out.to_mm;
  if (is_nowhere(bay, bay.lines[line].to)) out.to_mm = out.from_mm;
  return out;
}

void judge_line(const LineProof& proof, SceneLine& line) {
  line.proved = proof.proved;
  const GapRecord* gap = tightest_of(proof);
  const double spare = gap == nullptr ? ProofOptions::kRecorded_mm : gap->found_mm - gap->required_mm;
  const SpareClass spare_here = spare_class(spare);
  if (!proof.proved && spare_here != SpareClass::is_short) return;
  line.spare = spare_here;
  if (gap == nullptr) return;
  line.least_spare_mm = spare;
  line.tightest = gap->other;
}

void add_route(const Route& route, const SceneLine& line, const std::vector<ClassStretch>& classes,
               Scene& scene) {
  SceneItem item;
  item.name = line.name;
  item.kind = SceneKind::line;
  item.group = scene.groups++;
  item.line = route.line;
  item.colour = colour_of(line.spare);
  LineTube tube = line_tube(route, classes, kLinesSag_mm);
  item.mesh = std::move(tube.mesh);
  item.colours = std::move(tube.colours);
  if (!item.mesh.triangles.empty()) scene.items.push_back(std::move(item));
}

void add_lines(const Prepared& prepared, const Bay& bay, const CandidateResult& result, Scene& scene) {
  for (std::size_t l = 0; l < bay.lines.size(); ++l) scene.lines.push_back(line_of(bay, l));
  if (result.routes.empty()) return;
  const ProofBodies bodies(bay, prepared.proofs());
  const Job& job = prepared.job();
  for (std::size_t r = 0; r < result.routes.size(); ++r) {
    const Route& route = result.routes[r];
    SceneLine& line = scene.lines[route.line];
    line.routed = true;
    const bool judged = r < result.proof.lines.size() && result.proof.lines[r].line == route.line;
    if (judged) judge_line(result.proof.lines[r], line);
    const LineProof* proof = line.proved ? &result.proof.lines[r] : nullptr;
    add_route(
        route, line,
        classes_along(spare_along(bay, bodies, result.routes, r, job.gaps, job.stock, proof), line.proved),
        scene);
  }
}

}  // namespace

Scene scene_of(const Prepared& prepared, const Bay& bay, const CandidateResult& result) {
  Scene scene;
  add_parts(bay, scene);
  add_necks(bay, scene);
  add_lines(prepared, bay, result, scene);
  scene.spot = deciding_spot(bay, scene, result);
  return scene;
}

std::vector<Vec3> vertices_of(const Scene& scene) {
  std::vector<Vec3> out;
  for (const SceneItem& item : scene.items)
    out.insert(out.end(), item.mesh.vertices_mm.begin(), item.mesh.vertices_mm.end());
  return out;
}

}  // namespace hosefit
