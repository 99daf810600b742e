// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/picture/views.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace hosefit {
namespace {

constexpr double kFar_mm = 1e6;
constexpr double kPast_mm = 0.05;      // step behind a surface to look for the next one
constexpr int kLooks = 96;             // rays along the longer side of the box
constexpr double kCoversShare = 0.03;  // of what is seen of the lines; less is worth a glance round it
constexpr double kCloseUp_mm = 260;    // shown height around the spot; a hose is about 45 mm thick
constexpr double kAround_mm = 45;      // what of the spot must be seen
constexpr double kCutBefore_mm = 90;   // what stands nearer to the viewer is cut away
constexpr double kFadesFrom_mm = 110;  // behind the spot
constexpr int kAroundRays = 24;
constexpr double kHidesShare = 0.15;

bool see_through_always(const SceneItem& item, const Vec3& towards) {
  return item.obstacle && item.body == index(BayBody::hood) && towards.z() > -0.9;
}

// Only what stands still around the engine: parts of the candidate are what the picture is about.
bool may_be_glass(const SceneItem& item) {
  return item.kind == SceneKind::part &&
         (is_of_chassis(item.body) || item.body == index(BayBody::hood) || item.body == index(BayBody::fan));
}

// Counts for each item how often it stands before a point on a ray.
void count_covers(const Caster& all, const Ray& ray, double end_mm, std::vector<int>& covers) {
  std::vector<bool> met(covers.size(), false);
  for (double from = 0; from < end_mm;) {
    const auto hit = all.first_solid(ray, from, end_mm);
    if (!hit) return;
    if (!met[hit->item]) ++covers[hit->item];
    met[hit->item] = true;
    from = hit->along_mm + kPast_mm;
  }
}

std::vector<Layer> layers_for(const Scene& scene, const Camera& camera, const PixelBox& box) {
  const Caster all(scene, std::vector<Layer>(scene.items.size(), Layer::solid));
  std::vector<int> covers(scene.items.size(), 0);
  int looked = 0;
  const double step = std::max(box.width(), box.height()) / kLooks;
  const int rows = static_cast<int>(std::ceil(box.height() / step - 0.5));
  const int columns = static_cast<int>(std::ceil(box.width() / step - 0.5));
  for (int row = 0; row < rows; ++row)
    for (int column = 0; column < columns; ++column) {
      const Ray ray = ray_through(camera, box.left + (column + 0.5) * step, box.top + (row + 0.5) * step);
      const auto line = all.first_line(ray, 0, kFar_mm);
      if (!line) continue;
      ++looked;
      count_covers(all, ray, line->along_mm - kPast_mm, covers);
    }
  std::vector<Layer> layers(scene.items.size(), Layer::solid);
  for (std::size_t i = 0; i < layers.size(); ++i)
    if (see_through_always(scene.items[i], camera.towards) ||
        (may_be_glass(scene.items[i]) && covers[i] > kCoversShare * looked))
      layers[i] = Layer::glass;
  return layers;
}

std::vector<Vec3> directions() {
  std::vector<Vec3> out;
  for (int x = -1; x <= 1; ++x)
    for (int y = -1; y <= 1; ++y)
      for (int z = -1; z <= 1; ++z)
        if (x != 0 || y != 0 || z != 0) out.push_back(Vec3(x, y, z).normalized());
  return out;
}

bool is_of_spot(const SceneItem& item, const DecidingSpot& spot) {
  return item.kind == SceneKind::line || item.name == spot.first || item.name == spot.other;
}

Vec3 middle_of(const DecidingSpot& spot) {
  return spot.has_gap ? Vec3((spot.first_mm + spot.second_mm) / 2) : spot.where_mm;
}

// How often each item hides the surroundings of the spot.
std::vector<int> covers_at(const Scene& scene, const Caster& all, const Camera& camera, double before_mm) {
  std::vector<int> covers(scene.items.size(), 0);
  for (int i = 0; i < kAroundRays; ++i) {
    // Spread evenly over the disc (sunflower).
    const double r = kAround_mm * std::sqrt((i + 0.5) / kAroundRays);
    const double t = i * std::numbers::pi * (3 - std::sqrt(5.0));
    const Vec3 p = camera.target_mm + r * std::cos(t) * camera.right + r * std::sin(t) * camera.up;
    const Ray ray{p + before_mm * camera.towards, -camera.towards};
    count_covers(all, ray, before_mm - kPast_mm, covers);
  }
  return covers;
}

// Ways to look square at the gap.
std::vector<Vec3> directions(const DecidingSpot& spot) {
  std::vector<Vec3> out = directions();
  if (!spot.has_gap) return out;
  const Vec3 gap = spot.second_mm - spot.first_mm;
  const Vec3 side = any_perpendicular(gap);
  const Vec3 other = gap.normalized().cross(side);
  for (int i = 0; i < 24; ++i) {
    const double t = 2 * std::numbers::pi * i / 24;
    out.push_back(std::cos(t) * side + std::sin(t) * other);
  }
  return out;
}

double worth(const Scene& scene, const DecidingSpot& spot, const Camera& camera,
             const std::vector<int>& covers) {
  const Vec3 gap = spot.second_mm - spot.first_mm;
  const double apart = spot.has_gap ? gap.normalized().cross(camera.towards).norm() : 0.5;
  int hidden = 0;
  for (std::size_t i = 0; i < covers.size(); ++i)
    if (!is_of_spot(scene.items[i], spot)) hidden += covers[i];
  int own = 0;
  for (std::size_t i = 0; i < covers.size(); ++i)
    if (is_of_spot(scene.items[i], spot)) own = std::max(own, covers[i]);
  // From above and from straight sides a fitter reads a picture at once.
  const double homely = (camera.towards.z() < -0.2 ? -0.8 : 0.15 * camera.towards.z()) +
                        0.7 * camera.towards.cwiseAbs().maxCoeff();
  return 2 * apart - 0.5 * std::min(2.0, double(hidden) / kAroundRays) - 0.6 * own / kAroundRays + homely;
}

}  // namespace

View view_from(const Scene& scene, Side side, const PixelBox& box) {
  View view;
  view.camera = fitted(looking_from(side), vertices_of(scene), box);
  view.layers = layers_for(scene, view.camera, box);
  return view;
}

std::optional<View> close_up(const Scene& scene, const PixelBox& box) {
  if (!scene.spot) return std::nullopt;
  const DecidingSpot& spot = *scene.spot;
  AxisBox bounds;
  for (const Vec3& v : vertices_of(scene)) bounds.extend(v);
  const Caster all(scene, std::vector<Layer>(scene.items.size(), Layer::solid));
  std::optional<View> best;
  double best_worth = 0;
  for (const Vec3& towards : directions(spot)) {
    Camera camera = looking(towards, Vec3::UnitZ(), Projection::orthographic);
    camera.target_mm = middle_of(spot);
    camera.distance_mm = bounds.diagonal().norm();
    camera.middle_px = {(box.left + box.right) / 2, (box.top + box.bottom) / 2};
    camera.px_per_mm = std::min(box.width(), box.height()) / kCloseUp_mm;
    const std::vector<int> covers = covers_at(scene, all, camera, kCutBefore_mm);
    const double here = worth(scene, spot, camera, covers);
    if (best && here <= best_worth) continue;
    best_worth = here;
    best = View{camera, std::vector<Layer>(scene.items.size(), Layer::solid),
                Cut{camera.target_mm + kCutBefore_mm * camera.towards, camera.towards}, kFadesFrom_mm};
    for (std::size_t i = 0; i < covers.size(); ++i)
      if (!is_of_spot(scene.items[i], spot) && covers[i] > kHidesShare * kAroundRays)
        best->layers[i] = Layer::glass;
  }
  return best;
}

}  // namespace hosefit
