// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/picture/label_wishes.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "solver/report/words.h"

namespace hosefit {
namespace {

constexpr int kLeastSeen_px = 3;  // half the width of the place that a leader needs to point at

std::size_t pixel_at(const Rendering& rendering, int x, int y) {
  return static_cast<std::size_t>(y) * static_cast<std::size_t>(rendering.image.size.width) +
         static_cast<std::size_t>(x);
}

bool is_line(const Scene& scene, std::int32_t item) {
  return item != kNoItem && scene.items[static_cast<std::size_t>(item)].kind == SceneKind::line;
}

/// What is seen of one group: how many pixels, and the one deepest inside.
struct Seen {
  int pixels = 0, depth_px = 0;
  Vec2 inside_px = Vec2::Zero();
};

// City-block distance of each pixel to the nearest of another group, by two sweeps.
std::vector<Seen> seen_groups(const Scene& scene, const Rendering& rendering) {
  const int w = rendering.image.size.width, h = rendering.image.size.height;
  std::vector<std::int32_t> group(rendering.solid_at.size(), kNoItem);
  for (std::size_t i = 0; i < group.size(); ++i)
    if (rendering.solid_at[i] != kNoItem)
      group[i] =
          static_cast<std::int32_t>(scene.items[static_cast<std::size_t>(rendering.solid_at[i])].group);
  std::vector<int> depth(group.size(), 0);
  const auto from = [&](int x, int y, int dx, int dy, std::int32_t mine) {
    if (x + dx < 0 || x + dx >= w || y + dy < 0 || y + dy >= h) return 0;
    const std::size_t there = pixel_at(rendering, x + dx, y + dy);
    return group[there] == mine ? depth[there] : 0;
  };
  for (int y = 0; y < h; ++y)
    for (int x = 0; x < w; ++x) {
      const std::size_t i = pixel_at(rendering, x, y);
      depth[i] = 1 + std::min(from(x, y, -1, 0, group[i]), from(x, y, 0, -1, group[i]));
    }
  std::vector<Seen> out(scene.groups);
  for (int y = h - 1; y >= 0; --y)
    for (int x = w - 1; x >= 0; --x) {
      const std::size_t i = pixel_at(rendering, x, y);
      depth[i] = std::min(depth[i], 1 + std::min(from(x, y, 1, 0, group[i]), from(x, y, 0, 1, group[i])));
      if (group[i] == kNoItem) continue;
      Seen& seen = out[static_cast<std::size_t>(group[i])];
      ++seen.pixels;
      if (depth[i] <= seen.depth_px) continue;
      seen.depth_px = depth[i];
      seen.inside_px = {x + 0.5, y + 0.5};
    }
  return out;
}

std::string told(double mm, LengthUnit unit) {
  return length_words(Length::mm(mm), unit);
}

Named name_of(const DecidingSpot& spot, LengthUnit unit) {
  const std::string first = safe_text(spot.first), other = safe_text(spot.other);
  Named out;
  out.sort = Named::Sort::spot;
  if (!spot.spare_mm) {
    out.text = other.empty() ? fmt::format("stopped here: {}", first)
                             : fmt::format("stopped here: {}, {}", first, other);
    out.short_text = other.empty() ? first : other;
    return out;
  }
  const std::string amount = told(std::abs(*spot.spare_mm), unit);
  const bool is_short = spare_class(*spot.spare_mm) == SpareClass::is_short;
  const std::string what =
      fmt::format("{}{} {}", spot.at_least ? "at least " : "", amount, is_short ? "short" : "to spare");
  const bool open = spot.origin == DecidingSpot::Origin::tightest_gap && !spot.proved;
  // The figure first: where room is short the name may end in an ellipsis, the figure may not.
  out.short_text = fmt::format("{}{}{}, {}", open ? "not proved, " : "", is_short ? "" : "tightest: ", what,
                               other.empty() ? first : other);
  if (other.empty()) {
    out.text = fmt::format("{}: {}", first, what);
  } else if (is_short || !spot.found_mm || !spot.required_mm) {
    out.text = fmt::format("{} to {}: {}", first, other, what);
  } else {
    out.text = fmt::format("{}tightest: {} to {}, {} (needs {}, {})", open ? "not proved, " : "", first,
                           other, told(*spot.found_mm, unit), told(*spot.required_mm, unit), what);
  }
  return out;
}

Named name_of(const SceneLine& line, LengthUnit unit) {
  const std::string name = safe_text(line.name);
  Named out;
  out.sort = Named::Sort::line;
  out.short_text = name;
  if (!line.routed) {
    out.text = out.short_text = name + ": no way found";
  } else if (!line.proved) {
    out.short_text = name + ": not proved";
    out.text = line.least_spare_mm ? fmt::format("{}: not proved, {} short at {}", name,
                                                 told(-*line.least_spare_mm, unit), safe_text(line.tightest))
                                   : out.short_text;
  } else if (line.least_spare_mm) {
    out.text = fmt::format("{}: {} to spare at {}", name, told(*line.least_spare_mm, unit),
                           safe_text(line.tightest));
  } else {
    out.text = fmt::format("{}: more than {} to spare", name, told(ProofOptions::kRecorded_mm, unit));
  }
  return out;
}

// A place on a line that nothing shows: the middle of its mesh, as it would be seen.
Vec2 middle_of(const Scene& scene, const View& view, std::size_t line) {
  for (const SceneItem& item : scene.items)
    if (item.line == line && !item.mesh.vertices_mm.empty())
      return project(view.camera, item.mesh.vertices_mm[item.mesh.vertices_mm.size() / 2]).head<2>();
  return project(view.camera, (scene.lines[line].from_mm + scene.lines[line].to_mm) / 2).head<2>();
}

void add_lines(const Scene& scene, const View& view, const std::vector<Seen>& seen, LengthUnit unit,
               std::vector<Named>& out) {
  for (std::size_t l = 0; l < scene.lines.size(); ++l) {
    Named named = name_of(scene.lines[l], unit);
    named.anchor_px = middle_of(scene, view, l);
    named.seen = false;
    for (const SceneItem& item : scene.items)
      if (item.line == l && seen[item.group].depth_px >= kLeastSeen_px) {
        named.anchor_px = seen[item.group].inside_px;
        named.seen = true;
      }
    out.push_back(std::move(named));
  }
}

// How much a part means for somebody who looks for room for hoses.
double meaning(const Scene& scene, const SceneItem& item) {
  if (scene.spot && (item.name == scene.spot->other || item.name == scene.spot->first)) return 50;
  for (const SceneLine& line : scene.lines)
    if (item.name == line.tightest) return 8;
  switch (static_cast<BayBody>(item.body)) {
    case BayBody::pump:
      return 8;
    case BayBody::housing:
      return 6;
    case BayBody::fan:
    case BayBody::on_engine:
    case BayBody::intake_top:
    case BayBody::drive:
      return 3;
    default:
      return 1;
  }
}

void add_parts(const Scene& scene, const std::vector<Seen>& seen, std::vector<Named>& out) {
  std::multimap<double, const SceneItem*, std::greater<>> by_worth;
  for (const SceneItem& item : scene.items)
    if (item.kind == SceneKind::part && seen[item.group].depth_px >= kLeastSeen_px)
      by_worth.emplace(meaning(scene, item) * std::sqrt(double(seen[item.group].pixels)), &item);
  std::set<std::string> told_already;
  for (const auto& [worth, item] : by_worth) {
    if (!told_already.insert(item->name).second) continue;
    Named named;
    named.text = named.short_text = safe_text(item->name);
    named.anchor_px = seen[item->group].inside_px;
    out.push_back(std::move(named));
  }
}

bool spot_is_seen(const Scene& scene, const Rendering& rendering, const Vec2& at_px) {
  const int x = static_cast<int>(at_px.x()), y = static_cast<int>(at_px.y());
  if (x < 0 || y < 0 || x >= rendering.image.size.width || y >= rendering.image.size.height) return false;
  const std::int32_t item = rendering.solid_at[pixel_at(rendering, x, y)];
  if (item == kNoItem || is_line(scene, item)) return true;
  const std::string& name = scene.items[static_cast<std::size_t>(item)].name;
  return name == scene.spot->first || name == scene.spot->other;
}

bool within(const PixelBox& area, const Vec2& p) {
  return p.x() > area.left && p.x() < area.right && p.y() > area.top && p.y() < area.bottom;
}

}  // namespace

std::vector<Named> things_to_name(const Scene& scene, const View& view, const Rendering& rendering,
                                  LengthUnit unit, const PixelBox& area, std::size_t most) {
  const std::vector<Seen> seen = seen_groups(scene, rendering);
  std::vector<Named> out;
  if (scene.spot) {
    Named named = name_of(*scene.spot, unit);
    const Vec3 at =
        scene.spot->has_gap ? Vec3((scene.spot->first_mm + scene.spot->second_mm) / 2) : scene.spot->where_mm;
    named.anchor_px = project(view.camera, at).head<2>();
    named.seen = spot_is_seen(scene, rendering, named.anchor_px);
    out.push_back(std::move(named));
  }
  add_lines(scene, view, seen, unit, out);
  const std::size_t always = out.size();
  add_parts(scene, seen, out);
  out.resize(std::min(out.size(), std::max(always, most)));
  std::erase_if(out, [&](const Named& named) { return !within(area, named.anchor_px); });
  return out;
}

Clutter clutter_of(const Scene& scene, const Rendering& rendering, double cell_px) {
  const Size size = rendering.image.size;
  Clutter out;
  out.cell_px = cell_px;
  out.columns = static_cast<int>(std::ceil(size.width / cell_px));
  out.rows = static_cast<int>(std::ceil(size.height / cell_px));
  out.weight.assign(static_cast<std::size_t>(out.columns) * static_cast<std::size_t>(out.rows), 0);
  for (int y = 0; y < size.height; ++y)
    for (int x = 0; x < size.width; ++x) {
      const std::int32_t item = rendering.solid_at[pixel_at(rendering, x, y)];
      if (item == kNoItem) continue;
      const SceneItem& seen = scene.items[static_cast<std::size_t>(item)];
      const bool of_candidate = seen.body >= index(BayBody::drive) && !is_of_chassis(seen.body);
      const float weight = seen.kind == SceneKind::line ? 1.0F : of_candidate ? 0.2F : 0.08F;
      const auto cell = static_cast<std::size_t>(y / cell_px) * static_cast<std::size_t>(out.columns) +
                        static_cast<std::size_t>(x / cell_px);
      out.weight[cell] = std::max(out.weight[cell], weight);
    }
  return out;
}

}  // namespace hosefit
