// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/picture/render.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <limits>

#include "solver/picture/shading_normals.h"

namespace hosefit {
namespace {

constexpr double kCrease_rad = 0.60;  // sharper bends keep two normals
constexpr float kEdgeCosine = 0.76F;  // normals further apart (40 deg) show an edge; round parts do not
constexpr double kStandOff = 3.0;     // samples that a surface must stand off its neighbour to show an edge
constexpr double kFlush_mm = 0.4, kFlushCosine = 0.97;
constexpr std::size_t kNoBody = 1000;  // necks and lines: their ends always show
constexpr double kFar_mm = 1e6;
constexpr int kBandRows = 8;     // pixel rows per piece of work; does not change the picture
constexpr int kSamples = 2;      // rays per pixel along each side
constexpr double kHatch_px = 7;  // between strokes on cut faces

constexpr double kFadeDepth_mm = 260, kFadeMost = 0.8;
constexpr double kGlassTint = 0.10, kGlassInk = 0.42;
constexpr double kHiddenTint = 0.30, kHiddenInk = 0.30;
constexpr double kOutlineInk = 0.78, kCreaseInk = 0.50;

using Normals = std::vector<std::array<Eigen::Vector3f, 3>>;

// What one ray met on one layer.
struct Sample {
  std::int32_t item = kNoItem;
  std::size_t group = 0, body = 0, triangle = 0;
  Vec3 p_mm = Vec3::Zero(), normal = Vec3::Zero();  // normal towards the eye
  double along_mm = 0;
  bool cut_face = false;
  const Colour* colour = nullptr;  // of the item
};

struct Samples {
  Sample solid, glass, behind;  // behind: the foremost line that the solid hides
};

struct Painter {
  const Scene& scene;
  const View& view;
  const Caster& caster;
  std::vector<Normals> normals;
  Size size;

  Ray ray(int column, int row) const {
    return ray_through(view.camera, (column + 0.5) / kSamples, (row + 0.5) / kSamples);
  }

  // Where along the ray the part begins that the cut leaves, and where it ends.
  std::pair<double, double> kept(const Ray& r) const {
    if (!view.cut) return {0, kFar_mm};
    const double height = (r.origin_mm - view.cut->point_mm).dot(view.cut->normal);
    const double rise = r.direction.dot(view.cut->normal);
    if (std::abs(rise) < 1e-12) return height > 0 ? std::pair(kFar_mm, kFar_mm) : std::pair(0.0, kFar_mm);
    const double at = -height / rise;
    return rise < 0 ? std::pair(std::max(0.0, at), kFar_mm) : std::pair(0.0, std::min(at, kFar_mm));
  }

  Sample sample(const RayHit& hit, const Ray& r) const {
    Sample out;
    out.item = static_cast<std::int32_t>(hit.item);
    out.group = scene.items[hit.item].group;
    out.body = scene.items[hit.item].kind == SceneKind::part ? scene.items[hit.item].body : kNoBody;
    out.triangle = hit.triangle;
    out.colour = &scene.items[hit.item].colour;
    out.along_mm = hit.along_mm;
    out.p_mm = r.origin_mm + hit.along_mm * r.direction;
    const auto& n = normals[hit.item][hit.triangle];
    out.normal = ((1 - hit.u - hit.v) * n[0].cast<double>() + hit.u * n[1].cast<double>() +
                  hit.v * n[2].cast<double>())
                     .normalized();
    if (hit.normal.dot(r.direction) > 0) out.normal = -out.normal;
    return out;
  }

  // The solid that the cut goes through: its inside is the last thing met before the cut, or else the first
  // behind it. Both are asked, since where one solid begins just where another ends either of them may be
  // met.
  std::optional<RayHit> cut_solid(const Ray& r, double at, const RayHit& behind) const {
    const Ray back{r.origin_mm + at * r.direction, -r.direction};
    const auto before = caster.first_solid(back, 0, kFar_mm);
    if (before && scene.items[before->item].closed && before->normal.dot(back.direction) > 0) return before;
    if (scene.items[behind.item].closed && behind.normal.dot(r.direction) > 0) return behind;
    return std::nullopt;
  }

  Samples look(const Ray& r) const {
    Samples out;
    const auto [from, to] = kept(r);
    double end = to;
    if (const auto hit = caster.first_solid(r, from, to)) {
      out.solid = sample(*hit, r);
      end = hit->along_mm;
      const auto cut = view.cut && from > 0 ? cut_solid(r, from, *hit) : std::nullopt;
      if (cut) {
        out.solid = sample(*cut, r);
        out.solid.cut_face = true;
        out.solid.normal = view.cut->normal;
        out.solid.p_mm = r.origin_mm + from * r.direction;
        out.solid.along_mm = end = from;
      }
      if (scene.items[static_cast<std::size_t>(out.solid.item)].kind != SceneKind::line)
        if (const auto line = caster.first_line(r, end, to)) out.behind = sample(*line, r);
    }
    if (const auto hit = caster.first_glass(r, from, end)) out.glass = sample(*hit, r);
    return out;
  }
};

// Linear in what the eye takes for brightness is good enough for quiet drawings: colours stay in sRGB.
Colour lit(const Colour& colour, const Vec3& normal, const Camera& camera) {
  const Vec3 key = (0.55 * camera.up - 0.45 * camera.right + 0.75 * camera.towards).normalized();
  const Vec3 fill = (0.1 * camera.up + 0.8 * camera.right + 0.5 * camera.towards).normalized();
  const double light = 0.66 + 0.34 * std::max(0.0, normal.dot(key)) + 0.12 * std::max(0.0, normal.dot(fill)) +
                       0.05 * std::max(0.0, normal.dot(camera.towards));
  if (light <= 1) return {colour.red * light, colour.green * light, colour.blue * light};
  return mixed(colour, {1, 1, 1}, std::min(1.0, light - 1));
}

enum class Edge { none, crease, outline };

// Between two samples beside each other on one layer. step_mm: how far apart they are on the picture.
// Solids of one body that run into each other flush: there is no edge, and where they overlap none can be
// told.
bool flush(const Sample& a, const Sample& b) {
  const Vec3 apart = b.p_mm - a.p_mm;
  return std::abs(a.normal.dot(apart)) < kFlush_mm && std::abs(b.normal.dot(apart)) < kFlush_mm &&
         a.normal.dot(b.normal) > kFlushCosine;
}

Edge edge_between(const Sample& a, const Sample& b, double step_mm) {
  if (a.item == b.item && a.triangle == b.triangle && a.cut_face == b.cut_face) return Edge::none;
  if (a.item == kNoItem || b.item == kNoItem || a.cut_face != b.cut_face) return Edge::outline;
  // Where solids overlap a cut shows either; faces of one colour are one face.
  if (a.cut_face) return *a.colour == *b.colour ? Edge::none : Edge::outline;
  if (a.group != b.group)
    return a.body == b.body && a.body != kNoBody && flush(a, b) ? Edge::none : Edge::outline;
  const Vec3 apart = b.p_mm - a.p_mm;
  const double off = std::min(std::abs(a.normal.dot(apart)), std::abs(b.normal.dot(apart)));
  if (off > kStandOff * step_mm) return Edge::outline;
  return a.normal.dot(b.normal) < kEdgeCosine ? Edge::crease : Edge::none;
}

// Rows of samples first_row .. with one more row above and below and one more column on each side.
class Band {
 public:
  Band(const Painter& painter, int first_row, int rows)
      : columns_(painter.size.width * kSamples), first_row_(first_row), rows_(rows) {
    samples_.resize(static_cast<std::size_t>(columns_ + 2) * static_cast<std::size_t>(rows_ + 2));
    for (int row = -1; row <= rows_; ++row)
      for (int column = -1; column <= columns_; ++column)
        samples_[at(column, row)] = painter.look(painter.ray(column, first_row_ + row));
  }
  const Samples& sample(int column, int row) const { return samples_[at(column, row)]; }

  // The strongest edge of a sample: outlines are drawn on both sides, creases on one.
  Edge edge(Sample Samples::*layer, int column, int row, double step_mm) const {
    const Sample& here = sample(column, row).*layer;
    const auto with = [&](int c, int r) {
      return edge_between(here, sample(column + c, row + r).*layer, step_mm);
    };
    const Edge after = std::max(with(1, 0), with(0, 1));
    const Edge before = std::max(with(-1, 0), with(0, -1));
    return before == Edge::outline ? Edge::outline : after;
  }

 private:
  std::size_t at(int column, int row) const {
    return static_cast<std::size_t>(row + 1) * static_cast<std::size_t>(columns_ + 2) +
           static_cast<std::size_t>(column + 1);
  }
  int columns_, first_row_, rows_;
  std::vector<Samples> samples_;
};

Colour inked(const Colour& under, Edge edge, double strength) {
  if (edge == Edge::none) return under;
  return mixed(under, kInk, strength * (edge == Edge::outline ? 1.0 : kCreaseInk / kOutlineInk));
}

Colour surface(const Painter& painter, const Sample& s, int column, int row) {
  if (s.item == kNoItem) return kPaper;
  const Colour& own = painter.scene.items[static_cast<std::size_t>(s.item)].colour;
  if (!s.cut_face) return lit(own, s.normal, painter.view.camera);
  const double along = std::fmod((column + row) / (kSamples * std::sqrt(2.0)), kHatch_px);
  return mixed(mixed(own, {1, 1, 1}, 0.45), kInk, along < 1.0 ? 0.55 : 0.0);
}

double faded(const Painter& painter, const Sample& s) {
  if (!painter.view.fades_from_mm || s.item == kNoItem) return 0;
  const Camera& camera = painter.view.camera;
  const double behind = -camera.towards.dot(s.p_mm - camera.target_mm) - *painter.view.fades_from_mm;
  return std::clamp(behind / kFadeDepth_mm, 0.0, 1.0) * kFadeMost;
}

Colour sample_colour(const Painter& painter, const Band& band, int column, int row, int in_band) {
  const Samples& s = band.sample(column, in_band);
  const double step = 1.0 / (kSamples * painter.view.camera.px_per_mm);
  Colour out = surface(painter, s.solid, column, row);
  out = inked(out, band.edge(&Samples::solid, column, in_band, step), kOutlineInk);
  out = mixed(out, kPaper, faded(painter, s.solid));
  if (s.behind.item != kNoItem) {
    const double near = 1 - faded(painter, s.behind);
    out = mixed(out, painter.scene.items[static_cast<std::size_t>(s.behind.item)].colour, kHiddenTint * near);
    out = inked(out, band.edge(&Samples::behind, column, in_band, step), kHiddenInk * near);
  }
  if (s.glass.item != kNoItem)
    out = mixed(out, painter.scene.items[static_cast<std::size_t>(s.glass.item)].colour, kGlassTint);
  return inked(out, band.edge(&Samples::glass, column, in_band, step), kGlassInk);
}

std::uint8_t byte_of(double share) {
  return static_cast<std::uint8_t>(std::lround(255 * std::clamp(share, 0.0, 1.0)));
}

void paint_band(const Painter& painter, int first_row, int rows, Rendering& out) {
  const Band band(painter, first_row * kSamples, rows * kSamples);
  for (int y = 0; y < rows; ++y)
    for (int x = 0; x < painter.size.width; ++x) {
      Colour sum;
      for (int sub = 0; sub < kSamples * kSamples; ++sub) {
        const int column = x * kSamples + sub % kSamples;
        const int in_band = y * kSamples + sub / kSamples;
        const Colour c = sample_colour(painter, band, column, first_row * kSamples + in_band, in_band);
        sum = {sum.red + c.red, sum.green + c.green, sum.blue + c.blue};
      }
      const auto pixel =
          static_cast<std::size_t>(first_row + y) * static_cast<std::size_t>(painter.size.width) +
          static_cast<std::size_t>(x);
      constexpr double share = 1.0 / (kSamples * kSamples);
      out.image.rgb[3 * pixel] = byte_of(sum.red * share);
      out.image.rgb[3 * pixel + 1] = byte_of(sum.green * share);
      out.image.rgb[3 * pixel + 2] = byte_of(sum.blue * share);
      const Samples& middle = band.sample(x * kSamples + kSamples / 2, y * kSamples + kSamples / 2);
      out.solid_at[pixel] = middle.solid.item;
      out.glass_at[pixel] = middle.glass.item;
    }
}

}  // namespace

Rendering render(const Scene& scene, const View& view, Size size, Threads threads) {
  assert(size.width > 0 && size.height > 0 && view.layers.size() == scene.items.size());
  const Caster caster(scene, view.layers);
  Painter painter{scene, view, caster, {}, size};
  painter.normals.resize(scene.items.size());
  parallel_for(scene.items.size(), threads,
               [&](std::size_t i) { painter.normals[i] = corner_normals(scene.items[i].mesh, kCrease_rad); });
  Rendering out;
  const std::size_t pixels = static_cast<std::size_t>(size.width) * static_cast<std::size_t>(size.height);
  out.image.size = size;
  out.image.rgb.resize(3 * pixels);
  out.solid_at.assign(pixels, kNoItem);
  out.glass_at.assign(pixels, kNoItem);
  const int bands = (size.height + kBandRows - 1) / kBandRows;
  parallel_for(static_cast<std::size_t>(bands), threads, [&](std::size_t b) {
    const int first = static_cast<int>(b) * kBandRows;
    paint_band(painter, first, std::min(kBandRows, size.height - first), out);
  });
  return out;
}

}  // namespace hosefit
