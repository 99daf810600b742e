// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>

#include "solver/report/reasons.h"
#include "solver/report/words.h"
#include "viewer/panes/look.h"
#include "viewer/panes/panes.h"

namespace hosefit {
namespace {

constexpr std::size_t kGapsTold = 8;  // further ones are wide enough not to matter

std::string mm_words(const State& state, double mm) {
  return length_words(Length::mm(mm), state.unit);
}

std::string hazard_words(Hazard hazard) {
  std::string out(word(hazard));
  std::replace(out.begin(), out.end(), '_', ' ');
  return out;
}

std::string line_name(const State& state, std::size_t line) {
  return safe_text(state.prepared->job().vehicle.lines[line].name);
}

void row(const char* what, const std::string& value) {
  ImGui::PushStyleColor(ImGuiCol_Text, ink::kQuiet);
  ImGui::TextUnformatted(what);
  ImGui::PopStyleColor();
  ImGui::SameLine(5.2F * em());
  text_wrapped(value);
}

// A gap with a swatch of its class.
void gap_row(const State& state, const std::string& with, const GapRecord& gap, bool proved) {
  const double spare_mm = gap.found_mm - gap.required_mm;
  const ImVec2 at = ImGui::GetCursorScreenPos();
  const float side = 0.7F * em();
  const SpareClass c = proved ? spare_class(spare_mm) : SpareClass::not_proved;
  ImGui::GetWindowDrawList()->AddRectFilled({at.x, at.y + 0.2F * em()},
                                            {at.x + side, at.y + 0.2F * em() + side}, packed(colour_of(c)));
  ImGui::Dummy({side, side});
  ImGui::SameLine();
  text_wrapped(fmt::format("{}: {} found, {} needed, {} {}{}", with, mm_words(state, gap.found_mm),
                           mm_words(state, gap.required_mm), mm_words(state, std::abs(spare_mm)),
                           spare_mm < 0 ? "short" : "to spare", proved ? "" : " (not proved)"));
}

void gaps_to(const State& state, const Answer& answer, ObstacleRef ref) {
  bool any = false;
  for (const LineProof& proof : answer.result->proof.lines)
    for (const GapRecord& gap : proof.gaps) {
      if (gap.ref != ref) continue;
      gap_row(state, line_name(state, proof.line) + fmt::format(" ({})", word(gap.runner)), gap,
              proof.proved);
      any = true;
    }
  if (!any) text_wrapped("No hose comes within 50 mm beyond what it needs.", ink::kQuiet);
}

void draw_obstacle(const State& state, const Pane& pane, ObstacleRef ref) {
  const auto bodies = pane.bay ? pane.bay->bodies : std::vector<PlacedBody>{};
  if (ref.body >= bodies.size() || ref.obstacle >= bodies[ref.body].body->obstacles.size())
    return text_wrapped("Not part of this candidate.", ink::kQuiet);
  const Body& body = *bodies[ref.body].body;
  const Obstacle& o = body.obstacles[ref.obstacle];
  heading("Obstacle");
  text_wrapped(safe_text(o.name), ink::kStrong);
  row("hazard", hazard_words(o.hazard));
  row("body", fmt::format("{}, carried by the {}", safe_text(body.name), word(body.carrier)));
  row("measured", fmt::format("{}, within {}", word(o.method), length_words(o.accuracy, state.unit)));
  const std::string file = o.place.file.substr(o.place.file.find_last_of('/') + 1);
  if (!file.empty()) row("written", fmt::format("{}, line {}", safe_text(file), o.place.line));
  heading("Gap it needs, at rest");
  const GapTable& gaps = state.prepared->job().gaps;
  for (const Runner runner : {Runner::hose, Runner::clamp, Runner::rigid_part}) {
    std::string name(word(runner));
    std::replace(name.begin(), name.end(), '_', ' ');
    const RequiredGap chassis = required_gap(gaps, runner, Carrier::chassis, o, body.carrier);
    const RequiredGap engine = required_gap(gaps, runner, Carrier::engine, o, body.carrier);
    row(name.c_str(),
        fmt::format("{} if on the chassis, {} if on the engine", length_words(chassis.gap, state.unit),
                    length_words(engine.gap, state.unit)));
    text_wrapped(provenance_words(chassis.provenance), ink::kQuiet);
    if (engine.provenance != chassis.provenance)
      text_wrapped("on the engine: " + provenance_words(engine.provenance), ink::kQuiet);
  }
  heading("Hoses near it");
  if (const Answer* answer = current_answer(state, pane))
    gaps_to(state, *answer, ref);
  else
    text_wrapped("Not proved yet for what is on screen.", ink::kQuiet);
}

void draw_route(const State& state, const Answer& answer, std::size_t i) {
  const Route& route = answer.result->routes[i];
  row("make", std::string(title(route.make)));
  const auto& stock = state.prepared->job().stock;
  const auto found =
      std::find_if(stock.begin(), stock.end(), [&](const Stock& s) { return s.id == route.stock; });
  row("stock", safe_text(route.stock) + (found == stock.end() ? "" : ": " + safe_text(found->description)));
  row("length", both_units(Length::mm(length_mm(route.centreline))));
  row("clamped", fmt::format("{} hose ends", route.joints));
  heading("Pieces, in order");
  for (const StockPiece& piece : route.pieces)
    text_wrapped(fmt::format("{}, cut {}{}", safe_text(piece.what), mm_words(state, piece.cut_length_mm),
                             piece.clock_rad
                                 ? fmt::format(", turned {:.0f} deg", Angle::rad(*piece.clock_rad).deg())
                                 : std::string()));
  if (i >= answer.result->proof.lines.size()) return;
  const LineProof& proof = answer.result->proof.lines[i];
  heading(proof.proved ? "Gaps, proved" : "Gaps, measured but not proved");
  for (std::size_t k = 0; k < std::min(proof.gaps.size(), kGapsTold); ++k)
    gap_row(state, safe_text(proof.gaps[k].other), proof.gaps[k], proof.proved);
}

void draw_line(const State& state, const Pane& pane, std::size_t line) {
  const auto& lines = state.prepared->job().vehicle.lines;
  if (line >= lines.size()) return;
  heading("Line");
  text_wrapped(safe_text(lines[line].name), ink::kStrong);
  row("from, to", safe_text(lines[line].from) + " to " + safe_text(lines[line].to));
  std::string duty(word(lines[line].duty));
  std::replace(duty.begin(), duty.end(), '_', ' ');
  row("duty", duty);
  const Answer* answer = current_answer(state, pane);
  if (answer == nullptr) return text_wrapped("Not proved yet for what is on screen.", ink::kQuiet);
  const CandidateResult& result = *answer->result;
  for (std::size_t i = 0; i < result.routes.size(); ++i)
    if (result.routes[i].line == line) draw_route(state, *answer, i);
  for (const LineSearch& search : result.searches)
    if (search.line == line && search.outcome != SearchOutcome::found)
      text_wrapped("No route: " + outcome_words(search.outcome) + ".", ink::kWarn);
  if (!result.lines_tried) text_wrapped("Not tried: a part already cannot be used.", ink::kQuiet);
}

void draw_findings(const State& state, const Answer& answer) {
  WordsContext context;
  context.unit = state.unit;
  context.bay = answer.bay.get();
  for (const Finding& finding : answer.result->findings) {
    const FindingWords words = words_of(finding, context);
    const bool stop = finding.severity == Severity::stop;
    text_wrapped(
        fmt::format("{}: {}", stop && finding.undecided ? "open" : word(finding.severity), words.brief),
        stop ? ink::kWarn : ink::kText);
    if (finding.severity == Severity::note) continue;
    const std::string more = words.consequence + (words.action.empty() ? "" : " " + words.action);
    if (!more.empty()) text_wrapped(more, ink::kQuiet);
  }
}

void draw_answer(const State& state, const Pane& pane) {
  const Job& job = state.prepared->job();
  heading("The chosen pump");
  text_wrapped(safe_text(job.family.pumps[pane.pump].name), ink::kStrong);
  const ShownVerdict verdict = shown_verdict(state, pane);
  row("verdict", verdict.words);
  row("hangs on", verdict.reason);
  const Answer* answer = current_answer(state, pane);
  if (answer == nullptr) return;
  row("limits", verdict.limits);
  for (const std::string& change : answer->result->changes) row("change", safe_text(change));
  if (answer->result->flow)
    if (const OperatingPoint* point = daily_point(*answer->result->flow)) {
      row("flow", flow_words(point->total, state.unit) + " at " + safe_text(point->duty));
      row("curve", curve_words(*answer->result->flow));
    }
  if (answer->result->findings.empty()) return;
  heading("Found");
  draw_findings(state, *answer);
}

}  // namespace

Intents draw_details(const State& state) {
  Intents out;
  draw_legend(state);
  if (state.chosen >= state.panes.size()) return out;
  const Pane& pane = state.panes[state.chosen];
  if (!state.selected) {
    draw_answer(state, pane);
    text_wrapped("Click a hose or an obstacle to read all about it.", ink::kQuiet);
    return out;
  }
  if (const auto* ref = std::get_if<ObstacleRef>(&*state.selected))
    draw_obstacle(state, pane, *ref);
  else
    draw_line(state, pane, std::get<SelectedLine>(*state.selected).line);
  if (ImGui::Button("Back to the pump")) out.push_back(Select{std::nullopt});
  return out;
}

}  // namespace hosefit
