// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/recheck/read_shapes.h"

#include <fmt/format.h>

#include <cmath>

#include "solver/recheck/put_in_place.h"

namespace hosefit::recheck {
namespace {

constexpr std::size_t kMostMeshBytes = std::size_t{256} << 20;

std::optional<Solid> read_block(Table in) {
  Block block;
  if (in.has("min")) {
    const V3 low = in.point_mm("min"), high = in.point_mm("max");
    block.half_mm = (high - low) / 2;
    block.frame.at_mm = (low + high) / 2;
  } else {
    block.frame.at_mm = in.point_mm("centre");
    const std::vector<double> size = in.lengths_mm("size");
    if (size.size() != 3) in.refuse("size", "want three lengths");
    block.half_mm = size.size() == 3 ? V3(V3(size[0], size[1], size[2]) / 2) : V3(V3::Zero());
    if (in.has("turn_deg")) {
      const std::vector<double> turn = in.numbers("turn_deg");
      if (turn.size() != 3) in.refuse("turn_deg", "want three angles");
      // About X, then Y, then Z of the carrier's axes: its own axes are what these turns make of them.
      for (Eigen::Index k = 0; turn.size() == 3 && k < 3; ++k) {
        V3 axis = V3::Unit(k);
        axis = turned(axis, V3::UnitX(), radians(turn[0]));
        axis = turned(axis, V3::UnitY(), radians(turn[1]));
        block.frame.turn.col(k) = turned(axis, V3::UnitZ(), radians(turn[2]));
      }
    }
  }
  in.done();
  if ((block.half_mm.array() > 0).all()) return block;
  in.refuse("", "a box without room inside");
  return std::nullopt;
}

std::optional<Solid> read_rod(const std::string& kind, Table in) {
  const V3 a = in.point_mm("from"), b = in.point_mm("to");
  const bool cone = kind == "cone";
  const double radius_a = in.length_mm(cone ? "radius_from" : "radius");
  const double radius_b = cone ? in.length_mm("radius_to") : radius_a;
  in.done();
  if (!((b - a).norm() > 0) || radius_a < 0 || radius_b < 0 || !(radius_a + radius_b > 0)) {
    in.refuse("", "a rod without length or thickness");
    return std::nullopt;
  }
  if (kind == "capsule") return Ball{a, b, radius_a};
  return Round{a, b, radius_a, radius_b};
}

std::optional<Solid> read_sphere(Table in) {
  const V3 centre = in.point_mm("centre");
  const double radius = in.length_mm("radius");
  in.done();
  if (radius > 0) return Ball{centre, centre, radius};
  in.refuse("radius", "want more than 0");
  return std::nullopt;
}

std::optional<Solid> read_prism(Table in) {
  const V3 normal = in.direction("normal"), x_axis = in.direction("x_axis");
  if (!(normal.cross(x_axis).norm() > 1e-6)) {
    in.refuse("x_axis", "along the normal");
    return std::nullopt;
  }
  Prism prism{axes(in.point_mm("origin"), normal, x_axis), in.pairs_mm("outline"), in.length_mm("height")};
  in.done();
  double twice_area = 0;
  const auto& o = prism.outline_mm;
  for (std::size_t i = 0; i < o.size(); ++i) {
    const V2 &a = o[i], &b = o[(i + 1) % o.size()];
    twice_area += a.x() * b.y() - b.x() * a.y();
  }
  if (o.size() >= 3 && twice_area > 0 && prism.height_mm > 0) return prism;
  in.refuse("outline", "want an outline that runs counter-clockwise around something");
  return std::nullopt;
}

std::optional<Solid> read_rail(Table in) {
  const std::vector<V3> path = in.points_mm("path");
  const V3 up = in.has("up") ? in.direction("up") : V3(V3::UnitZ());
  const double width = in.length_mm("width"), height = in.length_mm("height");
  in.done();
  bool sound = path.size() >= 2 && width > 0 && height > 0;
  for (std::size_t i = 0; sound && i + 1 < path.size(); ++i) sound = (path[i + 1] - path[i]).norm() > 0;
  sound = sound && up.cross(path[1] - path[0]).norm() > 1e-9;
  Pieces rail;
  if (sound) rail.pieces = rail_pieces(path, up, width, height);
  if (!rail.pieces.empty()) return rail;
  in.refuse("path", "the recheck cannot draw this rail: legs too short for their corners, or none");
  return std::nullopt;
}

std::vector<Spot> read_spots(Table& in) {
  std::vector<Spot> out;
  for (Table& spot : in.tables("align")) {
    const std::vector<double> scan = spot.numbers("in_scan");
    const V3 at = spot.measured_point_mm("at");
    spot.set_aside("name");
    spot.done();
    if (scan.size() == 3)
      out.push_back({{scan[0], scan[1], scan[2]}, at});
    else
      spot.refuse("in_scan", "want three numbers");
  }
  return out;
}

std::optional<Solid> read_surface(Table in, Files& files) {
  const std::string file = in.word("file");
  const std::string unit = in.one_of("unit", {"mm", "cm", "m", "in", "unknown"});
  const bool said = in.has("closed");
  const bool closed = in.yes_or("closed", false);
  const bool aligned = in.has("align");
  const std::vector<Spot> spots = read_spots(in);
  in.set_aside("seen_from");  // what open scans have not seen is not rechecked
  in.done();
  const bool unknown = unit == "unknown";
  if (unknown && !aligned) {
    in.refuse("unit", "without spots to align by the unit must be known");
    return std::nullopt;
  }
  const double mm = unit == "mm" || unknown ? 1.0 : unit == "cm" ? 10.0 : unit == "m" ? 1000.0 : 25.4;
  const Files::Mesh& mesh = files.mesh(in.file(), file, mm);
  if (!mesh.grid) {
    in.refuse("file", mesh.why);
    return std::nullopt;
  }
  if (closed && !mesh.watertight) {
    in.refuse("closed", "the mesh is not watertight");
    return std::nullopt;
  }
  if (!aligned) return Surface{mesh.grid, said ? closed : mesh.watertight, {}};
  const auto placing = placing_of(spots, unknown ? std::nullopt : std::optional(mm));
  if (!placing) {
    in.refuse("align", "these spots fix no place");
    return std::nullopt;
  }
  // The triangles were read in mm already.
  std::vector<Corners> triangles = mesh.grid->triangles();
  for (Corners& corners : triangles)
    for (V3& corner : corners) corner = placing->point(corner / mm);
  return Surface{
      std::make_shared<const TriangleGrid>(std::move(triangles)), said ? closed : mesh.watertight, {}};
}

}  // namespace

const Files::Mesh& Files::mesh(const YamlFile& from, const std::string& file, double mm_per_unit) {
  const std::string name = from.base + "/" + file;
  const auto [at, fresh] = meshes_.try_emplace({name, mm_per_unit});
  Mesh& mesh = at->second;
  if (!fresh) return mesh;
  if (file.empty() || file.front() == '/' || !lies_beside(name)) {
    mesh.why = "the path leads out of the folder of this file; put the mesh beside it";
    return mesh;
  }
  auto read = read_triangles(bytes(name, kMostMeshBytes), mm_per_unit);
  if (const auto* why = std::get_if<std::string>(&read)) {
    mesh.why = fmt::format("{}: {}", file, *why);
    return mesh;
  }
  auto& triangles = std::get<std::vector<Corners>>(read);
  mesh.watertight = is_watertight(triangles);
  mesh.grid = std::make_shared<const TriangleGrid>(std::move(triangles));
  return mesh;
}

std::optional<Solid> read_solid(Table in, Files& files) {
  in.set_aside("looked_behind");  // of a known space: speaks of what scans have not seen
  std::vector<std::string> kinds = in.keys();
  std::erase(kinds, "looked_behind");
  if (kinds.size() != 1) {
    in.refuse("", "want one shape");
    return std::nullopt;
  }
  const std::string kind = kinds.front();
  if (kind == "box") return read_block(in.table(kind));
  if (kind == "cylinder" || kind == "capsule" || kind == "cone") return read_rod(kind, in.table(kind));
  if (kind == "sphere") return read_sphere(in.table(kind));
  if (kind == "extrusion") return read_prism(in.table(kind));
  if (kind == "rail") return read_rail(in.table(kind));
  if (kind == "mesh") return read_surface(in.table(kind), files);
  in.refuse(kind, "the recheck does not know this shape");
  return std::nullopt;
}

std::optional<Obstacle> read_obstacle(Table& in, Files& files) {
  Obstacle obstacle;
  obstacle.name = in.word("name");
  obstacle.hazard = in.word("hazard");
  if (in.has("own_gap")) {
    Table own = in.table("own_gap");
    obstacle.own_gap_mm = own.length_mm("gap");
    own.set_aside("by");
    own.set_aside("reason");
    own.done();
  }
  in.set_aside("measured");
  in.set_aside("accuracy");
  const std::optional<Solid> solid = read_solid(in.table("shape"), files);
  if (!solid) return std::nullopt;
  obstacle.solid = *solid;
  return obstacle;
}

std::vector<Obstacle> read_obstacles(Table& in, const char* key, Files& files) {
  std::vector<Obstacle> out;
  for (Table& item : in.tables(key)) {
    if (auto obstacle = read_obstacle(item, files)) out.push_back(*std::move(obstacle));
    item.done();
  }
  return out;
}

}  // namespace hosefit::recheck
