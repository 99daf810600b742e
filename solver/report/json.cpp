// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/report/json.h"

#include <algorithm>

#include "solver/report/json_values.h"

namespace hosefit {
namespace {

constexpr int kPickVersion = 1;

Json centreline_json(const Centreline& centreline) {
  Json out = Json::array();
  for (const Piece& piece : centreline.pieces) {
    if (const auto* straight = std::get_if<Straight>(&piece)) {
      out.push_back({{"straight", {{"from", place(straight->from_mm)}, {"to", place(straight->to_mm)}}}});
      continue;
    }
    const Arc& arc = std::get<Arc>(piece);
    Json body{{"start", place(arc.start_mm)}, {"centre", place(arc.centre_mm)}};
    const auto fine = [](double value) { return direction_number(value); };
    body["normal"] = Json::array({fine(arc.normal.x()), fine(arc.normal.y()), fine(arc.normal.z())});
    body["angle_rad"] = fine(arc.angle_rad);
    body["radius_mm"] = number(arc.radius_mm());
    out.push_back({{"arc", body}});
  }
  return out;
}

Json miss_json(const std::optional<Obstruction>& miss) {
  if (!miss) return nullptr;
  return {{"obstacle", miss->obstacle},
          {"where", place(miss->where_mm)},
          {"missing_mm", number(miss->missing_mm)},
          {"required_mm", number(miss->required_mm)},
          {"found_mm", number(miss->found_mm)},
          {"resolution_mm", number(miss->resolution_mm)}};
}

Json shape_json(const StockPiece& piece) {
  if (!piece.shape) return nullptr;
  return {{"name", piece.shape->name},
          {"from_mm", number(piece.shape->from_mm)},
          {"to_mm", number(piece.shape->to_mm)},
          {"reversed", piece.shape->reversed}};
}

Json pieces_json(const Route& route) {
  Json out = Json::array();
  for (const StockPiece& piece : route.pieces)
    out.push_back({{"stock", piece.stock},
                   {"what", piece.what},
                   {"cut_mm", number(piece.cut_length_mm)},
                   {"bought_mm", piece.bought_length_mm > 0 ? number(piece.bought_length_mm) : Json(nullptr)},
                   {"clock_rad", number(piece.clock_rad)},
                   {"shape", shape_json(piece)}});
  return out;
}

Json gaps_json(const LineProof& proof) {
  Json out = Json::array();
  for (const GapRecord& gap : proof.gaps)
    out.push_back({{"other", gap.other},
                   {"runner", hosefit::word(gap.runner)},
                   {"required_mm", number(gap.required_mm)},
                   {"found_mm", number(gap.found_mm)},
                   {"proved_mm", number(gap.proved_mm)},
                   {"s_mm", number(gap.s_mm)},
                   {"where", place(gap.where_mm)},
                   {"provenance", provenance_json(gap.provenance)}});
  return out;
}

Json route_json(const Job& job, const Route& route, const LineProof* proof) {
  Json out{{"make", hosefit::word(route.make)},
           {"stock", route.stock},
           {"proved", proof != nullptr && proof->proved},
           {"pieces", pieces_json(route)},
           {"centreline", centreline_json(route.centreline)}};
  out["sections"] = Json::array();
  for (const RouteSection& section : route.sections)
    out["sections"].push_back({{"from_mm", number(section.from_s_mm)},
                               {"to_mm", number(section.to_s_mm)},
                               {"outside_diameter_mm", number(section.outside_diameter_mm)},
                               {"runner", hosefit::word(section.runner)}});
  out["length_mm"] = number(length_mm(route.centreline));
  const auto stock =
      std::find_if(job.stock.begin(), job.stock.end(), [&](const Stock& s) { return s.id == route.stock; });
  const bool known = stock != job.stock.end() && !stock->radii.empty();
  out["least_radius_mm"] = known ? number(stock->radii.front().mm()) : Json(nullptr);
  out["engagement_from_mm"] = number(route.engagement_from_mm);
  out["engagement_to_mm"] = number(route.engagement_to_mm);
  out["joints"] = route.joints;
  out["gaps"] = proof != nullptr ? gaps_json(*proof) : Json::array();
  out["clamps"] = Json::array();
  if (proof != nullptr)
    for (const ClampRecord& clamp : proof->clamps)
      out["clamps"].push_back({{"piece", clamp.piece},
                               {"end", clamp.at_start ? "start" : "end"},
                               {"at_neck", clamp.neck.has_value()},
                               {"from_end_mm", number(clamp.from_end_mm)},
                               {"clock_rad", number(clamp.clock_rad)},
                               {"spare_mm", number(clamp.spare_mm)},
                               {"tightest", clamp.tightest}});
  return out;
}

Json line_json(const Job& job, const CandidateResult& result, std::size_t i) {
  const Line& line = job.vehicle.lines[i];
  Json out{{"name", line.name}, {"from", line.from}, {"to", line.to}, {"duty", hosefit::word(line.duty)}};
  const auto search = std::find_if(result.searches.begin(), result.searches.end(),
                                   [&](const LineSearch& s) { return s.line == i; });
  out["outcome"] =
      search != result.searches.end() ? hosefit::word(search->outcome) : std::string_view("not tried");
  out["pinned_stock"] = line.stock ? Json(*line.stock) : Json(nullptr);
  out["pinned_reason"] = line.stock ? Json(line.stock_reason) : Json(nullptr);
  out["route"] = nullptr;
  for (const Route& route : result.routes) {
    if (route.line != i) continue;
    const auto proof = std::find_if(result.proof.lines.begin(), result.proof.lines.end(),
                                    [&](const LineProof& p) { return p.line == i; });
    out["route"] = route_json(job, route, proof != result.proof.lines.end() ? &*proof : nullptr);
  }
  out["attempts"] = Json::array();
  out["nearest_miss"] = nullptr;
  if (search == result.searches.end()) return out;
  for (const MakeAttempt& attempt : search->attempts)
    out["attempts"].push_back({{"make", hosefit::word(attempt.make)},
                               {"stock", attempt.stock},
                               {"outcome", hosefit::word(attempt.outcome)},
                               {"breaks", attempt.breaks.empty() ? Json(nullptr) : Json(attempt.breaks)},
                               {"nearest_miss", miss_json(attempt.nearest_miss)}});
  out["nearest_miss"] = miss_json(search->nearest_miss);
  return out;
}

Json lines_json(const Job& job, const CandidateResult& result) {
  Json out = Json::array();
  for (std::size_t i = 0; i < job.vehicle.lines.size(); ++i) out.push_back(line_json(job, result, i));
  return out;
}

std::string_view word(ThermalOutcome outcome) {
  switch (outcome) {
    case ThermalOutcome::regulating:
      return "regulating";
    case ThermalOutcome::fully_open:
      return "fully open";
    case ThermalOutcome::overheating:
      return "overheating";
  }
  return "";
}

Json span(double low, double nominal, double high) {
  return Json::array({number(low), number(nominal), number(high)});
}

Json band_json(const SourcedFlow& flow) {
  return {{"l_min", span(flow.low().l_min(), flow.nominal().l_min(), flow.high().l_min())},
          {"curve_source", flow.curve_source()}};
}

Json band_json(const std::optional<SourcedFlow>& flow) {
  return flow ? band_json(*flow) : Json(nullptr);
}

Json loss_lines_json(const OperatingPoint& point) {
  Json out = Json::array();
  for (const LineReport& line : point.lines)
    out.push_back({{"name", line.name},
                   {"flow", band_json(line.flow)},
                   {"loss_kpa", span(line.loss_low.kpa(), line.loss.kpa(), line.loss_high.kpa())},
                   {"velocity_m_s", number(line.velocity_m_s)},
                   {"notes", line.notes}});
  return out;
}

Json point_json(const OperatingPoint& point) {
  const SuctionMargin& margin = point.suction_margin;
  return {{"working_point", point.duty},
          {"thermal", word(point.outcome)},
          {"pump", band_json(point.total)},
          {"radiator", band_json(point.radiator)},
          {"heater", band_json(point.heater)},
          {"bypass", band_json(point.bypass)},
          {"pump_rise_kpa", number(point.pump_rise.kpa())},
          {"block_outlet_c", span(point.block_outlet_low.celsius(), point.block_outlet.celsius(),
                                  point.block_outlet_high.celsius())},
          {"pump_inlet_c", number(point.pump_inlet.celsius())},
          {"boiling_c", number(point.boiling_point.celsius())},
          {"thermostat_opening", number(point.thermostat_opening)},
          {"suction_margin_kpa", span(margin.low.kpa(), margin.nominal.kpa(), margin.high.kpa())},
          {"overheats_in_band", point.overheats_in_band},
          {"lines", loss_lines_json(point)}};
}

Json flow_json(const std::optional<FlowAnswer>& flow) {
  if (!flow) return nullptr;
  Json out{{"curve_source", flow->curve_source},
           {"curve_band", number(flow->curve_band)},
           {"points", Json::array()}};
  for (const OperatingPoint& point : flow->points) out["points"].push_back(point_json(point));
  out["problems"] = Json::array();
  for (const Problem& problem : flow->problems)
    out["problems"].push_back({{"about", problem.path}, {"text", problem.text}});
  return out;
}

std::string_view word(Hindrance hindrance) {
  switch (hindrance) {
    case Hindrance::none:
      return "none";
    case Hindrance::line:
      return "line";
    case Hindrance::part_in_the_way:
      return "part_in_the_way";
    case Hindrance::parts_do_not_pair:
      return "parts_do_not_pair";
  }
  return "";
}

Json comparison_json(const Comparison& c) {
  return {{"fit_order", c.fit_order},
          {"hindrance", word(c.hindrance)},
          {"missing_mm", number(c.missing_mm)},
          {"lines_open", c.lines_open},
          {"necks_moved", c.necks_moved},
          {"flags", c.flags},
          {"parts_changed", c.parts_changed},
          {"fitted_pump", c.fitted_pump},
          {"joints", c.joints},
          {"least_spare_mm", number(c.least_spare_mm)},
          {"length_mm", number(c.length_mm)}};
}

Json candidate_json(const Job& job, const CandidateResult& result) {
  const Candidate& c = result.candidate;
  const Family& family = job.family;
  const LimitsAnswer& limits = result.verdict.limits;
  Json out{{"pump", family.pumps[c.pump].name},
           {"drive", family.drives[c.drive].name},
           {"housing", family.housings[c.housing].name},
           {"housing_clock_rad", number(family.housings[c.housing].clocks[c.clock].rad())},
           {"intake", family.intakes[c.intake].name},
           {"height_mm", number(c.height.mm())},
           {"fit", hosefit::word(result.verdict.fit)}};
  out["limits"] = {{"sourced", limits.sourced},
                   {"unsourced", limits.unsourced},
                   {"signed_by_shop", limits.signed_by_shop}};
  out["lines_tried"] = result.lines_tried;
  out["comparison"] = comparison_json(result.comparison);
  out["changes"] = result.changes;
  out["necks"] = necks_json(job, result);
  out["findings"] = findings_json(result.findings);
  return out;
}

Json ranking_json(const Job& job, const Choice& choice) {
  Json out = Json::array();
  for (std::size_t i = 0; i < choice.ranking.size(); ++i) {
    const PumpAnswer& answer = choice.ranking[i];
    const CandidateResult& best = choice.candidates[answer.best];
    Json candidate = candidate_json(job, best);
    candidate["lines"] = lines_json(job, best);
    candidate["flow"] = flow_json(best.flow);
    Json others = Json::array();
    for (const std::size_t other : answer.others)
      others.push_back(candidate_json(job, choice.candidates[other]));
    out.push_back({{"rank", i + 1},
                   {"pump", job.family.pumps[answer.pump].name},
                   {"best", candidate},
                   {"others", others}});
  }
  return out;
}

Json windows_json(const Job& job, const std::vector<PumpWindows>& all) {
  Json out = Json::array();
  for (const PumpWindows& pump : all) {
    Json windows = Json::array();
    for (const HeightWindow& window : pump.windows)
      windows.push_back({{"from_mm", number(window.from.mm())},
                         {"to_mm", number(window.to.mm())},
                         {"fit", hosefit::word(window.fit)},
                         {"binds", window.binds ? finding_json(*window.binds) : Json(nullptr)},
                         {"binds_at_mm", window.binds ? number(window.binds_at.mm()) : Json(nullptr)}});
    out.push_back({{"pump", job.family.pumps[pump.pump].name}, {"windows", windows}});
  }
  return out;
}

}  // namespace

std::string pick_json(const Job& job, const Choice& choice, const ReportExtras& extras) {
  Json out{{"hosefit_pick", kPickVersion},
           {"program", extras.version},
           {"input_fingerprint", job.input_fingerprint},
           {"vehicle", job.vehicle.name},
           {"family", job.family.name}};
  out["question"] = {{"intake", job.family.intakes[choice.query.intake].name},
                     {"height_mm", number(choice.query.height.mm())}};
  out["interrupted"] = choice.stopped;
  out["combinations_left"] = choice.candidates_left;
  out["ranking"] = ranking_json(job, choice);
  out["height_windows"] = windows_json(job, extras.windows);
  if (extras.motion_asked) out["in_motion"] = motion_json(job, choice);
  out["notice"] = closing_words();
  return dumped(out);
}

}  // namespace hosefit
