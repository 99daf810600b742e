// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/verify/clamp_seats.h"

#include <algorithm>
#include <cmath>

#include "solver/model/clamp.h"
#include "solver/verify/refusal.h"

namespace hosefit {
namespace {

constexpr double kMostJoinerGap_mm = 20.0;  // hose ends further apart in a joiner are a typing mistake
constexpr double kRounding_mm = 1e-6;

ClampSeat at_neck(const Bay& bay, const Route& route, const Stock* stock, bool at_start) {
  const BayLine& line = bay.lines[route.line];
  ClampSeat seat;
  seat.neck = at_start ? line.from : line.to;
  seat.piece = at_start || route.pieces.empty() ? 0 : route.pieces.size() - 1;
  seat.at_start = at_start;
  const double engagement_mm = at_start ? route.engagement_from_mm : route.engagement_to_mm;
  const PlacedNeck& neck = bay.necks[*seat.neck];
  seat.from_end_mm = proved_band_centre(Length::mm(engagement_mm)).mm();
  const double behind_mm = engagement_mm - seat.from_end_mm;
  seat.s_mm = at_start ? -behind_mm : length_mm(route.centreline) + behind_mm;
  seat.outside_mm = outside_over_neck_mm(route, stock, at_start);
  seat.band_mm = neck.end_mm - behind_mm * neck.outward;
  seat.axis = neck.outward;
  return seat;
}

bool is_hose(const StockPiece& piece) {
  return piece.what != "joiner" && piece.what != "tube";
}

// Hose and what it is pushed over, in turn, hose at both ends.
bool alternates(const std::vector<StockPiece>& pieces) {
  for (std::size_t i = 0; i < pieces.size(); ++i)
    if (is_hose(pieces[i]) != (i % 2 == 0)) return false;
  return pieces.size() % 2 == 1;
}

double section_outside_mm(const Route& route, double s_mm) {
  for (const RouteSection& section : route.sections)
    if (s_mm <= section.to_s_mm) return section.outside_diameter_mm;
  return route.sections.back().outside_diameter_mm;
}

// True when the curve is straight from a to b: its direction does not change.
bool straight_between(const Centreline& centreline, double a_mm, double b_mm) {
  double s_mm = 0;
  for (const Piece& piece : centreline.pieces) {
    const double end_mm = s_mm + length_mm(piece);
    const bool overlaps = end_mm > a_mm + kRounding_mm && s_mm < b_mm - kRounding_mm;
    if (overlaps && std::holds_alternative<Arc>(piece)) return false;
    s_mm = end_mm;
  }
  return true;
}

// What two hose ends have between them, from the last hose's end to the next one's start: positive over a
// joiner, negative over a tube, whose length lies between its couplers.
struct Joint {
  std::size_t inside = 0;    ///< piece that both ends are pushed over
  double engagement_mm = 0;  ///< of each hose end on it
  double next_start_mm = 0;  ///< from the last hose's end
};

std::optional<std::vector<Joint>> joints_of(const Route& route, const Stock* stock) {
  const std::vector<StockPiece>& pieces = route.pieces;
  double left_mm = length_mm(route.centreline) + route.engagement_from_mm + route.engagement_to_mm;
  int joiners = 0;
  const double cuff_mm = stock != nullptr ? stock->cuff.mm() : 0;
  for (const StockPiece& piece : pieces) {
    if (is_hose(piece)) left_mm -= piece.cut_length_mm;
    if (piece.what == "joiner") ++joiners;
    if (piece.what == "tube") left_mm -= piece.cut_length_mm - 2 * cuff_mm;
  }
  const double gap_mm = joiners > 0 ? left_mm / joiners : 0;
  const bool adds_up = joiners > 0 ? gap_mm >= -kRounding_mm && gap_mm <= kMostJoinerGap_mm
                                   : std::abs(left_mm) <= 0.01;  // lengths are told to the tenth
  if (!adds_up) return std::nullopt;
  std::vector<Joint> joints;
  for (std::size_t i = 1; i < pieces.size(); i += 2) {
    if (pieces[i].what == "joiner")
      joints.push_back({i, (pieces[i].cut_length_mm - gap_mm) / 2, gap_mm});
    else
      joints.push_back({i, cuff_mm, pieces[i].cut_length_mm - 2 * cuff_mm});
  }
  return joints;
}

std::optional<std::vector<ClampSeat>> inside_the_run(const Route& route, const Stock* stock) {
  std::vector<ClampSeat> seats;
  if (route.pieces.size() < 2) return seats;
  if (!alternates(route.pieces)) return std::nullopt;
  const auto joints = joints_of(route, stock);
  if (!joints) return std::nullopt;
  const double length = length_mm(route.centreline);
  double start_mm = -route.engagement_from_mm;
  for (const Joint& joint : *joints) {
    const double end_mm = start_mm + route.pieces[joint.inside - 1].cut_length_mm;
    start_mm = end_mm + joint.next_start_mm;
    if (!(joint.engagement_mm > 0)) return std::nullopt;
    const double in_mm = proved_band_centre(Length::mm(joint.engagement_mm)).mm();
    for (const bool at_start : {false, true}) {
      ClampSeat seat;
      seat.piece = at_start ? joint.inside + 1 : joint.inside - 1;
      seat.at_start = at_start;
      seat.from_end_mm = in_mm;
      seat.s_mm = at_start ? start_mm + in_mm : end_mm - in_mm;
      const double from_mm = at_start ? start_mm : end_mm - joint.engagement_mm;
      const double to_mm = from_mm + joint.engagement_mm;
      if (from_mm < -kRounding_mm || to_mm > length + kRounding_mm ||
          !straight_between(route.centreline, from_mm, to_mm))
        return std::nullopt;
      seat.outside_mm = section_outside_mm(route, seat.s_mm);
      seat.band_mm = point_at(route.centreline, seat.s_mm);
      seat.axis = direction_at(route.centreline, seat.s_mm);
      seats.push_back(seat);
    }
  }
  return seats;
}

}  // namespace

ClampSeats clamp_seats(const Bay& bay, const Route& route, const Stock* stock) {
  ClampSeats out;
  out.seats.push_back(at_neck(bay, route, stock, true));
  if (const auto inside = inside_the_run(route, stock))
    out.seats.insert(out.seats.end(), inside->begin(), inside->end());
  else
    out.refused.push_back(
        refused(RuleId::clamp_blocked, bay.lines[route.line].line.name, "pieces_do_not_add_up"));
  out.seats.push_back(at_neck(bay, route, stock, false));
  return out;
}

}  // namespace hosefit
