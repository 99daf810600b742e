// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "solver/geometry/vec.h"
#include "solver/model/provenance.h"

namespace hosefit {

/// Every rule the tool knows. Words are made from it in report/ only.
enum class RuleId {
  gap,
  self_gap,
  bend_radius,
  bend_angle,
  straight_between_bends,
  lead,
  length_on_sale,
  tangent_break,
  end_mismatch,
  grade,
  known_space,
  unseen_space,
  clamp_blocked,
  stub_blocked,
  no_passage,
  no_route_found,
  no_stock,
  engagement,
  neck_match,
  neck_bead,
  flange_mismatch,
  seat_mismatch,
  belt_plane,
  rotation,
  hood_over_intake,
  intake_over_pump,
  rigid_clash,
  fan_to_core,
  joint_count,
  span_support,
  suction_collapse,
  velocity,
  suction_margin,
  bypass_loop,
  stock_radius_unsourced,
  motion_assumed,
  motion_gap,
  motion_clash,
  motion_bend,
  motion_coupler,
  motion_shape,
  chosen_height_range,
  neck_elsewhere,
  tee_stands,
  tee_not_placed,
  tee_out_of_range,
  tee_in_motion,
  tee_flow
};
std::string_view word(RuleId rule);  ///< stable id: "bend_radius"

enum class Severity { stop, flag, note };
std::string_view word(Severity severity);

/// A number with the unit it is told in.
enum class FindingUnit { mm, deg, kpa, m_s, count, none };

/// A rule applied once. `margin` = how far inside the limit (negative: short of it by that much).
struct Finding {
  RuleId rule = RuleId::gap;
  Severity severity = Severity::note;
  std::string subject;           ///< line or part it is about
  std::string other;             ///< obstacle or part on the other side; may be empty
  std::optional<Vec3> where_mm;  ///< vehicle frame
  std::optional<double> measured, limit, margin;
  FindingUnit unit = FindingUnit::none;
  bool undecided = false;  ///< makes the candidate undecided rather than stopped; only with Severity::stop
  std::optional<Provenance> provenance;
  std::map<std::string, std::string> parameters;
};

}  // namespace hosefit
