// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/report/json.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <nlohmann/json.hpp>

#include "solver/input/check_report.h"
#include "solver/report/words.h"

namespace hosefit {
namespace {

using Json = nlohmann::ordered_json;

constexpr int kPickVersion = 1;
constexpr int kCheckVersion = 1;
// Finer than anything that is measured, coarser than what rounding differs by between compilers.
constexpr double kSteps = 1e6;
// Directions and angles act over the length of a hose: 1e-9 of a metre is still far below a micrometre.
constexpr double kDirectionSteps = 1e9;

Json rounded_to(double value, double steps) {
  if (!std::isfinite(value)) return nullptr;
  const double rounded = std::round(value * steps) / steps;
  if (!std::isfinite(rounded)) return value;  // too large for the steps to matter
  return rounded == 0.0 ? 0.0 : rounded;      // never -0.0
}

std::string_view word(FindingUnit unit) {
  switch (unit) {
    case FindingUnit::mm:
      return "mm";
    case FindingUnit::deg:
      return "deg";
    case FindingUnit::kpa:
      return "kPa";
    case FindingUnit::m_s:
      return "m/s";
    case FindingUnit::count:
      return "count";
    case FindingUnit::none:
      return "none";
  }
  return "";
}

Json number(double value) {
  return rounded_to(value, kSteps);
}

Json number(const std::optional<double>& value) {
  return value ? number(*value) : Json(nullptr);
}

Json place(const Vec3& p_mm) {
  return Json::array({number(p_mm.x()), number(p_mm.y()), number(p_mm.z())});
}

Json provenance_json(const Provenance& p) {
  return {{"source", hosefit::word(p.source)},
          {"title", p.title},
          {"signer", p.signer},
          {"reason", p.reason},
          {"counts_as", is_signed(p)    ? "signed"
                        : is_sourced(p) ? "sourced"
                                        : "unsourced"}};
}

Json finding_json(const Finding& finding) {
  Json out{{"rule", hosefit::word(finding.rule)},
           {"severity", hosefit::word(finding.severity)},
           {"undecided", finding.undecided},
           {"subject", finding.subject},
           {"other", finding.other}};
  out["where"] = finding.where_mm ? place(*finding.where_mm) : Json(nullptr);
  out["measured"] = number(finding.measured);
  out["limit"] = number(finding.limit);
  out["margin"] = number(finding.margin);
  out["unit"] = word(finding.unit);
  out["parameters"] = Json::object();
  for (const auto& [key, value] : finding.parameters) out["parameters"][key] = value;
  out["provenance"] = finding.provenance ? provenance_json(*finding.provenance) : Json(nullptr);
  out["words"] = sentences(finding, {LengthUnit::mm, nullptr});
  return out;
}

Json centreline_json(const Centreline& centreline) {
  Json out = Json::array();
  for (const Piece& piece : centreline.pieces) {
    if (const auto* straight = std::get_if<Straight>(&piece)) {
      out.push_back({{"straight", {{"from", place(straight->from_mm)}, {"to", place(straight->to_mm)}}}});
      continue;
    }
    const Arc& arc = std::get<Arc>(piece);
    Json body{{"start", place(arc.start_mm)}, {"centre", place(arc.centre_mm)}};
    const auto fine = [](double value) { return rounded_to(value, kDirectionSteps); };
    body["normal"] = Json::array({fine(arc.normal.x()), fine(arc.normal.y()), fine(arc.normal.z())});
    body["angle_rad"] = fine(arc.angle_rad);
    body["radius_mm"] = number(arc.radius_mm());
    out.push_back({{"arc", body}});
  }
  return out;
}

std::string dumped(const Json& json) {
  return json.dump(1, ' ', false, Json::error_handler_t::replace) + "\n";
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

Json pieces_json(const Route& route) {
  Json out = Json::array();
  for (const StockPiece& piece : route.pieces)
    out.push_back({{"stock", piece.stock},
                   {"what", piece.what},
                   {"cut_mm", number(piece.cut_length_mm)},
                   {"bought_mm", piece.bought_length_mm > 0 ? number(piece.bought_length_mm) : Json(nullptr)},
                   {"clock_rad", number(piece.clock_rad)}});
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
          {"flags", c.flags},
          {"parts_changed", c.parts_changed},
          {"fitted_pump", c.fitted_pump},
          {"joints", c.joints},
          {"least_spare_mm", number(c.least_spare_mm)},
          {"length_mm", number(c.length_mm)}};
}

Json findings_json(const std::vector<Finding>& findings) {
  Json out = Json::array();
  for (const Finding& finding : findings) out.push_back(finding_json(finding));
  return out;
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

Json engine_place_json(const EnginePlace& place) {
  return {{"roll_rad", number(place[roll_way])},
          {"up_mm", number(place[lift_way])},
          {"rearward_mm", number(place[rearward_way])},
          {"right_mm", number(place[right_way])}};
}

Json motion_line_json(const Job& job, const MotionLine& line) {
  Json gaps = Json::array();
  for (const MotionGap& gap : line.gaps)
    gaps.push_back({{"other", gap.other},
                    {"runner", hosefit::word(gap.runner)},
                    {"required_mm", number(gap.required_mm)},
                    {"found_mm", number(gap.found_mm)},
                    {"s_mm", number(gap.s_mm)},
                    {"where", place(gap.where_mm)},
                    {"engine", engine_place_json(gap.place)}});
  return {{"name", job.vehicle.lines[line.line].name},         {"proved", line.proved},
          {"findings", findings_json(line.findings)},          {"gaps", gaps},
          {"tightest_bend_mm", number(line.tightest_bend_mm)}, {"least_slack", number(line.least_slack)}};
}

Json parts_json(const Bay& bay, const PartsInMotion& parts) {
  constexpr std::array kAnswers{"proved", "does not hold", "undecided"};
  Json out = Json::array();
  for (const PartInMotion& part : parts.near)
    out.push_back({{"on_engine", obstacle(bay, part.on_engine).name},
                   {"on_chassis", obstacle(bay, part.on_chassis).name},
                   {"answer", kAnswers[static_cast<std::size_t>(part.answer)]},
                   {"required_mm", number(part.required_mm)},
                   {"found_mm", number(part.found_mm)},
                   {"where", place(part.where_mm)},
                   {"engine", engine_place_json(part.place)}});
  return out;
}

Json motion_json(const Job& job, const Choice& choice, const std::vector<MotionAnswer>& motion) {
  const EngineMotion& m = job.motion;
  const BodyStore bodies(job);
  Json pumps = Json::array();
  for (const MotionAnswer& answer : motion) {
    Json lines = Json::array();
    for (const MotionLine& line : answer.lines) lines.push_back(motion_line_json(job, line));
    const Candidate& candidate = choice.candidates[answer.candidate].candidate;
    pumps.push_back({{"pump", job.family.pumps[candidate.pump].name},
                     {"proved", answer.proved()},
                     {"lines", lines},
                     {"parts", parts_json(assemble(job, bodies, candidate), answer.parts)}});
  }
  return {{"mounts", hosefit::word(job.vehicle.mounts)},
          {"roll_rad", number(m.roll.rad())},
          {"lift_mm", number(m.lift.mm())},
          {"forward_mm", number(m.forward.mm())},
          {"rearward_mm", number(m.rearward.mm())},
          {"sideways_mm", number(m.sideways.mm())},
          {"axis_below_crank_mm", number(m.axis_below_crank.mm())},
          {"provenance", provenance_json(m.provenance)},
          {"pumps", pumps}};
}

Json windows_json(const Job& job, const std::vector<PumpWindows>& all) {
  Json out = Json::array();
  for (const PumpWindows& pump : all) {
    Json windows = Json::array();
    for (const HeightWindow& window : pump.windows)
      windows.push_back({{"from_mm", number(window.from.mm())},
                         {"to_mm", number(window.to.mm())},
                         {"fit", hosefit::word(window.fit)},
                         {"binds", window.binds ? finding_json(*window.binds) : Json(nullptr)}});
    out.push_back({{"pump", job.family.pumps[pump.pump].name}, {"windows", windows}});
  }
  return out;
}

Json problems_json(const Problems& problems) {
  Json out = Json::array();
  for (const Problem& problem : problems)
    out.push_back({{"file", problem.place.file},
                   {"line", problem.place.line},
                   {"column", problem.place.column},
                   {"path", problem.path},
                   {"text", problem.text}});
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
  if (extras.motion_asked) out["in_motion"] = motion_json(job, choice, extras.motion);
  out["notice"] = closing_words();
  return dumped(out);
}

namespace {

Json review_json(const std::vector<ReviewEntry>& entries) {
  Json out = Json::array();
  for (const ReviewEntry& entry : entries)
    out.push_back({{"what", entry.what},
                   {"method", word(entry.method)},
                   {"accuracy_mm", entry.accuracy ? number(entry.accuracy->mm()) : Json()},
                   {"why", entry.why}});
  return out;
}

}  // namespace

std::string check_json(const Problems& problems, const std::string& version) {
  return dumped({{"hosefit_check", kCheckVersion},
                 {"program", version},
                 {"sound", false},
                 {"input_fingerprint", nullptr},
                 {"problems", problems_json(problems)}});
}

std::string check_json(const Job& job, const std::string& version) {
  const InputReview found = review(job);
  return dumped({{"hosefit_check", kCheckVersion},
                 {"program", version},
                 {"sound", true},
                 {"input_fingerprint", job.input_fingerprint},
                 {"problems", Json::array()},
                 {"advice", found.advice},
                 {"meshes", found.scans},
                 {"missing", review_json(found.missing)},
                 {"assumed", review_json(found.assumed)},
                 {"measured", review_json(found.measured)}});
}

}  // namespace hosefit
