// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/input/shape_yaml.h"

#include <fmt/format.h>

#include <algorithm>
#include <numbers>

#include "solver/input/mesh_yaml.h"
#include "solver/input/neck_check.h"
#include "solver/input/neck_choice_yaml.h"
#include "solver/input/outline.h"

namespace hosefit {
namespace {

constexpr double kLeastSizeMm =
    0.01;  // thinner is taken for a typing mistake; ten times less would still be no part
constexpr double kMostRailBendDeg =
    60.0;                             // mitres of sharper bends stand out by more than half the rail's width
constexpr double kParallelDeg = 0.1;  // axes closer than this do not fix a frame

bool parallel(const Vec3& a, const Vec3& b) {
  const double deg = angle_between(a, b) * 180.0 / std::numbers::pi;
  return deg < kParallelDeg || deg > 180.0 - kParallelDeg;
}

std::optional<Shape> read_box(const MapView& box, ProblemLog& log) {
  BoxShape shape;
  if (box.has("min")) {
    const Vec3 low = box.point_mm("min");
    const Vec3 high = box.point_mm("max");
    for (Eigen::Index i = 0; i < 3; ++i) {
      if (high[i] - low[i] >= kLeastSizeMm) continue;
      box.refuse(
          log, "max",
          fmt::format(
              "want max above min in every axis, found {:g} and {:g} mm along {}; a sheet needs a thickness",
              low[i], high[i], "xyz"[i]));
      return std::nullopt;
    }
    shape.frame.origin_mm = (low + high) / 2;
    shape.half_size_mm = (high - low) / 2;
    return shape;
  }
  shape.frame.origin_mm = box.point_mm("centre");
  const std::vector<Length> size = box.lengths("size");
  for (std::size_t i = 0; i < 3; ++i) {
    shape.half_size_mm[static_cast<Eigen::Index>(i)] = size[i].mm() / 2;
    if (size[i].mm() >= kLeastSizeMm) continue;
    box.refuse_item(log, "size", i,
                    fmt::format("want at least {:g} mm, found {:g} mm", kLeastSizeMm, size[i].mm()));
    return std::nullopt;
  }
  if (const std::vector<Angle> turn = box.angles("turn_deg"); turn.size() == 3) {
    const auto about = [&](std::size_t i, const Vec3& axis) {
      return Eigen::AngleAxisd(turn[i].rad(), axis);
    };
    if (turn[0].rad() != 0 || turn[1].rad() != 0 || turn[2].rad() != 0)
      shape.frame.rotation =
          (about(2, Vec3::UnitZ()) * about(1, Vec3::UnitY()) * about(0, Vec3::UnitX())).toRotationMatrix();
  }
  return shape;
}

bool ends_apart(const MapView& rod, ProblemLog& log) {
  if ((rod.point_mm("to") - rod.point_mm("from")).norm() >= kLeastSizeMm) return true;
  rod.refuse(log, "to", "want another point than `from`; a ball is a sphere");
  return false;
}

std::optional<Shape> read_cone(const MapView& cone, ProblemLog& log) {
  const ConeShape shape{cone.point_mm("from"), cone.point_mm("to"), cone.length("radius_from").mm(),
                        cone.length("radius_to").mm()};
  if (!ends_apart(cone, log)) return std::nullopt;
  if (std::max(shape.radius_a_mm, shape.radius_b_mm) < kLeastSizeMm) {
    cone.refuse(log, "radius_to", "want one of the two radii above 0");
    return std::nullopt;
  }
  return shape;
}

std::optional<Shape> read_extrusion(const MapView& in, ProblemLog& log) {
  const Vec3 normal = in.direction("normal");
  const Vec3 x_axis = in.direction("x_axis");
  if (parallel(normal, x_axis)) {
    in.refuse(log, "x_axis", "want an axis across `normal`, found one along it");
    return std::nullopt;
  }
  ExtrusionShape shape{Pose::from_axes(in.point_mm("origin"), normal, x_axis), in.pairs_mm("outline"),
                       in.length("height").mm()};
  if (const auto fault = fault_of(shape.outline_mm)) {
    in.refuse_item(log, "outline", fault->corner, fault->text);
    return std::nullopt;
  }
  return shape;
}

std::optional<Shape> read_rail(const MapView& in, ProblemLog& log) {
  const RailShape shape{in.points_mm("path"), in.direction("up"), in.length("width").mm(),
                        in.length("height").mm()};
  for (std::size_t i = 1; i < shape.path_mm.size(); ++i) {
    const Vec3 leg = shape.path_mm[i] - shape.path_mm[i - 1];
    std::string fault;
    if (leg.norm() < kLeastSizeMm)
      fault = "want another point than the one before";
    else if (parallel(leg, shape.up))
      fault = "this leg runs along `up`; give another `up`";
    else if (i >= 2) {
      const double bend =
          angle_between(shape.path_mm[i - 1] - shape.path_mm[i - 2], leg) * 180.0 / std::numbers::pi;
      if (bend > kMostRailBendDeg + 1e-9)
        fault = fmt::format(
            "the rail bends by {:.0f} deg at the point before, want at most {:.0f}; add a point or make two "
            "rails",
            bend, kMostRailBendDeg);
    }
    if (fault.empty()) continue;
    in.refuse_item(log, "path", i, fault);
    return std::nullopt;
  }
  return shape;
}

}  // namespace

namespace {

std::optional<Shape> read_primitive(const std::string& key, const MapView& body, const ReadTools& tools) {
  if (key == "box") return read_box(body, tools.log);
  if (key == "cone") return read_cone(body, tools.log);
  if (key == "extrusion") return read_extrusion(body, tools.log);
  if (key == "rail") return read_rail(body, tools.log);
  const double radius_mm = body.length("radius").mm();
  if (radius_mm < kLeastSizeMm) {
    body.refuse(tools.log, "radius",
                fmt::format("want at least {:g} mm, found {:g} mm", kLeastSizeMm, radius_mm));
    return std::nullopt;
  }
  if (key == "sphere") return SphereShape{body.point_mm("centre"), radius_mm};
  if (!ends_apart(body, tools.log)) return std::nullopt;
  if (key == "cylinder") return CylinderShape{body.point_mm("from"), body.point_mm("to"), radius_mm};
  return CapsuleShape{body.point_mm("from"), body.point_mm("to"), radius_mm};
}

}  // namespace

std::optional<ReadShape> read_shape(const MapView& in, const ReadTools& tools) {
  if (!in.ok()) return std::nullopt;
  for (const KeyRule& rule : shape_table().keys) {
    if (!in.has(rule.key)) continue;
    const MapView body = in.map(rule.key);
    if (rule.key == "mesh") {
      auto mesh = read_mesh_shape(body, tools.meshes, tools.log);
      if (!mesh) return std::nullopt;
      return ReadShape{mesh->shape, mesh->closed, mesh->seen_from, mesh->notes, mesh->off};
    }
    auto shape = read_primitive(std::string(rule.key), body, tools);
    if (!shape) return std::nullopt;
    return ReadShape{*std::move(shape)};
  }
  return std::nullopt;
}

Provenance shop_provenance(const MapView& in) {
  return {Source::shop, "", in.text("by"), in.text("reason")};
}

std::optional<Obstacle> read_obstacle(const MapView& in, const ReadTools& tools) {
  if (!in.ok()) return std::nullopt;
  std::optional<ReadShape> read = read_shape(in.map("shape"), tools);
  if (!read) return std::nullopt;
  Obstacle obstacle;
  obstacle.name = in.text("name");
  obstacle.hazard = in.choice("hazard", kHazards, Hazard::smooth_metal);
  obstacle.closed = read->closed;
  obstacle.seen_from = read->seen_from;
  obstacle.notes = read->notes;
  obstacle.shape = std::move(read->shape);
  if (in.has("own_gap"))
    obstacle.own_gap = OwnGap{in.map("own_gap").length("gap"), shop_provenance(in.map("own_gap"))};
  obstacle.method = in.method();
  obstacle.accuracy = std::max(in.accuracy() + read->off, in.map("shape").taped_accuracy());
  obstacle.place = in.place();
  return obstacle;
}

bool refuse_repeated(const std::vector<MapView>& maps, std::string_view key, std::string_view what,
                     ProblemLog& log) {
  std::map<std::string, int> line_of;
  bool fine = true;
  for (const MapView& map : maps) {
    if (!map.has(key) || map.text(key).empty()) continue;
    const auto [it, fresh] = line_of.try_emplace(map.text(key), map.place(key).line);
    if (fresh) continue;
    map.refuse(log, key,
               fmt::format("there is {} \"{}\" already, in line {}; give it another name", what,
                           map.text(key), it->second));
    fine = false;
  }
  return fine;
}

std::vector<Obstacle> read_obstacles(const MapView& in, std::string_view key, const ReadTools& tools) {
  std::vector<Obstacle> out;
  for (const MapView& map : in.maps(key))
    if (auto obstacle = read_obstacle(map, tools)) out.push_back(*std::move(obstacle));
  return out;
}

std::optional<Neck> read_neck(const MapView& in, const ReadTools& tools) {
  if (!in.ok()) return std::nullopt;
  Neck neck;
  neck.name = in.text("name");
  neck.end_mm = in.measured_point("at");
  neck.outward = in.direction("outward");
  neck.outside_diameter = in.length("od");
  neck.bore = in.length("bore");
  neck.straight = in.length("straight");
  neck.bead = in.boolean("bead", true);
  neck.on = in.texts("on");
  neck.choice = read_neck_choice(in, tools.log);
  if (neck.bore >= neck.outside_diameter) {
    in.refuse(tools.log, "bore",
              fmt::format("want less than the outside diameter of {:g} mm, found {:g} mm",
                          neck.outside_diameter.mm(), neck.bore.mm()));
    return std::nullopt;
  }
  return neck;
}

std::vector<Neck> read_necks(const MapView& in, std::string_view key, const NeckSurroundings& around,
                             const ReadTools& tools) {
  std::vector<Neck> out;
  for (const MapView& map : in.maps(key)) {
    auto neck = read_neck(map, tools);
    if (!neck) continue;
    check_neck(map, *neck, around, tools.log);
    out.push_back(*std::move(neck));
  }
  return out;
}

Provenance read_provenance(const MapView& in) {
  Provenance out;
  const std::string source = in.text("source");
  if (source == "standard")
    out.source = Source::standard;
  else if (source == "handbook")
    out.source = Source::handbook;
  else if (source == "derived")
    out.source = Source::derived;
  else if (source == "common_practice")
    out.source = Source::common_practice;
  else if (source == "shop")
    out.source = Source::shop;
  out.title = in.text("title");
  out.signer = in.text("by");
  out.reason = in.text("reason");
  return out;
}

FlowResistance read_resistance(const MapView& in) {
  return {in.number("a"), in.number("b"), read_provenance(in.map("provenance"))};
}

}  // namespace hosefit
