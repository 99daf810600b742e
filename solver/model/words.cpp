// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/model/finding.h"
#include "solver/model/line.h"
#include "solver/model/route.h"
#include "solver/model/verdict.h"

namespace hosefit {

std::string_view word(Make make) {
  switch (make) {
    case Make::straight_hose:
      return "straight_hose";
    case Make::elbows_and_straights:
      return "elbows_and_straights";
    case Make::corrugated_hose:
      return "corrugated_hose";
    case Make::bent_tube:
      return "bent_tube";
    case Make::moulded_shape:
      return "moulded_shape";
  }
  return "";
}
std::string_view title(Make make) {
  switch (make) {
    case Make::straight_hose:
      return "straight hose";
    case Make::elbows_and_straights:
      return "elbows and straights";
    case Make::corrugated_hose:
      return "corrugated hose";
    case Make::bent_tube:
      return "bent metal tube with couplers";
    case Make::moulded_shape:
      return "moulded shape, cut to fit";
  }
  return "";
}
std::string_view word(Duty duty) {
  switch (duty) {
    case Duty::hot:
      return "hot";
    case Duty::suction:
      return "suction";
    case Duty::heater_feed:
      return "heater_feed";
    case Duty::heater_return:
      return "heater_return";
    case Duty::vent:
      return "vent";
  }
  return "";
}
std::string_view word(Grade grade) {
  switch (grade) {
    case Grade::rise:
      return "rise";
    case Grade::fall:
      return "fall";
    case Grade::one_way:
      return "one_way";
    case Grade::free:
      return "free";
  }
  return "";
}
std::string_view word(Fit fit) {
  switch (fit) {
    case Fit::fits:
      return "fits";
    case Fit::passage_no_stock:
      return "passage, no stock";
    case Fit::does_not_fit:
      return "does not fit";
    case Fit::undecided:
      return "undecided";
  }
  return "";
}
std::string_view word(Severity severity) {
  switch (severity) {
    case Severity::stop:
      return "stop";
    case Severity::flag:
      return "flag";
    case Severity::note:
      return "note";
  }
  return "";
}
std::string_view word(RuleId rule) {
  switch (rule) {
    case RuleId::gap:
      return "gap";
    case RuleId::self_gap:
      return "self_gap";
    case RuleId::bend_radius:
      return "bend_radius";
    case RuleId::bend_angle:
      return "bend_angle";
    case RuleId::straight_between_bends:
      return "straight_between_bends";
    case RuleId::lead:
      return "lead";
    case RuleId::length_on_sale:
      return "length_on_sale";
    case RuleId::tangent_break:
      return "tangent_break";
    case RuleId::end_mismatch:
      return "end_mismatch";
    case RuleId::grade:
      return "grade";
    case RuleId::known_space:
      return "known_space";
    case RuleId::unseen_space:
      return "unseen_space";
    case RuleId::clamp_blocked:
      return "clamp_blocked";
    case RuleId::stub_blocked:
      return "stub_blocked";
    case RuleId::no_passage:
      return "no_passage";
    case RuleId::no_route_found:
      return "no_route_found";
    case RuleId::no_stock:
      return "no_stock";
    case RuleId::engagement:
      return "engagement";
    case RuleId::neck_match:
      return "neck_match";
    case RuleId::neck_bead:
      return "neck_bead";
    case RuleId::flange_mismatch:
      return "flange_mismatch";
    case RuleId::seat_mismatch:
      return "seat_mismatch";
    case RuleId::belt_plane:
      return "belt_plane";
    case RuleId::rotation:
      return "rotation";
    case RuleId::hood_over_intake:
      return "hood_over_intake";
    case RuleId::intake_over_pump:
      return "intake_over_pump";
    case RuleId::rigid_clash:
      return "rigid_clash";
    case RuleId::fan_to_core:
      return "fan_to_core";
    case RuleId::joint_count:
      return "joint_count";
    case RuleId::span_support:
      return "span_support";
    case RuleId::suction_collapse:
      return "suction_collapse";
    case RuleId::velocity:
      return "velocity";
    case RuleId::suction_margin:
      return "suction_margin";
    case RuleId::bypass_loop:
      return "bypass_loop";
    case RuleId::stock_radius_unsourced:
      return "stock_radius_unsourced";
    case RuleId::motion_assumed:
      return "motion_assumed";
    case RuleId::motion_gap:
      return "motion_gap";
    case RuleId::motion_clash:
      return "motion_clash";
    case RuleId::motion_bend:
      return "motion_bend";
    case RuleId::motion_coupler:
      return "motion_coupler";
    case RuleId::motion_shape:
      return "motion_shape";
    case RuleId::chosen_height_range:
      return "chosen_height_range";
    case RuleId::neck_elsewhere:
      return "neck_elsewhere";
    case RuleId::tee_stands:
      return "tee_stands";
    case RuleId::tee_not_placed:
      return "tee_not_placed";
    case RuleId::tee_out_of_range:
      return "tee_out_of_range";
    case RuleId::tee_in_motion:
      return "tee_in_motion";
    case RuleId::tee_flow:
      return "tee_flow";
  }
  return "";
}

double least_engagement_mm(Length neck_outside_diameter) {
  return neck_outside_diameter.mm() >= 25.0 ? 28.0 : 20.0;
}

double least_lead_mm(const Stock& stock, Length neck_outside_diameter) {
  switch (stock.make) {
    case Make::straight_hose:
    case Make::elbows_and_straights:
    case Make::moulded_shape:
      return 0.5 * stock.outside_diameter.mm();
    case Make::corrugated_hose:
      return stock.cuff.mm() - stock.cuff_trim.mm() > least_engagement_mm(neck_outside_diameter)
                 ? stock.cuff.mm() - stock.cuff_trim.mm() - least_engagement_mm(neck_outside_diameter) +
                       0.5 * stock.outside_diameter.mm()
                 : 0.5 * stock.outside_diameter.mm();
    case Make::bent_tube:
      return stock.coupler_gap.mm() + stock.cuff.mm();
  }
  return 0;
}

}  // namespace hosefit
