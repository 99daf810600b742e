// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/rules/part_rules.h"

namespace hosefit {

RuleLimits default_rule_limits() {
  const Provenance untitled_handbook{Source::handbook, "", "",
                                     ""};  // no title a reader can find: counts as unsourced
  const Provenance practice{Source::common_practice, "", "", ""};
  const Provenance memory{Source::from_memory, "", "", ""};
  RuleLimits limits;
  // Alignment-tool tables give 0.5 deg for ribbed and V belts; none was found in SAE J1459, ISO 9981 or ISO
  // 9982.
  limits.belt_offset_stop_deg = {0.5, untitled_handbook};
  limits.belt_offset_flag_deg = {0.33, memory};
  // A service manual's belt-edge window.
  limits.belt_offset_stop_mm = {1.5, untitled_handbook};
  // Neck outside diameter minus hose inside diameter: looser than this leaks; up to 5 % pushes on; up to 8 %
  // only softened.
  limits.neck_loose_mm = {0.5, practice};
  limits.neck_tight_share = {0.05, practice};
  limits.neck_tight_flag_share = {0.08, practice};
  // Support large hose over 450-600 mm and heater hose over 300-450 mm: the lower ends.
  limits.span_support_large_mm = {450.0, practice};
  limits.span_support_small_mm = {300.0, practice};
  // One joiner is accepted, more is a re-think: two ends and one joiner make four clamped ends.
  limits.joints_flag_per_line = {4.0, practice};
  return limits;
}

}  // namespace hosefit
