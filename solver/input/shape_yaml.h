// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "solver/input/map_view.h"
#include "solver/input/mesh_yaml.h"
#include "solver/input/neck_check.h"
#include "solver/model/family.h"

/// Readers of what several kinds of files hold: shapes, obstacles, necks, provenance, resistances.
namespace hosefit {

/// What readers share besides the file itself.
struct ReadTools {
  ProblemLog& log;
  MeshShelf& meshes;
};

/// A shape with what its file says beyond its form; see Obstacle.
struct ReadShape {
  Shape shape;
  bool closed = true;
  SeenFrom seen_from = SeenFrom::front;
  std::shared_ptr<const MeshNotes> notes = nullptr;
  Length off = {};  ///< to be added to the accuracy: how far the pairs of a scan are off
};
/// The shape at the first key of the shape table that stands in `in`. Empty when it cannot be built; the
/// problem is in the log.
std::optional<ReadShape> read_shape(const MapView& in, const ReadTools& tools);
/// The list of obstacles at `key`; those that were refused are left out. Names given twice are refused.
std::vector<Obstacle> read_obstacles(const MapView& in, std::string_view key, const ReadTools& tools);
std::optional<Obstacle> read_obstacle(const MapView& in, const ReadTools& tools);
std::optional<Neck> read_neck(const MapView& in, const ReadTools& tools);
/// The list of necks at `key`, each held against the obstacles of its own body (neck_check.h).
std::vector<Neck> read_necks(const MapView& in, std::string_view key, const NeckSurroundings& around,
                             const ReadTools& tools);
Provenance read_provenance(const MapView& in);
Provenance shop_provenance(const MapView& in);  ///< from the keys `by` and `reason`
FlowResistance read_resistance(const MapView& in);

/// Refuses what stands at `key` of the later of two mappings of a list that say the same there. False when
/// there were some.
bool refuse_repeated(const std::vector<MapView>& maps, std::string_view key, std::string_view what,
                     ProblemLog& log);

}  // namespace hosefit
