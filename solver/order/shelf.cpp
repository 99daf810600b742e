// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/order/shelf.h"

#include <algorithm>
#include <map>
#include <tuple>

namespace hosefit {
namespace {

/// Cuts that may share pieces: of one stock, or of one bore and outside when no stock is on file.
struct Group {
  std::vector<ShelfRow::Cut> cuts;
  PieceKind kind = PieceKind::straight;
};
using GroupKey = std::tuple<std::string, bool, double, double>;

// A moulded shape is bought as it is, one for each line.
bool is_hose(PieceKind kind) {
  return kind != PieceKind::joiner && kind != PieceKind::tube && kind != PieceKind::moulded;
}

std::map<GroupKey, Group> groups_of(const std::vector<CutSheet>& sheets) {
  std::map<GroupKey, Group> groups;
  for (const CutSheet& sheet : sheets) {
    if (sheet.standing != Standing::order && sheet.standing != Standing::combination_stops) continue;
    for (std::size_t p = 0; p < sheet.pieces.size(); ++p) {
      const CutPiece& piece = sheet.pieces[p];
      if (!is_hose(piece.kind)) continue;
      const bool on_file = !piece.stock.empty();
      Group& group = groups[{piece.stock, piece.kind == PieceKind::elbow, on_file ? 0 : piece.bore.mm(),
                             on_file ? 0 : piece.outside.mm()}];
      group.kind = piece.kind;
      group.cuts.push_back({sheet.line, p});
    }
  }
  return groups;
}

CutWanted wanted(const CutPiece& piece) {
  if (piece.kind == PieceKind::elbow)
    return {std::max(piece.leg_from, piece.leg_to), piece.turn, Length::mm(-1)};
  return {piece.cut, std::nullopt, piece.tolerance.both_ways};
}

CutRules rules_of(const Stock* stock, PieceKind kind) {
  CutRules rules;
  rules.one_cut_each = kind == PieceKind::elbow || kind == PieceKind::corrugated;
  if (stock == nullptr) return rules;
  if (kind == PieceKind::elbow)
    rules.lengths = {stock->leg};
  else
    rules.lengths = stock->lengths;
  if (kind == PieceKind::corrugated) rules.most_trim = 2.0 * stock->cuff_trim;
  return rules;
}

void plan_group(const Job& job, const Group& group, const std::string& id,
                const std::vector<CutSheet>& sheets, HosePlan& plan) {
  const auto stock =
      std::find_if(job.stock.begin(), job.stock.end(), [&](const Stock& s) { return s.id == id; });
  const auto piece_of = [&](const ShelfRow::Cut& cut) -> const CutPiece& {
    return sheets[cut.line].pieces[cut.piece];
  };
  std::vector<CutWanted> cuts, owned;
  std::vector<std::size_t> owned_of;
  for (const ShelfRow::Cut& cut : group.cuts) cuts.push_back(wanted(piece_of(cut)));
  const auto& hoses = job.vehicle.in_hand.hoses;
  for (std::size_t h = 0; h < hoses.size(); ++h)
    if (!id.empty() && hoses[h].stock == id) {
      owned.push_back({hoses[h].length, hoses[h].angle, {}});
      owned_of.push_back(h);
    }
  const CuttingPlan part =
      plan_cuts(cuts, owned, rules_of(stock != job.stock.end() ? &*stock : nullptr, group.kind));
  const auto named = [&](const std::vector<std::size_t>& numbers) {
    std::vector<ShelfRow::Cut> out;
    out.reserve(numbers.size());
    for (const std::size_t i : numbers) out.push_back(group.cuts[i]);
    return out;
  };
  plan.least_proved = plan.least_proved && part.least_proved;
  for (std::size_t j = 0; j < owned.size(); ++j)
    plan.shelf[owned_of[j]] = {owned_of[j], part.owned[j].use, named(part.owned[j].cuts)};
  for (const BoughtPiece& piece : part.bought) plan.bought.push_back({piece.length, named(piece.cuts)});
  for (const std::size_t i : part.unserved)
    plan.bought.push_back({piece_of(group.cuts[i]).cut, {group.cuts[i]}});
}

}  // namespace

HosePlan plan_hoses(const Job& job, const std::vector<CutSheet>& sheets) {
  HosePlan plan;
  plan.shelf.resize(job.vehicle.in_hand.hoses.size());
  for (std::size_t h = 0; h < plan.shelf.size(); ++h) plan.shelf[h].hose = h;
  for (const auto& [key, group] : groups_of(sheets)) plan_group(job, group, std::get<0>(key), sheets, plan);
  return plan;
}

}  // namespace hosefit
