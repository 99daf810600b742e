// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include "solver/route/lines.h"
#include "solver/route/obstruction.h"
#include "solver/route/shape_runs.h"
#include "solver/route/work.h"

namespace hosefit {

/// One line, one stock: everything a search for it needs.
struct StockQuestion {
  const Surroundings& around;
  const BayLine& line;
  std::size_t line_index = 0;
  const Stock& stock;
  double self_gap_mm = 6.0;
  const RouteOptions& options;
  const LineWish& wish;
  const ShapeTable* shapes = nullptr;  ///< of a moulded stock
};

struct StockAnswer {
  MakeAttempt attempt;
  std::optional<Route> route;
};

/// Stubs first, then room for the first bend, then the search: inside known space where there is any, then
/// anywhere. When nothing is found, the flood is asked whether anything can pass at all.
StockAnswer route_with(const StockQuestion& question, const std::stop_token& stop);

/// An earlier route of this stock laid again where its necks or what is round it have moved a little: its
/// bends go along with the necks and are polished where they do not hold so. No shorter than it was by more
/// than a few mm, so that what it had for the engine's motion is not lost. Elbows, moulded
/// shapes and runs of less than two bends are searched for anew. Nothing found is no argument.
StockAnswer follow_with(const StockQuestion& question, const Route& earlier, const std::stop_token& stop);

}  // namespace hosefit
