// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/picture/looks.h"

#include <algorithm>
#include <cmath>

#include "solver/view/shading_normals.h"

namespace hosefit {
namespace {

constexpr double kCrease_rad = 0.60;  // sharper bends keep two normals
constexpr float kEdgeCosine = 0.76F;  // normals further apart (40 deg) show an edge; round parts do not
constexpr double kStandOff = 3.0;     // samples that a surface must stand off its neighbour to show an edge
constexpr float kFlush_mm = 0.4F, kFlushCosine = 0.97F;
constexpr std::uint32_t kNoBody = 1000;  // necks and lines: their ends always show
constexpr double kFar_mm = 1e6;
// A cut asks for what lies this far behind it, so that a face just in the cut is either wholly cut or not.
constexpr double kBehindCut_mm = 0.02;

// Where along the ray the part begins that the cut leaves, and where it ends.
std::pair<double, double> kept(const View& view, const Ray& r) {
  if (!view.cut) return {0, kFar_mm};
  const double height = (r.origin_mm - view.cut->point_mm).dot(view.cut->normal);
  const double rise = r.direction.dot(view.cut->normal);
  if (std::abs(rise) < 1e-12) return height > 0 ? std::pair(kFar_mm, kFar_mm) : std::pair(0.0, kFar_mm);
  const double at = -height / rise;
  return rise < 0 ? std::pair(std::max(0.0, at), kFar_mm) : std::pair(0.0, std::min(at, kFar_mm));
}

// Solids of one body that run into each other flush: there is no edge, and where they overlap none can be
// told.
bool flush(const Sample& a, const Sample& b) {
  const Eigen::Vector3f apart = b.p_mm - a.p_mm;
  return std::abs(a.normal.dot(apart)) < kFlush_mm && std::abs(b.normal.dot(apart)) < kFlush_mm &&
         a.normal.dot(b.normal) > kFlushCosine;
}

bool alike(const Sample& a, const Sample& b, double step_mm) {
  if (a.item == kNoItem && b.item == kNoItem) return true;
  return edge_between(a, b, step_mm) == Edge::none && *a.colour == *b.colour;
}

}  // namespace

Edge edge_between(const Sample& a, const Sample& b, double step_mm) {
  if (a.item == b.item && a.triangle == b.triangle && a.cut_face == b.cut_face) return Edge::none;
  if (a.item == kNoItem || b.item == kNoItem || a.cut_face != b.cut_face) return Edge::outline;
  // A section through one thing has one face, and so have solids of one colour that overlap.
  if (a.cut_face) return a.group == b.group || *a.colour == *b.colour ? Edge::none : Edge::outline;
  if (a.group != b.group)
    return a.body == b.body && a.body != kNoBody && flush(a, b) ? Edge::none : Edge::outline;
  const Eigen::Vector3f apart = b.p_mm - a.p_mm;
  const double off = std::min(std::abs(a.normal.dot(apart)), std::abs(b.normal.dot(apart)));
  if (off > kStandOff * step_mm) return Edge::outline;
  return a.normal.dot(b.normal) < kEdgeCosine ? Edge::crease : Edge::none;
}

bool alike(const Samples& a, const Samples& b, double step_mm) {
  return alike(a.solid, b.solid, step_mm) && alike(a.glass, b.glass, step_mm) &&
         alike(a.behind, b.behind, step_mm);
}

Looks::Looks(const Scene& scene, const View& view, Threads threads)
    : scene_(scene), view_(view), caster_(scene, view.layers, view.cut.has_value()) {
  normals_.resize(scene.items.size());
  parallel_for(scene.items.size(), threads,
               [&](std::size_t i) { normals_[i] = corner_normals(scene.items[i].mesh, kCrease_rad); });
}

Sample Looks::sample(const RayHit& hit, const Ray& ray) const {
  const SceneItem& item = scene_.items[hit.item];
  Sample out;
  out.item = static_cast<std::int32_t>(hit.item);
  out.group = static_cast<std::uint32_t>(item.group);
  out.body = item.kind == SceneKind::part ? static_cast<std::uint32_t>(item.body) : kNoBody;
  out.triangle = static_cast<std::uint32_t>(hit.triangle);
  out.colour = &colour_at(item, hit.triangle);
  out.p_mm = (ray.origin_mm + hit.along_mm * ray.direction).cast<float>();
  const auto& n = normals_[hit.item][hit.triangle];
  const auto u = static_cast<float>(hit.u), v = static_cast<float>(hit.v);
  out.normal = ((1 - u - v) * n[0] + u * n[1] + v * n[2]).normalized();
  if (hit.normal.dot(ray.direction) > 0) out.normal = -out.normal;
  return out;
}

Sample Looks::cut_face(const RayHit& hit, const Vec3& p_mm) const {
  Sample out = sample(hit, {p_mm, -view_.cut->normal});
  out.cut_face = true;
  out.normal = view_.cut->normal.cast<float>();
  out.p_mm = p_mm.cast<float>();
  return out;
}

std::vector<Samples> Looks::at(std::span<const Vec2> places_px) const {
  std::vector<RayRange> ranges;
  ranges.reserve(places_px.size());
  for (const Vec2& place : places_px) {
    const Ray ray = ray_through(view_.camera, place.x(), place.y());
    const auto part = kept(view_, ray);
    ranges.push_back({ray, part.first, part.second});
  }
  std::vector<std::optional<RayHit>> hits(ranges.size());
  caster_.first(Among::solid, ranges, hits);
  std::vector<Samples> out(ranges.size());
  std::vector<RayRange> behind = ranges;
  for (std::size_t i = 0; i < ranges.size(); ++i) {
    RayRange& before = ranges[i];
    const double from = before.from_mm, to = before.to_mm;
    std::optional<RayHit> section;
    const Vec3 at_cut = before.ray.origin_mm + from * before.ray.direction;
    if (view_.cut && from > 0 && hits[i])
      section = caster_.around(at_cut + kBehindCut_mm * before.ray.direction, before.ray.direction);
    if (section) {
      out[i].solid = cut_face(*section, at_cut);
      before.to_mm = from;
    } else if (hits[i]) {
      out[i].solid = sample(*hits[i], before.ray);
      before.to_mm = hits[i]->along_mm;
    }
    const std::int32_t seen = out[i].solid.item;
    const bool hides =
        seen != kNoItem && scene_.items[static_cast<std::size_t>(seen)].kind != SceneKind::line;
    behind[i].from_mm = before.to_mm;
    behind[i].to_mm = hides ? to : before.to_mm;
  }
  caster_.first(Among::lines, behind, hits);
  for (std::size_t i = 0; i < hits.size(); ++i)
    if (hits[i]) out[i].behind = sample(*hits[i], behind[i].ray);
  caster_.first(Among::glass, ranges, hits);
  for (std::size_t i = 0; i < hits.size(); ++i)
    if (hits[i]) out[i].glass = sample(*hits[i], ranges[i].ray);
  return out;
}

}  // namespace hosefit
