// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <span>
#include <vector>

#include "solver/model/bay.h"
#include "solver/model/finding.h"
#include "solver/model/route.h"

namespace hosefit {

/// A limit of a rule with where it comes from.
struct RuleLimit {
  double value = 0;
  Provenance provenance;
};

/// Limits that are not gaps. Each default's source stands beside it in the .cpp; trade figures without one
/// say so.
struct RuleLimits {
  RuleLimit belt_offset_stop_deg, belt_offset_flag_deg, belt_offset_stop_mm;
  RuleLimit neck_loose_mm, neck_tight_share, neck_tight_flag_share;
  RuleLimit span_support_large_mm, span_support_small_mm;
  RuleLimit joints_flag_per_line;
};
RuleLimits default_rule_limits();

/// From this neck outside diameter up a line counts as large bore; below it as heater hose. The same step as
/// in least_engagement_mm.
inline constexpr double kLargeBoreFrom_mm = 25.0;

/// Whether the parts go together at all, before anything is placed. Everything here holds at every intake
/// height.
///   flange_mismatch  stop; parameters pump_flange, housing_flange.
///   seat_mismatch    stop; parameter place: the port that the pump seats a housing on.
///   belt_plane       always told: stop, flag, or a note when in line. measured, limit and margin in mm, the
///   limit being the
///                    tighter of the offset in mm and the angle over the drive's longest span at the pump;
///                    parameters offset_deg, span_mm, limit_deg (only when the angle binds), accuracy_mm (of
///                    both planes together).
///   rotation         stop; parameters wanted, given, contact. The grooved side of the belt turns the pump as
///   the crank
///                    turns, its back side the other way (handbook: pump supplier note).
std::vector<Finding> pairing_findings(const Job& job, const Candidate& candidate, const RuleLimits& limits);

/// The offset of two belt planes as the angle that the belt runs askew over a span. Requires span > 0.
Angle belt_angle(Length offset, Length span);

/// What the routed lines mean for a fitter. subject = line name; other = neck name where an end is meant.
///   neck_match        stop when loose or far too tight, flag when tight. measured = neck OD - hose ID in mm;
///   limit in mm.
///                     Parameters hose_id_mm, neck_od_mm, tight_percent, kind: loose | tight, and where ISO
///                     1307 lists the nominal bore: hose_id_least_mm, hose_id_most_mm (hose not made on a
///                     mandrel).
///   neck_bead         flag. engagement: flag, measured = straight that hose can be pushed over, mm.
///   joint_count       flag, measured = clamped ends. span_support: note, measured = free length, mm.
///   suction_collapse  note, limit = inside pressure below the outside at which the bare hose flattens, kPa.
///   stock_radius_unsourced  note; parameter stock.
///   motion_assumed       note, one for all lines; parameters mounts, lines (those between engine and
///   chassis).
std::vector<Finding> line_findings(const Job& job, const Bay& bay, std::span<const Route> routes,
                                   const RuleLimits& limits);

/// The longest stretch that a line of this bay may run without a support, in mm.
const RuleLimit& longest_free_span(const Bay& bay, const BayLine& line, const RuleLimits& limits);

/// Ring buckling of a bare hose, E/(4(1-v^2)) (t/r_mid)^3 (textbook form, from memory) with E = 4 MPa, v =
/// 0.5: hot, soft rubber (E from memory). Plies and springs are not in it. Requires bore and wall > 0.
Pressure collapse_pressure(Length bore, Length wall);

}  // namespace hosefit
