// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>
#include <span>
#include <vector>

#include "solver/field/line_field.h"
#include "solver/geometry/centreline.h"

namespace hosefit {

/// Whether the search stays where the shop says that everything is recorded.
enum class Ground { known_space_only, anywhere };

/// The space one run of a given outside diameter may use. The margin at a point of its centreline is the
/// spare gap less the run's radius: the run keeps every required gap where the margin is at least 0.
class Room {
 public:
  Room(const Bay& bay, const LineField& field, double outside_diameter_mm, Ground ground);

  double estimate_mm(const Vec3& p_mm) const;     ///< close to the margin, either side
  double lower_bound_mm(const Vec3& p_mm) const;  ///< never above the margin
  /// The margin, or any larger value once it is known to be above `stop_above_mm`.
  double margin_mm(const Vec3& p_mm, double stop_above_mm = 1e9) const;

  /// What binds at a point and the direction in which the margin grows.
  struct Contact {
    double margin_mm = 0;
    Vec3 away;
    Vec3 nearest_mm;
    bool lasting = false;  ///< margin = distance to nearest_mm - keep_off_mm from other points too (an upper
                           ///< bound there)
    double keep_off_mm = 0;
  };
  Contact contact(const Vec3& p_mm, double stop_above_mm = 1e9) const;

  Spare spare(const Vec3& p_mm, std::span<const ObstacleRef> ignore = {}) const {
    return field_->exact(p_mm, 1e9, ignore);
  }
  bool known(const Vec3& p_mm) const;
  double radius_mm() const { return radius_mm_; }
  const LineField& field() const { return *field_; }
  const Bay& bay() const { return *bay_; }
  Ground ground() const { return ground_; }

 private:
  struct Wall {
    double depth_mm = 1e9;  ///< how far inside known space, negative outside
    Vec3 inward = Vec3::UnitX();
  };
  Wall known_wall(const Vec3& p_mm) const;
  const Bay* bay_;
  const LineField* field_;
  double radius_mm_;
  Ground ground_;
};

/// How a motion of the search is looked at: the cheap estimate or exact distances, and the overlap that is
/// let pass because the polish can still push it out.
struct Look {
  bool exact = false;
  double overlap_mm = 3.0;
};
bool is_free(const Room& room, const Piece& piece, const Look& look);
bool is_free(const Room& room, const Centreline& centreline, const Look& look);
/// How far along the piece it stays free.
double free_length_mm(const Room& room, const Piece& piece, const Look& look);

/// The least margin between two arc lengths, found by halving intervals until the distance bound (the margin
/// is 1-Lipschitz) leaves no room for less.
struct LeastMargin {
  double sampled_mm = 1e9;  ///< the least value met
  double proved_mm =
      1e9;  ///< no point of the stretch has less; at most 0.2 mm under `sampled_mm`, near 0 much closer
  Vec3 where_mm = Vec3::Zero();
  bool known = true;  ///< no sample at most 2 mm apart left known space (always true with Ground::anywhere)
  std::int64_t queries = 0;
};
LeastMargin least_margin(const Room& room, const Centreline& centreline, double from_s_mm, double to_s_mm);

}  // namespace hosefit
