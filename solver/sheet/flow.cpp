// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include "solver/sheet/sections.h"

namespace hosefit {
namespace {

std::string degrees(Temperature t) {
  return fmt::format("{:.0f} \u00b0C ({:.0f} \u00b0F)", t.celsius(), t.fahrenheit());
}

std::string both_flows(const SourcedFlow& flow) {
  return fmt::format("{}; {}", flow_words(flow, LengthUnit::mm), flow_words(flow, LengthUnit::inch));
}

std::string out_of_engine(const OperatingPoint& point) {
  if (point.outcome == ThermalOutcome::overheating)
    return fmt::format("DOES NOT HOLD: still heating at {}", degrees(point.block_outlet));
  std::string out = fmt::format("{}, band {} to {}", degrees(point.block_outlet),
                                degrees(point.block_outlet_low), degrees(point.block_outlet_high));
  if (point.overheats_in_band) out += "; DOES NOT HOLD at the worst end of the bands";
  return out;
}

std::string above_boiling(const SuctionMargin& margin) {
  return fmt::format("{:.1f} kPa, {:.1f} to {:.1f} ({:.1f} psi)", margin.nominal.kpa(), margin.low.kpa(),
                     margin.high.kpa(), margin.nominal.psi());
}

}  // namespace

SheetSection flow_section(const SheetDesk& desk) {
  SheetSection out{"flow", "Coolant flow", {{"", {}}}};
  std::vector<SheetBlock>& blocks = out.cards.front().blocks;
  if (!desk.chosen.flow || desk.chosen.flow->points.empty()) {
    blocks.push_back(
        Paragraph{Tone::plain, desk.job().vehicle.tee ? "No flow is told: with a tee it is not worked out."
                               : desk.chosen.flow     ? "No flow is told: the circuit has no solution."
                                                      : "No flow is told: not every line has a hose."});
    return out;
  }
  const FlowAnswer& flow = *desk.chosen.flow;
  blocks.push_back(Paragraph{
      Tone::plain,
      fmt::format(
          "All figures rest on the pump curve: {}. In brackets the span when every error is at its end "
          "at once. The coolant is {}.",
          curve_words(flow), coolant_words(desk.job().vehicle.coolant))});
  SheetTable table{"Flow at each working point",
                   {"working point", "through the pump", "through the radiator", "out of the engine",
                    "pump inlet above boiling"},
                   {}};
  for (const OperatingPoint& point : flow.points)
    table.rows.push_back({safe_text(point.duty), both_flows(point.total), both_flows(point.radiator),
                          out_of_engine(point), above_boiling(point.suction_margin)});
  blocks.push_back(table);
  for (const Problem& problem : flow.problems)
    blocks.push_back(Paragraph{Tone::doubtful, fmt::format("No figure for {}: {}", safe_text(problem.path),
                                                           safe_text(problem.text))});
  blocks.push_back(Paragraph{Tone::quiet, "A figure of cooling is an estimate, never a guarantee."});
  return out;
}

}  // namespace hosefit
