// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/order/cut_sheet.h"

#include <algorithm>

#include "solver/order/fittings.h"
#include "solver/order/pieces.h"
#include "solver/order/reducers.h"

namespace hosefit {
namespace {

const Stock* stock_named(const Job& job, const std::string& id) {
  const auto found =
      std::find_if(job.stock.begin(), job.stock.end(), [&](const Stock& stock) { return stock.id == id; });
  return found == job.stock.end() ? nullptr : &*found;
}

const LineProof* proof_of(const CandidateResult& result, std::size_t line) {
  for (const LineProof& proof : result.proof.lines)
    if (proof.line == line) return &proof;
  return nullptr;
}

Standing standing_of(const CandidateResult& result, const std::string& name, const LineProof* proof) {
  const bool stopped = std::any_of(result.findings.begin(), result.findings.end(), [&](const Finding& f) {
    return f.severity == Severity::stop && f.subject == name;
  });
  if (proof == nullptr || !proof->proved || stopped) return Standing::not_proved;
  return result.verdict.fit == Fit::fits ? Standing::order : Standing::combination_stops;
}

void add_intersections(CutSheet& sheet) {
  const Centreline& centreline = sheet.route->centreline;
  sheet.intersections_mm.push_back(start_point(centreline));
  for (const Piece& piece : centreline.pieces) {
    const auto* arc = std::get_if<Arc>(&piece);
    if (arc == nullptr) continue;
    const double tangent_mm = arc->radius_mm() * std::tan(arc->angle_rad / 2);
    sheet.intersections_mm.emplace_back(arc->start_mm + tangent_mm * direction_at(piece, 0.0));
    sheet.radii.push_back(Length::mm(arc->radius_mm()));
  }
  sheet.intersections_mm.push_back(end_point(centreline));
}

void add_moulded_bends(CutSheet& sheet, const Stock& stock) {
  if (sheet.pieces.size() != 1 || !sheet.pieces[0].shape) return;
  const MouldedShape* shape = shape_named(stock, sheet.pieces[0].shape->name);
  if (shape == nullptr) return;
  sheet.bends = bend_table(sheet.route->centreline);
  sheet.sprung = sprung_bends(*shape, *sheet.pieces[0].shape, sheet.bends);
}

// The tube alone: it starts and ends inside the couplers, a gap away from the necks.
void add_bends(CutSheet& sheet, const Stock& stock) {
  if (stock.make == Make::moulded_shape) return add_moulded_bends(sheet, stock);
  if (stock.make != Make::bent_tube) return;
  const Centreline& centreline = sheet.route->centreline;
  const double gap_mm = stock.coupler_gap.mm();
  sheet.bends = bend_table(part_of(centreline, gap_mm, length_mm(centreline) - gap_mm));
}

CutSheet sheet_of(const Job& job, const Bay& bay, const CandidateResult& result, std::size_t index) {
  const Route& route = result.routes[index];
  CutSheet sheet;
  sheet.line = route.line;
  const BayLine& wanted = bay.lines[route.line];
  const LineProof* proof = proof_of(result, route.line);
  const Stock* stock = stock_named(job, route.stock);
  if (stock == nullptr) return sheet;
  sheet.standing = standing_of(result, wanted.line.name, proof);
  sheet.route = route;
  sheet.description = stock->description;
  sheet.bend_provenance = stock->provenance;
  sheet.from = neck_match(bay.necks[wanted.from], stock->bore);
  sheet.to = neck_match(bay.necks[wanted.to], stock->bore);
  sheet.pieces = cut_pieces(job, *stock, route);
  sheet.clamps = clamp_places(job, sheet, proof);
  add_bends(sheet, *stock);
  add_intersections(sheet);
  sheet.springs = springs_for(sheet, wanted.line, result.findings);
  sheet.sleeves = sleeves_for(sheet, bay, proof);
  if (index < result.clips.size()) sheet.clips = clips_for(bay, result.clips[index]);
  return sheet;
}

}  // namespace

std::string_view word(Standing standing) {
  switch (standing) {
    case Standing::order:
      return "order";
    case Standing::combination_stops:
      return "combination_stops";
    case Standing::not_proved:
      return "not_proved";
    case Standing::no_route:
      return "no_route";
  }
  return "";
}

std::vector<CutSheet> cut_sheets(const Job& job, const CandidateResult& result) {
  std::vector<CutSheet> sheets(job.vehicle.lines.size());
  for (std::size_t i = 0; i < sheets.size(); ++i) sheets[i].line = i;
  if (!result.lines_tried) return sheets;
  const Bay bay = assemble(job, BodyStore(job), result.candidate);
  for (std::size_t i = 0; i < result.routes.size(); ++i)
    sheets[result.routes[i].line] = sheet_of(job, bay, result, i);
  for (CutSheet& sheet : sheets) sheet.reducers = reducers_for(job, bay, sheet.line);
  return sheets;
}

}  // namespace hosefit
