// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <string>
#include <variant>
#include <vector>

#include "solver/base/quantity.h"
#include "solver/base/result.h"
#include "solver/coolant/fluid.h"

/// One coolant line between two parts of the circuit and the pressure it costs.
namespace hosefit {

struct StraightRun {
  Length length;
  Length bore;
  Length roughness;  ///< moulded hose 0.01 mm, drawn metal 0.0015 mm (from memory)
};
struct Bend {
  Length bore;
  Length radius;  ///< of the centreline
  Angle turn;
  Length roughness;
};
/// A change of bore in the sense of the line; flow the other way meets it the other way round.
struct BoreStep {
  Length from_bore;
  Length to_bore;
  Angle cone = Angle::deg(180.0);  ///< total angle; 180 deg is a sudden step
};
struct CorrugatedRun {
  Length length;
  Length bore;
  Length pitch;
};
using HydraulicElement = std::variant<StraightRun, Bend, BoreStep, CorrugatedRun>;

/// Elements in the order the coolant meets them.
struct HydraulicLine {
  std::string name;
  std::vector<HydraulicElement> elements;
};

/// Bores and lengths positive, bend radius at least half the bore, roughness at most a tenth of it, and the
/// bore of each element the one its neighbour leaves (within 0.01 mm): a change of bore without a step is a
/// Problem.
Problems check(const HydraulicLine&);

/// Which end of the band of a loss is meant.
enum class LossEdge { low, nominal, high };

/// Relative half-width of the loss of a smooth line, +-30 %: bends that interact, flattened bores, ends.
inline constexpr double smooth_line_band = 0.30;

/// Loss of total pressure from end to end at a flow; negative for a flow against the line's sense.
/// - nominal: Darcy friction over the whole centreline + bend excess + changes of bore.
/// - low, high: +-30 % on every smooth part (+-40 % on a bend outside Re 2e4..2e5), widened in
///   transitional runs to what lies between 64/Re and Colebrook; corrugated runs 2 to 5 times smooth,
///   widened to hold the nominal.
///
/// Requires check() empty (asserted).
struct LineLoss {
  Pressure low;  ///< smallest magnitude; `high` is the largest
  Pressure nominal;
  Pressure high;
  bool transitional = false;       ///< some run lies between Re 2300 and 4000: only the band is meaningful
  std::vector<std::string> notes;  ///< whole sentences on what limits the figure
};
LineLoss line_loss(const HydraulicLine&, const FluidProperties&, Flow);

/// One edge of the same without notes: the inner loop of the network.
double line_drop_pa(const HydraulicLine&, const FluidProperties&, double flow_m3s, LossEdge edge);

/// Mean velocity in the narrowest run (or, in a line of steps only, the narrowest bore), m/s; never negative.
double line_velocity_m_s(const HydraulicLine&, Flow);

}  // namespace hosefit
