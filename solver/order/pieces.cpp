// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/order/pieces.h"

#include <algorithm>
#include <cmath>

#include "solver/route/joints.h"

namespace hosefit {
namespace {

constexpr Length kSameBore = Length::mm(0.6);  // inch sizes and metric partners (common practice, no source)

PieceKind kind_of(const Stock& stock, const StockPiece& piece) {
  if (piece.what == "joiner") return PieceKind::joiner;
  if (piece.what == "coupler") return PieceKind::coupler;
  if (piece.what == "tube") return PieceKind::tube;
  if (stock.make == Make::corrugated_hose) return PieceKind::corrugated;
  if (stock.make == Make::moulded_shape) return PieceKind::moulded;
  return piece.what.starts_with("elbow") ? PieceKind::elbow : PieceKind::straight;
}

void take_from_straight_stock(const Job& job, CutPiece& piece) {
  const Stock* straight = straight_stock_for(job, piece.bore, piece.outside);
  piece.stock.clear();
  if (straight == nullptr) return;
  piece.stock = straight->id;
  piece.lined_clamps = wants_lined_clamps(*straight);
}

// Legs from the intersection point of an elbow's bend to its two cut ends.
void measure_legs(const Route& route, const Stock& stock, CutPiece& piece) {
  double s_mm = 0;
  for (const Piece& part : route.centreline.pieces) {
    const double end_mm = s_mm + length_mm(part);
    const auto* arc = std::get_if<Arc>(&part);
    const double middle_mm = (s_mm + end_mm) / 2;
    if (arc != nullptr && middle_mm > piece.from_s_mm && middle_mm < piece.to_s_mm) {
      const double tangent_mm = arc->radius_mm() * std::tan(arc->angle_rad / 2);
      piece.turn = Angle::rad(arc->angle_rad);
      piece.leg_from = Length::mm(s_mm - piece.from_s_mm + tangent_mm);
      piece.leg_to = Length::mm(piece.to_s_mm - end_mm + tangent_mm);
      piece.leg_as_sold = stock.leg;
      return;
    }
    s_mm = end_mm;
  }
}

CutPiece begun(const Job& job, const Stock& stock, const StockPiece& written) {
  CutPiece piece;
  piece.kind = kind_of(stock, written);
  piece.what = written.what;
  piece.stock = written.stock;
  piece.lined_clamps = wants_lined_clamps(stock);
  piece.bore = stock.bore;
  piece.outside = piece.kind == PieceKind::coupler  ? stock.coupler_outside
                  : piece.kind == PieceKind::joiner ? stock.bore
                                                    : stock.outside_diameter;
  piece.cut = Length::mm(written.cut_length_mm);
  if (written.bought_length_mm > 0) piece.bought = Length::mm(written.bought_length_mm);
  piece.shape = written.shape;
  if (written.clock_rad) piece.clock = Angle::rad(*written.clock_rad);
  const bool other_stock = piece.kind == PieceKind::coupler ||
                           (piece.kind == PieceKind::straight && stock.make == Make::elbows_and_straights);
  if (other_stock) take_from_straight_stock(job, piece);
  if (piece.kind == PieceKind::joiner) piece.stock.clear();
  piece.tolerance = cut_tolerance(piece.kind, piece.cut, piece.bore);
  return piece;
}

// Where the next hose or tube begins, given where the last one ended.
double next_start_mm(const Stock& stock, double end_mm) {
  return stock.make == Make::bent_tube ? end_mm - stock.cuff.mm() : end_mm + kJoinerGap_mm;
}

void add_pushes(const Stock& stock, const Route& route, std::vector<CutPiece>& pieces) {
  const double inside_mm = stock.make == Make::bent_tube ? stock.cuff.mm() : kJoinerEngagement_mm;
  for (std::size_t i = 0; i < pieces.size(); ++i) {
    CutPiece& piece = pieces[i];
    if (piece.kind == PieceKind::joiner || piece.kind == PieceKind::tube) continue;
    piece.push_from = Length::mm(i == 0 ? route.engagement_from_mm : inside_mm);
    piece.push_to = Length::mm(i + 1 == pieces.size() ? route.engagement_to_mm : inside_mm);
  }
}

const ClampRecord* proved_clamp(const LineProof* proof, std::size_t piece, bool at_start) {
  if (proof == nullptr) return nullptr;
  for (const ClampRecord& record : proof->clamps)
    if (record.piece == piece && record.at_start == at_start && record.spare_mm >= 0) return &record;
  return nullptr;
}

// The band goes where room for its housing was proved, when it has room on the hose there.
void put_band(ClampPlace& place, Length push, const ClampRecord* proved) {
  if (!place.size) return;
  place.from_end = band_centre(push, place.size->band);
  if (proved == nullptr || !band_has_room(push, place.size->band, Length::mm(proved->from_end_mm))) return;
  place.from_end = Length::mm(proved->from_end_mm);
  place.clock_rad = proved->clock_rad;
}

}  // namespace

std::string_view word(PieceKind kind) {
  switch (kind) {
    case PieceKind::straight:
      return "straight";
    case PieceKind::elbow:
      return "elbow";
    case PieceKind::corrugated:
      return "corrugated";
    case PieceKind::coupler:
      return "coupler";
    case PieceKind::tube:
      return "tube";
    case PieceKind::joiner:
      return "joiner";
    case PieceKind::moulded:
      return "moulded";
  }
  return "";
}

CutTolerance cut_tolerance(PieceKind kind, Length cut, Length bore) {
  const Provenance practice{Source::common_practice, "", "", ""};
  if (kind == PieceKind::joiner) return {};  // bought to length
  if (kind == PieceKind::tube) return {Length::mm(1), Length{}, practice};
  struct Row {
    double up_to_mm, both_ways_mm;
  };
  constexpr Row kRows[] = {{305, 3.2}, {610, 4.8}, {915, 6.4}, {1220, 9.5}, {1830, 12.7}};
  const auto* const row =
      std::find_if(std::begin(kRows), std::end(kRows), [&](const Row& r) { return cut.mm() <= r.up_to_mm; });
  const bool straight = kind == PieceKind::straight || kind == PieceKind::coupler;
  const bool listed = row != std::end(kRows) && straight;
  CutTolerance out;
  out.both_ways = Length::mm(row != std::end(kRows) ? row->both_ways_mm : kRows[4].both_ways_mm);
  out.squareness = Length::mm(bore.mm() <= 19.05 ? 1.6 : 3.2);
  out.provenance = listed
                       ? Provenance{Source::handbook,
                                    "trade-association Hose Handbook IP-2 (2003), read second-hand", "", ""}
                       : practice;
  return out;
}

bool wants_lined_clamps(const Stock& stock) {
  return stock.description.find("silicone") != std::string::npos ||
         stock.description.find("EPDM") == std::string::npos;
}

const Stock* straight_stock_for(const Job& job, Length bore, Length at_most_outside) {
  constexpr Length kRounding = Length::mm(1e-6);
  const Stock* best = nullptr;
  const auto off_mm = [&](const Stock& stock) { return std::abs((stock.bore - bore).mm()); };
  for (const Stock& stock : job.stock) {
    if (stock.make != Make::straight_hose || off_mm(stock) > kSameBore.mm()) continue;
    if (stock.outside_diameter > at_most_outside + kRounding) continue;
    if (best == nullptr || off_mm(stock) < off_mm(*best)) best = &stock;
  }
  return best;
}

std::vector<CutPiece> cut_pieces(const Job& job, const Stock& stock, const Route& route) {
  std::vector<CutPiece> pieces;
  double start_mm = -route.engagement_from_mm;
  for (const StockPiece& written : route.pieces) {
    CutPiece piece = begun(job, stock, written);
    if (piece.kind == PieceKind::joiner) {
      piece.from_s_mm = start_mm - kJoinerGap_mm / 2 - piece.cut.mm() / 2;
      piece.to_s_mm = piece.from_s_mm + piece.cut.mm();
    } else {
      piece.from_s_mm = start_mm;
      piece.to_s_mm = start_mm + piece.cut.mm();
      start_mm = next_start_mm(stock, piece.to_s_mm);
      if (piece.kind == PieceKind::elbow) measure_legs(route, stock, piece);
    }
    pieces.push_back(std::move(piece));
  }
  add_pushes(stock, route, pieces);
  return pieces;
}

std::vector<ClampPlace> clamp_places(const Job& job, const CutSheet& sheet, const LineProof* proof) {
  std::vector<ClampPlace> places;
  for (std::size_t i = 0; i < sheet.pieces.size(); ++i) {
    const CutPiece& piece = sheet.pieces[i];
    if (piece.kind == PieceKind::joiner || piece.kind == PieceKind::tube) continue;
    for (const bool at_start : {true, false}) {
      const bool neck_from = at_start && i == 0, neck_to = !at_start && i + 1 == sheet.pieces.size();
      const NeckMatch* neck = neck_from ? &*sheet.from : neck_to ? &*sheet.to : nullptr;
      ClampPlace place;
      place.piece = i;
      place.at_start = at_start;
      place.on = neck != nullptr ? neck->neck : piece.kind == PieceKind::coupler ? "tube" : "joiner";
      // The wall goes round whatever is inside: the neck, or a joiner or tube of the hose's own bore.
      const Length inside = neck != nullptr ? std::max(neck->neck_outside, piece.bore) : piece.bore;
      place.installed_outside = inside + (piece.outside - piece.bore);
      place.lined = piece.lined_clamps;
      const Length push = at_start ? piece.push_from : piece.push_to;
      place.size = clamp_for(job.clamps, {place.installed_outside, push, place.lined});
      put_band(place, push, proved_clamp(proof, i, at_start));
      if (neck != nullptr && !neck->bead) place.count = 2;
      places.push_back(std::move(place));
    }
  }
  return places;
}

}  // namespace hosefit
