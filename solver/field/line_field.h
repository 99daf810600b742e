// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <limits>
#include <span>
#include <vector>

#include "solver/field/box_rows.h"
#include "solver/field/field_store.h"
#include "solver/model/route.h"

namespace hosefit {

/// What binds at a point. `spare_mm` = distance to the obstacle's surface (negative inside a closed one)
/// minus the gap required of it; the runner's own radius is not yet taken off.
struct Spare {
  double spare_mm = std::numeric_limits<double>::infinity();
  double distance_mm = std::numeric_limits<double>::infinity();
  double required_mm = 0;
  ObstacleRef obstacle;  ///< valid when hose is empty
  int hose = -1;         ///< index into the laid routes given, or -1
  Vec3 nearest_mm = Vec3::Zero();
};

/// A route already laid, as an obstacle to the next: its tube, with the gap that two hoses need.
struct LaidRoute {
  Centreline centreline;
  std::vector<RouteSection> sections;
};

/// The spare gap around one line: the least over (body, hazard) of distance in the body's frame minus
/// required gap, and over the routes laid before. Gaps are resolved here, at query time; the indexes behind
/// know none. 1-Lipschitz in the point. Queries are const and thread-safe. The field keeps what it needs of
/// the bay alive. Which row holds between two hoses is not known here: the stricter of same and other carrier
/// counts, and of both runners.
class LineField {
 public:
  LineField(const Bay& bay, FieldStore& store, const GapTable& gaps, Runner runner, LineCarrier carrier,
            std::span<const LaidRoute> laid = {});

  /// Exact (tessellated within kOvershoot_mm outward, float index within 0.001 mm). When nothing binds at or
  /// below `stop_above_mm` the answer's spare is infinite and its other members say nothing. Equal spares go
  /// to the lowest body, then obstacle; laid routes come last. Obstacles in `ignore` do not count.
  Spare exact(const Vec3& p_mm, double stop_above_mm = std::numeric_limits<double>::infinity(),
              std::span<const ObstacleRef> ignore = {}) const;
  /// Never above the exact spare gap. Cheap.
  double lower_bound_mm(const Vec3& p_mm) const;
  /// Close to the exact spare gap, either side; for search and as a first filter only.
  double estimate_mm(const Vec3& p_mm) const;
  /// Signed distance to one obstacle, no gap taken off; infinity when it has no triangles.
  double distance_to(ObstacleRef ref, const Vec3& p_mm) const;
  /// The gap that this field requires of an obstacle.
  double required_mm(ObstacleRef ref) const;
  /// Box around all obstacles, vehicle frame; laid routes are not in it. Empty when there is no obstacle.
  const AxisBox& bounds() const { return bounds_; }

  static constexpr double kOvershoot_mm = FieldStore::kOvershoot_mm;

 private:
  struct Part;    ///< one group of one body with its gap
  struct Placed;  ///< a body's field and pose
  struct Tube;    ///< a stretch of a laid route: one piece, one radius, one gap
  struct Parts {
    std::vector<Placed> bodies;
    std::vector<Part> parts;  ///< by body, then by group
    BoxRows reaches;          ///< beside parts, see reach_of
    std::vector<Tube> tubes;  ///< by route, then along it
  };
  static AxisBox reach_of(const Part& part, const Pose& pose);
  void add_body(const PlacedBody& body, std::size_t index, const std::shared_ptr<const BodyField>& field,
                const GapTable& gaps, Runner runner, LineCarrier carrier, Parts& parts);
  static void add_tubes(const LaidRoute& route, int index, const GapTable& gaps, Runner runner, Parts& parts);
  void ask(const Part& part, const Vec3& p_own_mm, double stop_above_mm, std::span<const ObstacleRef> ignore,
           Spare& best) const;
  void ask_tubes(const Vec3& p_mm, double stop_above_mm, Spare& best) const;
  double tubes_spare_mm(const Vec3& p_mm) const;
  double least_of_parts(const Vec3& p_mm,
                        double (BodyField::*distance)(std::size_t, const Vec3&, double) const) const;

  std::shared_ptr<const Parts> parts_;
  AxisBox bounds_;
};

}  // namespace hosefit
