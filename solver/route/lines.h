// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cstdint>
#include <optional>
#include <span>
#include <stop_token>
#include <string>
#include <vector>

#include "solver/base/dice.h"
#include "solver/field/line_field.h"
#include "solver/model/route.h"

namespace hosefit {

/// Why a line has no route, as far as the search can tell. `stub_blocked`, `no_passage` and `no_room_to_bend`
/// are arguments that stand; the others say only that the budget was spent.
enum class SearchOutcome {
  found,
  stub_blocked,     ///< the hose on the neck itself, or its least lead, has no room
  no_passage,       ///< no free passage of the width exists on the conservative grid between the two ends
  no_room_to_bend,  ///< the first bend cannot turn in the room there is
  no_stock,         ///< a passage exists, no stock of the allowed makes matches bore, length or angles
  budget_spent,     ///< nothing found, nothing excluded
};

std::string_view word(SearchOutcome outcome);  ///< "stub_blocked"

/// The nearest miss: what is in the way, where, and by how much the best attempt fell short.
struct Obstruction {
  std::string obstacle;  ///< its name, or the name of the line that is in the way
  std::optional<ObstacleRef> ref;
  Vec3 where_mm = Vec3::Zero();
  double missing_mm = 0;  ///< > 0
  double required_mm = 0, found_mm = 0;
  double resolution_mm = 0;  ///< of the statement; 0 = exact
};

/// One make tried for one line.
struct MakeAttempt {
  Make make = Make::straight_hose;
  std::string stock;  ///< id; empty when none on sale matches the necks
  SearchOutcome outcome = SearchOutcome::budget_spent;
  std::optional<Obstruction> nearest_miss;
  std::string breaks;  ///< budget_spent, nothing in the way of the two-bend connection: the rule it breaks,
                       ///< as "grade"
  std::int64_t work_units = 0;
};

struct LineSearch {
  std::size_t line = 0;
  SearchOutcome outcome =
      SearchOutcome::budget_spent;  ///< found, or of all makes the one that leaves most open
  std::optional<Route> route;
  std::vector<Route> alternatives;    ///< other makes that also work, in order of preference (kept and named)
  std::vector<MakeAttempt> attempts;  ///< in the order tried
  std::optional<Obstruction> nearest_miss;
};

struct RouteOptions {
  RunSeed seed{1};
  double reserve_mm =
      1.0;  ///< routes aim at the required gap plus this, so that the proof need not argue over 0.01 mm
  std::int64_t work_units_per_make = 8000;      ///< search expansions; roughly 1 unit = 1 motion tried
  std::int64_t work_units_for_orders = 100000;  ///< where some lines find no way: for other orders of them
  bool try_all_makes = false;                   ///< also fill `alternatives`
};

/// What is asked of one line beyond the rules of its make, learnt from a route that did not hold when the
/// engine moved.
struct LineWish {
  std::vector<Make> without;   ///< makes that do not hold here
  double least_length_mm = 0;  ///< of the centreline between the neck ends
  double radius_factor = 1;    ///< of hose that is flexed: what it turns at in the plan, of its least radius
  double more_reserve_mm = 0;  ///< besides RouteOptions::reserve_mm
  bool few_joints = false;     ///< more than kFewJoints (joints.h) are no answer
};

/// Routes all lines of the bay, large bores first, each an obstacle to the next; where a line finds no way
/// so, in the order that lays most lines (line_orders.h). Results in the order of Bay::lines. Makes are tried
/// in the line's order of preference (many joints only for want of few: joints.h), stock of matching bore by
/// least radius first, so that the margin to it is largest. A route keeps every gap by a proved 0.02 mm at
/// least, aims at the reserve and leaves known space only for want of one inside. Same input, same answer.
std::vector<LineSearch> route_lines(const Bay& bay, FieldStore& store, const GapTable& gaps,
                                    std::span<const Stock> stock, const RouteOptions& options,
                                    const std::stop_token& stop = {});

/// Routes the lines `again` once more, all others staying where `known` has them unless one of them is in the
/// way and can lie elsewhere. `known` and `wishes` run beside Bay::lines. A line for which nothing is found
/// keeps the route that is known of it.
std::vector<LineSearch> route_again(const Bay& bay, FieldStore& store, const GapTable& gaps,
                                    std::span<const Stock> stock, const RouteOptions& options,
                                    std::vector<LineSearch> known, std::span<const LineWish> wishes,
                                    std::span<const std::size_t> again, const std::stop_token& stop = {});

/// Earlier routes laid again, line by line, where necks or bodies have moved a little: make, stock and number
/// of bends stay (elbows and moulded shapes: make and stock). Empty unless `earlier` has a route of every
/// line and each is found again. Which routes come of it depends on the earlier ones: a proposal for the
/// proof, and no argument when there is none.
std::optional<std::vector<LineSearch>> follow_routes(const Bay& bay, FieldStore& store, const GapTable& gaps,
                                                     std::span<const Stock> stock,
                                                     const RouteOptions& options,
                                                     std::span<const LineSearch> earlier,
                                                     const std::stop_token& stop = {});

/// The stock that suits both necks of a line, bore within -0.5 mm .. +5 % (common practice, no source), of
/// one make.
std::vector<const Stock*> stock_for(std::span<const Stock> stock, Make make, const PlacedNeck& from,
                                    const PlacedNeck& to);

}  // namespace hosefit
