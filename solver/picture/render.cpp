// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/picture/render.h"

#include <algorithm>
#include <cassert>
#include <cmath>

#include "solver/picture/looks.h"

namespace hosefit {
namespace {

constexpr int kBandRows = 8;            // pixel rows per piece of work; does not change the picture
constexpr std::size_t kTogether = 256;  // rays sent together: few enough to stay near the processor
constexpr int kSamples = 2;             // rays per pixel along each side
constexpr double kHatch_px = 7;         // between strokes on cut faces

constexpr double kFadeDepth_mm = 260, kFadeMost = 0.8;
constexpr double kGlassTint = 0.10, kGlassInk = 0.42;
constexpr double kHiddenTint = 0.30, kHiddenInk = 0.30;
constexpr double kOutlineInk = 0.78, kCreaseInk = 0.50;

// Linear in what the eye takes for brightness is good enough for quiet drawings: colours stay in sRGB.
Colour lit(const Colour& colour, const Eigen::Vector3f& towards_eye, const Camera& camera) {
  const Vec3 normal = towards_eye.cast<double>();
  const Vec3 key = (0.55 * camera.up - 0.45 * camera.right + 0.75 * camera.towards).normalized();
  const Vec3 fill = (0.1 * camera.up + 0.8 * camera.right + 0.5 * camera.towards).normalized();
  const double light = 0.66 + 0.34 * std::max(0.0, normal.dot(key)) + 0.12 * std::max(0.0, normal.dot(fill)) +
                       0.05 * std::max(0.0, normal.dot(camera.towards));
  if (light <= 1) return {colour.red * light, colour.green * light, colour.blue * light};
  return mixed(colour, {1, 1, 1}, std::min(1.0, light - 1));
}

struct Painter {
  const View& view;
  const Looks& looks;
  Size size;
  double step_mm;  // between samples
};

// Rows of pixels with one more on every side. Each pixel is looked at once; only where something changes
// between it and a neighbour are its other samples and those around them looked at too.
class Band {
 public:
  Band(const Painter& painter, int first_row, int rows)
      : painter_(painter), columns_(painter.size.width), first_row_(first_row), rows_(rows) {
    index_.assign(static_cast<std::size_t>(kSamples * (columns_ + 2)) *
                      static_cast<std::size_t>(kSamples * (rows_ + 2)),
                  kNotLooked);
    samples_.reserve(index_.size() / 2);
    for (int y = -1; y <= rows_; ++y)
      for (int x = -1; x <= columns_; ++x) want(middle(x), middle(y));
    look();
    for (int y = 0; y < rows_; ++y)
      for (int x = 0; x < columns_; ++x) {
        plain_.push_back(looks_plain(x, y));
        if (!plain_.back()) want_all(x, y);
      }
    look();
  }

  // Of a pixel, counted from the band's first row.
  const Samples& middle_of(int x, int y) const { return sample(middle(x), middle(y)); }
  bool is_plain(int x, int y) const {
    return plain_[static_cast<std::size_t>(y) * static_cast<std::size_t>(columns_) +
                  static_cast<std::size_t>(x)];
  }
  // Precondition: its pixel is not plain.
  const Samples& sample(int column, int row) const {
    assert(index_[at(column, row)] >= 0);
    return samples_[static_cast<std::size_t>(index_[at(column, row)])];
  }
  // The strongest edge of a sample: outlines are drawn on both sides, creases on one.
  Edge edge(Sample Samples::*layer, int column, int row) const {
    const Sample& here = sample(column, row).*layer;
    const auto with = [&](int c, int r) {
      return edge_between(here, sample(column + c, row + r).*layer, painter_.step_mm);
    };
    const Edge after = std::max(with(1, 0), with(0, 1));
    const Edge before = std::max(with(-1, 0), with(0, -1));
    return before == Edge::outline ? Edge::outline : after;
  }

 private:
  static constexpr std::int32_t kNotLooked = -1, kWanted = -2;

  static int middle(int pixel) { return pixel * kSamples + kSamples / 2; }
  std::size_t at(int column, int row) const {
    return static_cast<std::size_t>(row + kSamples) * static_cast<std::size_t>(kSamples * (columns_ + 2)) +
           static_cast<std::size_t>(column + kSamples);
  }
  bool looks_plain(int x, int y) const {
    const Samples& here = middle_of(x, y);
    for (int dy = -1; dy <= 1; ++dy)
      for (int dx = -1; dx <= 1; ++dx)
        if ((dx != 0 || dy != 0) && !alike(here, middle_of(x + dx, y + dy), painter_.step_mm)) return false;
    return true;
  }
  void want(int column, int row) {
    std::int32_t& index = index_[at(column, row)];
    if (index == kNotLooked) index = kWanted;
  }
  void want_all(int x, int y) {
    const int column = x * kSamples, row = y * kSamples;
    for (int dy = -1; dy <= kSamples; ++dy)
      for (int dx = -1; dx <= kSamples; ++dx) {
        const bool corner = (dx < 0 || dx == kSamples) && (dy < 0 || dy == kSamples);
        if (!corner) want(column + dx, row + dy);
      }
  }
  void look() {
    std::vector<Vec2> places;
    const auto first = static_cast<std::int32_t>(samples_.size());
    for (int row = -kSamples; row < kSamples * (rows_ + 1); ++row)
      for (int column = -kSamples; column < kSamples * (columns_ + 1); ++column) {
        std::int32_t& index = index_[at(column, row)];
        if (index != kWanted) continue;
        index = first + static_cast<std::int32_t>(places.size());
        places.emplace_back((column + 0.5) / kSamples, first_row_ + (row + 0.5) / kSamples);
      }
    for (std::size_t from = 0; from < places.size(); from += kTogether) {
      const std::size_t many = std::min(kTogether, places.size() - from);
      const std::vector<Samples> more = painter_.looks.at({places.data() + from, many});
      samples_.insert(samples_.end(), more.begin(), more.end());
    }
  }

  const Painter& painter_;
  int columns_, first_row_, rows_;
  std::vector<std::int32_t> index_;  // into samples_, or why there is none
  std::vector<Samples> samples_;
  std::vector<bool> plain_;  // by pixel
};

Colour inked(const Colour& under, Edge edge, double strength) {
  if (edge == Edge::none) return under;
  return mixed(under, kInk, strength * (edge == Edge::outline ? 1.0 : kCreaseInk / kOutlineInk));
}

Colour surface(const Painter& painter, const Sample& s, int column, int row) {
  if (s.item == kNoItem) return kPaper;
  if (!s.cut_face) return lit(*s.colour, s.normal, painter.view.camera);
  const double along = std::fmod((column + row) / (kSamples * std::sqrt(2.0)), kHatch_px);
  return mixed(mixed(*s.colour, {1, 1, 1}, 0.45), kInk, along < 1.0 ? 0.55 : 0.0);
}

double faded(const Painter& painter, const Sample& s) {
  if (!painter.view.fades_from_mm || s.item == kNoItem) return 0;
  const Camera& camera = painter.view.camera;
  const double behind =
      -camera.towards.dot(s.p_mm.cast<double>() - camera.target_mm) - *painter.view.fades_from_mm;
  return std::clamp(behind / kFadeDepth_mm, 0.0, 1.0) * kFadeMost;
}

struct Edges {
  Edge solid = Edge::none, behind = Edge::none, glass = Edge::none;
};

// column and row: of the whole picture, in samples.
Colour sample_colour(const Painter& painter, const Samples& s, const Edges& edges, int column, int row) {
  Colour out = surface(painter, s.solid, column, row);
  out = inked(out, edges.solid, kOutlineInk);
  out = mixed(out, kPaper, faded(painter, s.solid));
  if (s.behind.item != kNoItem) {
    const double near = 1 - faded(painter, s.behind);
    out = mixed(out, *s.behind.colour, kHiddenTint * near);
    out = inked(out, edges.behind, kHiddenInk * near);
  }
  if (s.glass.item != kNoItem) out = mixed(out, *s.glass.colour, kGlassTint);
  return inked(out, edges.glass, kGlassInk);
}

Colour pixel_colour(const Painter& painter, const Band& band, int x, int y, int first_row) {
  const bool plain = band.is_plain(x, y);
  const Samples& middle = band.middle_of(x, y);
  if (plain && !middle.solid.cut_face)
    return sample_colour(painter, middle, {}, x * kSamples, (first_row + y) * kSamples);
  Colour sum;
  for (int sub = 0; sub < kSamples * kSamples; ++sub) {
    const int column = x * kSamples + sub % kSamples, in_band = y * kSamples + sub / kSamples;
    Edges edges;
    if (!plain)
      edges = {band.edge(&Samples::solid, column, in_band), band.edge(&Samples::behind, column, in_band),
               band.edge(&Samples::glass, column, in_band)};
    const Colour c = sample_colour(painter, plain ? middle : band.sample(column, in_band), edges, column,
                                   first_row * kSamples + in_band);
    sum = {sum.red + c.red, sum.green + c.green, sum.blue + c.blue};
  }
  constexpr double share = 1.0 / (kSamples * kSamples);
  return {sum.red * share, sum.green * share, sum.blue * share};
}

std::uint8_t byte_of(double share) {
  return static_cast<std::uint8_t>(std::lround(255 * std::clamp(share, 0.0, 1.0)));
}

void paint_band(const Painter& painter, int first_row, int rows, Rendering& out) {
  const Band band(painter, first_row, rows);
  for (int y = 0; y < rows; ++y)
    for (int x = 0; x < painter.size.width; ++x) {
      const Colour colour = pixel_colour(painter, band, x, y, first_row);
      const auto pixel =
          static_cast<std::size_t>(first_row + y) * static_cast<std::size_t>(painter.size.width) +
          static_cast<std::size_t>(x);
      out.image.rgb[3 * pixel] = byte_of(colour.red);
      out.image.rgb[3 * pixel + 1] = byte_of(colour.green);
      out.image.rgb[3 * pixel + 2] = byte_of(colour.blue);
      const Samples& middle = band.middle_of(x, y);
      out.solid_at[pixel] = middle.solid.item;
      out.glass_at[pixel] = middle.glass.item;
    }
}

}  // namespace

Rendering render(const Scene& scene, const View& view, Size size, Threads threads) {
  assert(size.width > 0 && size.height > 0 && view.layers.size() == scene.items.size());
  const Looks looks(scene, view, threads);
  const Painter painter{view, looks, size, 1.0 / (kSamples * view.camera.px_per_mm)};
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
