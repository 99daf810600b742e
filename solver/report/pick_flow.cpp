// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include "solver/report/pick_sections.h"
#include "solver/report/reasons.h"

namespace hosefit {
namespace {

std::string temperature_words(Temperature t, LengthUnit unit) {
  return unit == LengthUnit::inch ? fmt::format("{:.0f} F", t.fahrenheit())
                                  : fmt::format("{:.0f} C", t.celsius());
}

std::string thermal_words(const OperatingPoint& point, LengthUnit unit) {
  const std::string band = fmt::format("{} ({} to {})", temperature_words(point.block_outlet, unit),
                                       temperature_words(point.block_outlet_low, unit),
                                       temperature_words(point.block_outlet_high, unit));
  if (point.outcome == ThermalOutcome::overheating)
    return fmt::format("does not hold: still heating at {}", temperature_words(point.block_outlet, unit));
  return point.overheats_in_band ? band + ", does not hold at the worst end of the bands" : band;
}

std::string pressure_words(Pressure p) {
  return fmt::format("{:.1f} kPa", p.kpa());
}

void write_points(Page& page, const FlowAnswer& flow) {
  const LengthUnit unit = page.look().unit;
  std::vector<std::vector<Cell>> rows;
  for (const OperatingPoint& point : flow.points) {
    const SuctionMargin& margin = point.suction_margin;
    rows.push_back({{{safe_text(point.duty)}, Tint::strong},
                    {{flow_words(point.total, unit)}},
                    {{flow_words(point.radiator, unit)}},
                    {{point.heater ? flow_words(*point.heater, unit) : "-"}},
                    {{thermal_words(point, unit)}},
                    {{fmt::format("{:.0f} %", 100.0 * point.thermostat_opening)}},
                    {{fmt::format("{} ({:.1f} to {:.1f})", pressure_words(margin.nominal), margin.low.kpa(),
                                  margin.high.kpa())}}});
  }
  page.table({"working point", "pump", "radiator", "heater", "out of engine", "thermostat open",
              "pump inlet above boiling"},
             rows, 2);
}

std::string loss_words(const LineReport& line) {
  std::string out = fmt::format("{} ({:.1f} to {:.1f}), {:.1f} m/s", pressure_words(line.loss),
                                line.loss_low.kpa(), line.loss_high.kpa(), line.velocity_m_s);
  switch (line.velocity) {
    case VelocityGrade::within_guide:
      break;
    case VelocityGrade::above_preferred:
      out += ", faster than preferred";
      break;
    case VelocityGrade::above_limit:
      out += ", faster than the usual limit";
      break;
  }
  return out;
}

void write_losses(Page& page, const FlowAnswer& flow) {
  std::vector<std::string> titles{"loss in line"};
  std::vector<std::vector<Cell>> rows;
  for (const LineReport& line : flow.points.front().lines)
    rows.push_back({{{safe_text(line.name)}, Tint::strong}});
  for (const OperatingPoint& point : flow.points) {
    titles.push_back(safe_text(point.duty));
    for (std::size_t i = 0; i < rows.size(); ++i)
      rows[i].push_back({{i < point.lines.size() ? loss_words(point.lines[i]) : std::string("-")}});
  }
  page.blank();
  page.table(titles, rows, 2);
}

}  // namespace

void write_flow(Page& page, const Job& job, const CandidateResult& result) {
  page.heading("Flow and losses");
  if (!result.flow) {
    page.line(job.vehicle.tee ? "No flow is told: with a tee it is not worked out."
                              : "No flow is told: not every line has a hose.");
    return;
  }
  const FlowAnswer& flow = *result.flow;
  for (const Problem& problem : flow.problems)
    page.line(fmt::format("no figure for {}: {}", problem.path, problem.text), 2, 2);
  if (flow.points.empty()) return;
  page.line(fmt::format("All figures rest on the pump curve: {}. In brackets: the span when every error is "
                        "at its end at once.",
                        curve_words(flow)),
            2, 2);
  page.blank();
  write_points(page, flow);
  write_losses(page, flow);
  if (const std::string caution = glycol_caution(job.vehicle.coolant.fluid); !caution.empty())
    page.line(caution, 2, 2);
}

}  // namespace hosefit
