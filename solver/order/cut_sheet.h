// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "solver/decide/decide.h"
#include "solver/order/clamps.h"
#include "solver/order/moulded.h"
#include "solver/order/neck_match.h"

/// What a shop cuts, bends and fits for one line.
namespace hosefit {

/// May parts of this line be ordered? Only `order`: everything else must say loudly why not.
enum class Standing {
  order,              ///< the combination fits and this line is proved
  combination_stops,  ///< this line is proved, but the combination of parts is not proved to fit
  not_proved,         ///< a route without proof, or one that breaks a rule
  no_route            ///< nothing to cut
};
std::string_view word(Standing standing);  ///< stable: "order", "combination_stops", ...

enum class PieceKind { straight, elbow, corrugated, coupler, tube, joiner, moulded };
std::string_view word(PieceKind kind);

/// How true a cut end has to be. `both_ways` 0: nothing is stated.
struct CutTolerance {
  Length both_ways;
  Length squareness;  ///< of the ends; 0: nothing is stated
  Provenance provenance;
};
/// Hose cut square by hand. Up to 1830 mm: trade-association Hose Handbook IP-2 (2003; table seen
/// second-hand), for straight hose only. Longer, and corrugated or moulded hose: the same figures as common
/// practice. Metal tube: 1 mm, common practice.
CutTolerance cut_tolerance(PieceKind kind, Length cut, Length bore);

struct CutPiece {
  PieceKind kind = PieceKind::straight;
  std::string what;              ///< as the route calls it: "elbow 90 deg"
  std::string stock;             ///< id to order from; empty: nothing on file, order by its dimensions
  bool lined_clamps = false;     ///< silicone, or the stock does not say what it is
  Length bore, outside;          ///< joiner: outside of the beaded tube in both
  Length cut;                    ///< along its centreline
  std::optional<Length> bought;  ///< length on sale that the route was made for; moulded: of the whole shape
  std::optional<Angle> turn;     ///< elbow: by how much the flow turns
  std::optional<Angle>
      clock;                ///< turn of its bend plane against the bend before, right-handed about the flow
  Length leg_from, leg_to;  ///< elbow: intersection point to cut end, towards the line's start and end
  Length leg_as_sold;       ///< elbow
  std::optional<ShapeCut> shape = {};  ///< moulded: of which, and where to cut it
  Length push_from, push_to;           ///< over a neck, joiner or tube at its two ends; joiner and tube: 0
  CutTolerance tolerance;
  double from_s_mm = 0, to_s_mm = 0;  ///< on the centreline; beyond its ends over the necks
};

/// A clamp, or the two that a neck without a bead gets.
struct ClampPlace {
  std::size_t piece = 0;  ///< index into CutSheet::pieces
  bool at_start = true;
  std::string on;                  ///< neck's name; "joiner", "tube"
  std::optional<ClampSize> size;   ///< empty: none on file covers it, order by the diameter
  Length installed_outside;        ///< of the hose where it sits, on the neck's outside diameter
  std::optional<Length> from_end;  ///< cut end to the middle of the band; empty: no room for the band
  bool lined = false;
  int count = 1;
  /// Of its housing, where the proof found room with the band at `from_end` (ClampRecord); empty: not proved.
  std::optional<double> clock_rad;
};

/// Coil inside a suction hose; ends before the clamps.
struct Spring {
  std::size_t piece = 0;
  Length outside, length;
};
/// Heat sleeve over part of a hose.
struct Sleeve {
  std::string obstacle;
  bool shielded = false;
  Length gap, wanted_without;  ///< least gap found; gap from which no sleeve is asked for
  Length from_s, to_s;         ///< on the centreline, from the neck's end at the line's start
  Length over;                 ///< outside of the hose it goes over
};
/// Two diameters that no one hose suits; see reducers_for.
struct ReducerNeed {
  Length from, to;              ///< diameters to join, towards the line's start and end: of necks, outside;
                                ///< with stock set by the shop one of them is that hose's bore
  std::optional<Reducer> item;  ///< on file; empty: none matches
};

/// A support clip on a long span.
struct Clip {
  Length at_s;
  Length over;
  Carrier carrier =
      Carrier::chassis;  ///< what it must be fixed to, so that it goes with that end of the line
  std::string on;        ///< the smooth metal nearest there; empty: none within a bracket's reach
  Length off;            ///< from the line's outside to that
};

struct CutSheet {
  std::size_t line = 0;  ///< index into the vehicle's lines
  Standing standing = Standing::no_route;
  std::optional<Route> route;  ///< empty with no_route, and then everything below is
  std::string description;     ///< of the main stock: hose type and class
  Provenance bend_provenance;
  std::optional<NeckMatch> from, to;
  std::vector<CutPiece> pieces;
  std::vector<ClampPlace> clamps;
  /// Bent tube: of the tube alone, from its first cut end. Moulded: of the line as fitted, from neck end to
  /// neck end. Else empty.
  BendTable bends;
  std::vector<SprungBend> sprung;      ///< moulded: beside the rows of `bends`
  std::vector<Vec3> intersections_mm;  ///< start, intersection points, end; vehicle frame
  std::vector<Length> radii;           ///< of the bends at the points between
  std::vector<Spring> springs;
  std::vector<Sleeve> sleeves;
  std::vector<Clip> clips;
  std::vector<ReducerNeed> reducers;  ///< also with no_route. Never part of a proved route
};

/// One sheet per line of the vehicle, in their order.
std::vector<CutSheet> cut_sheets(const Job& job, const CandidateResult& result);

/// Cut straight hose or coupler of a bore and at most an outside diameter from this stock; null: none on
/// file.
const Stock* straight_stock_for(const Job& job, Length bore, Length at_most_outside);

/// True unless the description says that the hose is not silicone: slotted bands cut silicone.
bool wants_lined_clamps(const Stock& stock);

}  // namespace hosefit
