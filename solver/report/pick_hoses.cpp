// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>

#include "solver/report/pick_sections.h"
#include "solver/report/reasons.h"

namespace hosefit {
namespace {

const Stock* stock_of(const Job& job, const std::string& id) {
  const auto found =
      std::find_if(job.stock.begin(), job.stock.end(), [&](const Stock& stock) { return stock.id == id; });
  return found == job.stock.end() ? nullptr : &*found;
}

const Route* route_of(const CandidateResult& result, std::size_t line) {
  for (const Route& route : result.routes)
    if (route.line == line) return &route;
  return nullptr;
}

const LineProof* proof_of(const CandidateResult& result, std::size_t line) {
  for (const LineProof& proof : result.proof.lines)
    if (proof.line == line) return &proof;
  return nullptr;
}

std::string miss_words(const Obstruction& miss, LengthUnit unit) {
  std::string out = fmt::format("{} in the way, {} short (needs {}, found {})", safe_text(miss.obstacle),
                                length_words(Length::mm(miss.missing_mm), unit),
                                length_words(Length::mm(miss.required_mm), unit),
                                length_words(Length::mm(miss.found_mm), unit));
  if (miss.resolution_mm > 0)
    out += fmt::format(", known to {}", length_words(Length::mm(miss.resolution_mm), unit));
  return out + ", at " + place_words(miss.where_mm, unit);
}

void write_pieces(Page& page, const Route& route) {
  for (std::size_t i = 0; i < route.pieces.size(); ++i) {
    const StockPiece& piece = route.pieces[i];
    std::string text = fmt::format("{}. {}: cut {}", i + 1, safe_text(piece.what),
                                   both_units(Length::mm(piece.cut_length_mm)));
    if (piece.stock != route.stock && piece.stock != piece.what)
      text += fmt::format(", stock {}", safe_text(piece.stock));
    if (piece.shape)
      text += fmt::format(", of shape {}, cut at {} and {} from its end A{}", safe_text(piece.shape->name),
                          both_units(Length::mm(piece.shape->from_mm)),
                          both_units(Length::mm(piece.shape->to_mm)),
                          piece.shape->reversed ? ", the other way round" : "");
    if (piece.shape)
      text += fmt::format(", {} long as sold", both_units(Length::mm(piece.bought_length_mm)));
    else if (piece.bought_length_mm > 0)
      text += fmt::format(", from a length of {}", both_units(Length::mm(piece.bought_length_mm)));
    if (piece.clock_rad)
      text +=
          fmt::format(", turned {:.0f} deg against the piece before, to the right in the direction of travel",
                      Angle::rad(*piece.clock_rad).deg());
    page.line(text, 4, 3);
  }
}

void write_run(Page& page, const Route& route) {
  const LengthUnit unit = page.look().unit;
  const auto bends = std::count_if(route.centreline.pieces.begin(), route.centreline.pieces.end(),
                                   [](const Piece& piece) { return std::holds_alternative<Arc>(piece); });
  const auto tightest = tightest_bend_mm(route.centreline);
  page.line(
      fmt::format(
          "run: {} between the neck ends, {}{}; pushed over the necks {} and {}; {}",
          both_units(Length::mm(length_mm(route.centreline))), counted(bends, "bend"),
          tightest ? fmt::format(", tightest radius {}", length_words(Length::mm(*tightest), unit)) : "",
          length_words(Length::mm(route.engagement_from_mm), unit),
          length_words(Length::mm(route.engagement_to_mm), unit), counted(route.joints, "joint")),
      4, 2);
}

void write_attempts(Page& page, const LineSearch& search, bool found) {
  const LengthUnit unit = page.look().unit;
  for (const MakeAttempt& attempt : search.attempts) {
    if (attempt.outcome == SearchOutcome::found) continue;
    std::string text =
        fmt::format("{}{}: {}", title(attempt.make),
                    attempt.stock.empty() ? std::string{} : fmt::format(" {}", safe_text(attempt.stock)),
                    outcome_words(attempt.outcome));
    if (attempt.nearest_miss) text += fmt::format("; {}", miss_words(*attempt.nearest_miss, unit));
    page.line(text, 4, 2);
  }
  if (!found && search.nearest_miss && search.attempts.empty())
    page.line(miss_words(*search.nearest_miss, unit), 4, 2);
  for (const Route& other : search.alternatives)
    page.line(fmt::format("also possible: {}, stock {}", title(other.make), safe_text(other.stock)), 4, 2);
}

void write_route(Page& page, const Job& job, const Route& route, const LineProof* proof) {
  const LengthUnit unit = page.look().unit;
  if (const Stock* stock = stock_of(job, route.stock))
    page.line(fmt::format("stock: {} - {}; bore {}, outside {}", safe_text(stock->id),
                          safe_text(stock->description), length_words(stock->bore, unit),
                          length_words(stock->outside_diameter, unit)),
              4, 2);
  write_pieces(page, route);
  write_run(page, route);
  if (proof == nullptr || proof->gaps.empty()) return;
  const GapRecord& gap = proof->gaps.front();
  page.line(fmt::format("tightest gap: {}, at {}{}", gap_words(gap, unit), place_words(gap.where_mm, unit),
                        proof->proved ? "" : "; not proved as a whole"),
            4, 2);
}

}  // namespace

void write_hoses(Page& page, const Job& job, const CandidateResult& result) {
  page.heading(fmt::format("Hoses with {}", job.family.pumps[result.candidate.pump].name));
  if (!result.lines_tried) {
    page.line("No hose was laid: a part already rules this set out.");
    return;
  }
  for (std::size_t i = 0; i < job.vehicle.lines.size(); ++i) {
    const Line& line = job.vehicle.lines[i];
    const Route* route = route_of(result, i);
    page.line(fmt::format("{}: {}, {} to {}", line.name, route != nullptr ? title(route->make) : "no hose",
                          line.from, line.to),
              2, 2, Tint::strong);
    if (line.stock)
      page.line(fmt::format("stock {} set by the shop: {}", *line.stock, line.stock_reason), 4, 2);
    if (route != nullptr) write_route(page, job, *route, proof_of(result, i));
    for (const LineSearch& search : result.searches)
      if (search.line == i) write_attempts(page, search, route != nullptr);
  }
  page.line(
      "CAUTION: hot coolant under pressure scalds. Open no hose or cap until it is cool enough to touch.", 2,
      2);
  page.line(
      "CAUTION: a hose against steering or throttle can lock it. Any contact there is a stop, whatever the "
      "figures say.",
      2, 2);
}

}  // namespace hosefit
