// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "solver/input/map_view.h"
#include "solver/input/neck_check.h"
#include "solver/model/family.h"

/// Readers of what several kinds of files hold: shapes, obstacles, necks, provenance, resistances.
namespace hosefit {

/// Mesh files by the folder of the file that names them; each is read once.
class MeshShelf {
 public:
  struct Entry {
    std::string folder, shown_name;            ///< of the file that names it; the mesh as written there
    std::string bytes;                         ///< as read, for the fingerprint
    std::shared_ptr<const TriangleMesh> mesh;  ///< null when refused
    std::string why;                           ///< refused: why
  };
  /// `written` is a path below `folder`; anything that leads out of it is refused.
  const Entry& get(const std::string& folder, const std::string& written, const std::string& unit);
  const std::map<std::string, Entry>& all() const { return entries_; }  ///< by folder, name and unit

 private:
  std::map<std::string, Entry> entries_;
};

/// What readers share besides the file itself.
struct ReadTools {
  ProblemLog& log;
  MeshShelf& meshes;
};

/// Empty when the shape cannot be built; the problem is in the log.
std::optional<Shape> read_shape(const MapView& in, const ReadTools& tools);
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
