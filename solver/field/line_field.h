// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <limits>
#include <span>
#include <vector>

#include "solver/field/field_store.h"
#include "solver/model/route.h"

namespace hosefit {

/// What binds at a point. `spare_mm` = distance to the obstacle's surface (negative inside a closed one) minus the gap
/// required of it; the runner's own radius is not yet taken off.
struct Spare {
  double spare_mm = std::numeric_limits<double>::infinity();
  double distance_mm = std::numeric_limits<double>::infinity();
  double required_mm = 0;
  ObstacleRef obstacle;        ///< valid when hose is empty
  int hose = -1;               ///< index into the laid routes given, or -1
  Vec3 nearest_mm = Vec3::Zero();
};

/// A route already laid, as an obstacle to the next: its tube, with the gap that two hoses need.
struct LaidRoute {
  Centreline centreline;
  std::vector<RouteSection> sections;
};

/// The spare gap around one line: the least over (body, hazard) of distance in the body's frame minus required gap, and over
/// the routes laid before. Gaps are resolved here, at query time; the indexes behind know none. 1-Lipschitz in the point.
/// Queries are const and thread-safe; the Bay must outlive the field.
class LineField {
 public:
  LineField(const Bay& bay, FieldStore& store, const GapTable& gaps, Runner runner, LineCarrier carrier,
            std::span<const LaidRoute> laid = {});

  /// Exact (tessellated within kOvershoot_mm outward, float index within 0.001 mm). May return any value above
  /// `stop_above_mm` as soon as nothing can bind below it. Obstacles in `ignore` do not count.
  Spare exact(const Vec3& p_mm, double stop_above_mm = std::numeric_limits<double>::infinity(),
              std::span<const ObstacleRef> ignore = {}) const;
  /// Never above the exact spare gap. Cheap.
  double lower_bound_mm(const Vec3& p_mm) const;
  /// Close to the exact spare gap, either side; for search and as a first filter only.
  double estimate_mm(const Vec3& p_mm) const;
  /// Box around all obstacles, vehicle frame.
  const AxisBox& bounds() const { return bounds_; }

  static constexpr double kOvershoot_mm = 0.05;  ///< curved shapes count as fatter by at most this; ten times more loses narrow passages

 private:
  struct Part;  ///< one (body, hazard or own gap) index with its pose, box and gap
  const Bay* bay_;
  std::vector<std::shared_ptr<const Part>> parts_;
  std::vector<LaidRoute> laid_;
  AxisBox bounds_;
};

}  // namespace hosefit
