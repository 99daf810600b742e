// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/paper/radiator_layout.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "solver/report/words.h"

namespace hosefit {
namespace {

constexpr double kOnDatum_mm = 0.05;  // what stands on its datum has no dimension
constexpr double kViewsApart_mm = 6;
constexpr double kBeadOver_mm = 1.5;  // a sign for a bead, no form of one: over the tube
constexpr double kBeadLong_mm = 4;
constexpr double kBeadBehindEnd_mm = 3;
constexpr double kThin_mm = 0.4;  // of an extension line, for what must keep off it

using Kind = Patch::Kind;

struct Maker {
  const RadiatorMatter& matter;
  double per_mm;  // paper for 1 mm of the radiator
  LengthUnit unit;
  const TextWidth& width_of;
};

Patch patch(const Maker& m, Kind kind, const Outline& outline, double near_mm) {
  Patch out{kind, outline, near_mm};
  for (Vec2& p : out.outline) p *= m.per_mm;
  return out;
}

void add_shape(const Maker& m, Kind kind, const Shape& shape, const ViewAxes& axes, std::vector<Patch>& out) {
  out.push_back(patch(m, kind, outline_of(shape, axes), nearest(shape, axes)));
}

void add_neck(const Maker& m, const RadiatorNeck& neck, const Vec3& end, const Vec3& outward,
              const ViewAxes& axes, std::vector<Patch>& out) {
  const double radius = neck.outside_diameter.mm() / 2;
  const Vec3 root = end - neck.straight.mm() * outward;
  const CylinderShape tube{root, end, radius};
  std::vector<Patch> parts;
  add_shape(m, Kind::tube, tube, axes, parts);
  if (neck.bead && neck.straight.mm() > kBeadBehindEnd_mm + kBeadLong_mm) {
    const Vec3 from = end - (kBeadBehindEnd_mm + kBeadLong_mm) * outward;
    add_shape(m, Kind::bead, CylinderShape{from, from + kBeadLong_mm * outward, radius + kBeadOver_mm}, axes,
              parts);
  }
  if (outward.dot(axes.near) > 1e-6)
    for (const double r : {radius, neck.bore.mm() / 2})
      parts.push_back(patch(m, Kind::mouth, disc_outline(end, outward, r, axes), 0));
  // One neck is painted as a whole: its bead over its tube, its mouth over both.
  const double near = nearest(Shape(tube), axes);
  for (Patch& part : parts) {
    part.near_mm = near;
    out.push_back(std::move(part));
  }
}

void add_patches(const Maker& m, ViewLayout& view) {
  for (const RadiatorSolid& solid : m.matter.solids)
    add_shape(m, Kind::solid, solid.shape, view.axes, view.patches);
  for (const RadiatorSolid& solid : m.matter.before)
    add_shape(m, Kind::solid, solid.shape, view.axes, view.before);
  for (const RadiatorNeck& neck : m.matter.necks) {
    add_neck(m, neck, neck.end_mm, neck.outward, view.axes, view.patches);
    if (neck.moved) add_neck(m, neck, neck.written_mm, neck.written_outward, view.axes, view.before);
  }
  std::stable_sort(view.patches.begin(), view.patches.end(),
                   [](const Patch& a, const Patch& b) { return a.near_mm < b.near_mm; });
  for (const std::vector<Patch>* patches : {&view.patches, &view.before})
    for (const Patch& p : *patches) view.outline.extend(box_of(p.outline));
}

void add_necks(const Maker& m, ViewLayout& view) {
  for (std::size_t i = 0; i < m.matter.necks.size(); ++i) {
    const RadiatorNeck& neck = m.matter.necks[i];
    NeckInView seen;
    seen.neck = i;
    seen.end = m.per_mm * view.axes.flat(neck.end_mm);
    seen.root = m.per_mm * view.axes.flat(neck.end_mm - neck.straight.mm() * neck.outward);
    seen.radius = m.per_mm * neck.outside_diameter.mm() / 2;
    if (neck.moved) seen.before = m.per_mm * view.axes.flat(neck.written_mm);
    view.necks.push_back(seen);
  }
}

void stack(const Maker& m, std::vector<Dimension> wanted, Side side, ViewLayout& view) {
  std::erase_if(wanted, [&](const Dimension& d) { return std::abs(d.to - d.from) < kOnDatum_mm * m.per_mm; });
  const Vec2& low = view.outline.min();
  const Vec2& high = view.outline.max();
  const int along = is_level(side) ? 0 : 1;
  const bool beyond = side == Side::above || side == Side::right;
  const ViewEdge edge{beyond ? high[1 - along] : low[1 - along], low[along], high[along]};
  for (DimensionLine& line : stacked(std::move(wanted), side, edge, m.width_of))
    view.dimensions.push_back(std::move(line));
}

// A neck's centre across the datum edge that it is measured from.
Dimension to_neck(const Maker& m, double along, double across, double datum_across, double radius,
                  Side side) {
  const double out = side == Side::above || side == Side::right ? 1 : -1;
  return {0, along, datum_across, across + out * radius, drawn_figure(std::abs(along) / m.per_mm, m.unit)};
}

void dimension_rear(const Maker& m, ViewLayout& view) {
  const double width = m.per_mm * m.matter.core_mm.x();
  const double height = m.per_mm * m.matter.core_mm.y();
  std::array<std::vector<Dimension>, 4> wanted;
  const auto on = [&](Side side) -> std::vector<Dimension>& {
    return wanted[static_cast<std::size_t>(side)];
  };
  for (const NeckInView& n : view.necks) {
    const Side level = n.end.y() > height / 2 ? Side::above : Side::below;
    const Side upright = n.end.x() > width / 2 ? Side::right : Side::left;
    on(level).push_back(to_neck(m, n.end.x(), n.end.y(), level == Side::above ? height : 0, n.radius, level));
    on(upright).push_back(
        to_neck(m, n.end.y(), n.end.x(), upright == Side::right ? width : 0, n.radius, upright));
  }
  on(Side::below).push_back({0, width, 0, 0, drawn_figure(m.matter.core_mm.x(), m.unit)});
  on(Side::left).push_back({0, height, 0, 0, drawn_figure(m.matter.core_mm.y(), m.unit)});
  for (const Side side : {Side::below, Side::above, Side::left, Side::right})
    stack(m, std::move(on(side)), side, view);
}

void dimension_side(const Maker& m, ViewLayout& view) {
  const double height = m.per_mm * m.matter.core_mm.y();
  const double thickness = m.per_mm * m.matter.core_mm.z();
  std::vector<Dimension> above;
  std::vector<Dimension> below{{0, thickness, 0, 0, drawn_figure(m.matter.core_mm.z(), m.unit)}};
  for (const NeckInView& n : view.necks) {
    const bool up = n.end.y() > height / 2;
    (up ? above : below)
        .push_back(
            to_neck(m, n.end.x(), n.end.y(), up ? height : 0, n.radius, up ? Side::above : Side::below));
  }
  stack(m, std::move(above), Side::above, view);
  stack(m, std::move(below), Side::below, view);
}

// On the extension line of the edge, beyond the farthest dimension line there.
void add_datum(char letter, Side side, ViewLayout& view) {
  double across = 0;
  for (const DimensionLine& line : view.dimensions)
    if (line.side == side && std::abs(line.across) > std::abs(across)) across = line.across;
  const bool down = side == Side::below;
  const Vec2 out = down ? Vec2(0, -1) : Vec2(-1, 0);
  const Vec2 at = (down ? Vec2(0, across) : Vec2(across, 0)) + kExtensionOver_mm * out;
  view.datums.push_back({letter, at, out});
}

Eigen::AlignedBox2d box_of(const DatumMark& mark) {
  Eigen::AlignedBox2d box(mark.at);
  const Vec2 side(0.5 * kDatum_mm * mark.out.y(), 0.5 * kDatum_mm * mark.out.x());
  box.extend(mark.at + 1.9 * kDatum_mm * mark.out + side);
  box.extend(mark.at - side);
  return box;
}

Eigen::AlignedBox2d around(const Vec2& centre, double radius) {
  return {centre - Vec2::Constant(radius), centre + Vec2::Constant(radius)};
}

Eigen::AlignedBox2d thin_box(const Vec2& a, const Vec2& b) {
  Eigen::AlignedBox2d box(a);
  box.extend(b);
  return {box.min() - Vec2::Constant(kThin_mm), box.max() + Vec2::Constant(kThin_mm)};
}

// Level and upright edges; the box of a slanting one would keep off too much.
void add_edges(const Outline& outline, std::vector<Eigen::AlignedBox2d>& out) {
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const Eigen::AlignedBox2d edge = thin_box(outline[i], outline[(i + 1) % outline.size()]);
    if (edge.sizes().minCoeff() < 3 * kThin_mm && edge.sizes().maxCoeff() > 5) out.push_back(edge);
  }
}

TakenRoom taken_in(const ViewLayout& view) {
  TakenRoom taken;
  for (const NeckInView& n : view.necks) {
    taken.lines.push_back(around(n.end, n.radius).extend(around(n.root, n.radius)));
    if (!n.before) continue;
    taken.lines.push_back(around(*n.before, n.radius));
    taken.lines.push_back(thin_box(n.end, *n.before));
  }
  for (const DimensionLine& line : view.dimensions) {
    const Dimension& d = line.dimension;
    taken.words.push_back(line.box());
    for (const auto& [along, feature] : {std::pair{d.from, d.from_feature}, std::pair{d.to, d.to_feature}})
      taken.lines.push_back(thin_box(line.at(along, feature), line.at(along, line.across)));
  }
  for (const DatumMark& mark : view.datums) taken.words.push_back(box_of(mark));
  for (const Patch& p : view.patches)
    if (p.kind == Kind::solid) add_edges(p.outline, taken.lines);
  return taken;
}

std::vector<std::string> label_words(const Maker& m, const RadiatorNeck& neck) {
  std::vector<std::string> out{safe_text(neck.name),
                               "\xC3\x98" + drawn_figure(neck.outside_diameter.mm(), m.unit)};
  const NeckLean lean = lean_of(neck.outward);
  if (lean.by.rad() > 0) out.push_back(fmt::format("{:.1f}\xC2\xB0 from square", lean.by.deg()));
  return out;
}

// The ring with the number, and the words at its right.
Vec2 label_size(const Maker& m, const std::vector<std::string>& words) {
  double width = 0;
  for (const std::string& line : words) width = std::max(width, m.width_of(kLabel_mm, line));
  const double ring = 2 * kBalloon_mm;
  return {words.empty() ? ring : ring + 1.2 + width,
          std::max(ring, kLineStep * kLabel_mm * static_cast<double>(words.size()))};
}

void label_necks(const Maker& m, bool with_words, ViewLayout& view) {
  std::vector<LabelWish> wishes;
  for (NeckInView& n : view.necks) {
    if (with_words) n.words = label_words(m, m.matter.necks[n.neck]);
    // Beside its mouth where that shows as one, else on its tube.
    const bool mouth = (n.end - n.root).norm() < n.radius;
    wishes.push_back(
        {mouth ? n.end : Vec2((n.end + n.root) / 2), mouth ? n.radius : 0, label_size(m, n.words)});
  }
  const auto moved = std::find_if(view.necks.begin(), view.necks.end(),
                                  [](const NeckInView& n) { return n.before.has_value(); });
  const bool tell_before = with_words && moved != view.necks.end();
  if (tell_before)
    wishes.push_back(
        {*moved->before, moved->radius, {m.width_of(kLabel_mm, kAsWritten), kLineStep * kLabel_mm}});
  std::vector<LabelPlace> places = label_places(wishes, taken_in(view));
  for (std::size_t i = 0; i < view.necks.size(); ++i) view.necks[i].label = places[i];
  if (tell_before) view.as_written = places.back();
}

void measure(ViewLayout& view) {
  view.box = view.outline;
  for (const DimensionLine& line : view.dimensions) view.box.extend(line.box());
  for (const DatumMark& mark : view.datums) view.box.extend(box_of(mark));
  for (const NeckInView& n : view.necks) view.box.extend(n.label.box);
  if (view.as_written) view.box.extend(view.as_written->box);
}

bool words_apart(const ViewLayout& view) {
  std::vector<Eigen::AlignedBox2d> boxes;
  for (const DimensionLine& line : view.dimensions) boxes.push_back(line.words_box());
  for (const NeckInView& neck : view.necks) boxes.push_back(neck.label.box);
  if (view.as_written) boxes.push_back(view.as_written->box);
  for (std::size_t a = 0; a < boxes.size(); ++a)
    for (std::size_t b = a + 1; b < boxes.size(); ++b)
      if (boxes[a].intersects(boxes[b])) return false;
  return true;
}

}  // namespace

std::string drawn_figure(double mm, LengthUnit unit) {
  const double shown = std::abs(mm) < 0.05 ? 0 : mm;
  return unit == LengthUnit::mm ? fmt::format("{:.1f}", shown)
                                : fmt::format("{:.1f} [{:.2f}]", shown, Length::mm(shown).inch());
}

RadiatorLayout radiator_layout(const RadiatorMatter& matter, int scale, LengthUnit unit,
                               const TextWidth& width_of) {
  const Maker m{matter, 1.0 / scale, unit, width_of};
  RadiatorLayout out;
  out.scale = scale;
  out.rear.axes = {Vec3::UnitX(), Vec3::UnitY(), Vec3::UnitZ()};
  out.side.axes = {-Vec3::UnitZ(), Vec3::UnitY(), Vec3::UnitX()};
  for (ViewLayout* view : {&out.rear, &out.side}) {
    add_patches(m, *view);
    add_necks(m, *view);
  }
  dimension_rear(m, out.rear);
  add_datum('A', Side::below, out.rear);
  add_datum('B', Side::left, out.rear);
  dimension_side(m, out.side);
  add_datum('C', Side::below, out.side);
  label_necks(m, true, out.rear);
  label_necks(m, false, out.side);
  measure(out.rear);
  measure(out.side);
  const double bottom = std::min(out.rear.box.min().y(), out.side.box.min().y());
  const double top = std::max(out.rear.box.max().y(), out.side.box.max().y());
  out.rear_at = {-out.rear.box.min().x(), -bottom};
  out.side_at = {out.rear_at.x() + out.rear.box.max().x() + kViewsApart_mm - out.side.box.min().x(), -bottom};
  out.size = {out.side_at.x() + out.side.box.max().x(), top - bottom + kViewTitle_mm};
  return out;
}

std::optional<RadiatorLayout> largest_layout(const RadiatorMatter& matter, const Vec2& field_mm,
                                             LengthUnit unit, const TextWidth& width_of) {
  for (const int scale : kScales) {
    RadiatorLayout layout = radiator_layout(matter, scale, unit, width_of);
    if (layout.size.x() > field_mm.x() || layout.size.y() > field_mm.y()) continue;
    if (words_apart(layout.rear) && words_apart(layout.side)) return layout;
  }
  return std::nullopt;
}

}  // namespace hosefit
