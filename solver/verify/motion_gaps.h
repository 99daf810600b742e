// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cstdint>
#include <functional>
#include <optional>
#include <vector>

#include "solver/verify/motion_box.h"

namespace hosefit {

/// Something a line must keep clear of while it moves.
struct Foe {
  std::function<double(const Vec3&)> distance_mm;  ///< 1-Lipschitz
  bool convex = false;                             ///< then distance_mm is a convex function
  bool on_engine = false;                          ///< distance_mm takes points as seen from the engine
  std::vector<double> off_mm;  ///< per link: radius + required gap; not-a-number where it does not count
};

/// Where a bound over a box falls short: `pull` is by how much each way may bring the line nearer at that
/// point, with the sign of the way that does.
struct Doubt {
  std::size_t link = 0;
  double bound_mm = 0;
  std::array<double, 4> pull{};
  double off_mm = 0;
};

/// Is the spare gap at least -tolerance at every point of the line at every place in the box? Empty: yes.
/// With a convex foe the distance at p + d is at least that at p plus its slope there times d; with any other
/// it is at least that at p less |d|.
std::optional<Doubt> doubt_over_box(const LineInMotion& line, const NodeMotion& motion, const Foe& foe,
                                    double tolerance_mm, std::int64_t& queries);

struct LeastSpareAt {
  double spare_mm = 0;
  std::size_t link = 0;
  double s_mm = 0;
  Vec3 where_mm = Vec3::Zero();  ///< seen as `nodes` are
};
/// The least spare gap of the line with its nodes where they are, to tolerance.
LeastSpareAt least_spare_at(const LineInMotion& line, const std::vector<Vec3>& nodes, const Foe& foe,
                            double tolerance_mm, std::int64_t& queries);

/// The place in the box that the doubt points to.
EnginePlace place_of(const Doubt& doubt, const PlaceBox& box);

}  // namespace hosefit
