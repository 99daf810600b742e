// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "solver/decide/decide.h"
#include "solver/geometry/triangle_mesh.h"
#include "solver/view/palette.h"

/// What there is to see of one candidate in its bay, as triangles in the vehicle frame. No drawing library.
namespace hosefit {

enum class SceneKind { part, neck, line };

/// One obstacle, one neck, or one line. Items of the same group are one thing: no edge is drawn between them.
struct SceneItem {
  std::string name;  ///< as in the input, not yet safe to print
  SceneKind kind = SceneKind::part;
  std::size_t group = 0;  ///< below Scene::groups
  Colour colour;
  TriangleMesh mesh;
  std::vector<Colour> colours;  ///< per triangle; empty: `colour` all over
  bool closed = true;           ///< its inside is solid, so a cut through it shows a face
  std::optional<ObstacleRef> obstacle;
  std::optional<std::size_t> line;  ///< index into Bay::lines
  std::size_t body = 0;             ///< index into Bay::bodies; of a line 0
};

inline const Colour& colour_at(const SceneItem& item, std::size_t triangle) {
  return item.colours.empty() ? item.colour : item.colours[triangle];
}

/// What is known of one line, for its label.
struct SceneLine {
  std::string name;
  bool routed = false;                        ///< false: nothing to draw but where it should go
  SpareClass spare = SpareClass::not_proved;  ///< at its tightest place
  bool proved = false;                        ///< as LineProof::proved; only then it is drawn without stripes
  std::optional<double>
      least_spare_mm;    ///< found - required at its tightest recorded gap, when proved or short
  std::string tightest;  ///< obstacle or line there
  Vec3 from_mm = Vec3::Zero(), to_mm = Vec3::Zero();  ///< its neck ends
};

/// The place that decides: where the first stop stands, else the nearest miss of a search, else the tightest
/// proved gap.
struct DecidingSpot {
  Vec3 where_mm = Vec3::Zero();  ///< as the finding or proof says; for a line on its centreline
  Vec3 first_mm = Vec3::Zero(), second_mm = Vec3::Zero();  ///< the surfaces that face each other there
  bool has_gap = false;                                    ///< first and second are known and apart
  std::string first, other;                                ///< line or part, and what it meets
  std::optional<double> spare_mm;                          ///< found - required; negative: short
  std::optional<double> found_mm, required_mm;
  enum class Origin { finding, nearest_miss, tightest_gap } origin = Origin::tightest_gap;
  bool at_least = false;  ///< more than that is missing, how much is not known
  bool proved = false;    ///< the figure rests on a line that was proved
};

struct Scene {
  std::vector<SceneItem> items;
  std::size_t groups = 0;
  std::vector<SceneLine> lines;  ///< one per line of the bay
  std::optional<DecidingSpot> spot;
};

/// `bay` must be the one that the candidate of `result` stands in. Lines are drawn with the hose pushed over
/// their necks. A proved line is coloured along its length by a bound that no place falls below
/// (spare_along); a line without a proof is striped grey, but for the places measured short.
Scene scene_of(const Prepared& prepared, const Bay& bay, const CandidateResult& result);

/// Every vertex, for fitting a camera.
std::vector<Vec3> vertices_of(const Scene& scene);

}  // namespace hosefit
