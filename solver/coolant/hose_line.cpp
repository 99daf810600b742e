// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/coolant/hose_line.h"

#include <fmt/format.h>

#include <algorithm>
#include <cassert>
#include <cmath>
#include <limits>
#include <numbers>
#include <optional>

#include "solver/coolant/friction.h"
#include "solver/coolant/losses.h"
#include "solver/coolant/problem.h"

namespace hosefit {
namespace {

constexpr Length bore_mismatch =
    Length::mm(0.01);  // a tenth of what a caliper tells; ten times more would hide a step

/// Loss of one element at one flow, in units of the pressure.
struct ElementLoss {
  double low_pa = 0.0;
  double nominal_pa = 0.0;
  double high_pa = 0.0;
  bool transitional = false;
};

struct Stream {
  double speed_m_s;
  double reynolds;
  double head_pa;  ///< dynamic pressure
};

Stream stream_in(Length bore, const FluidProperties& fluid, double flow_m3s) {
  const double d = bore.metre();
  const double speed = 4.0 * flow_m3s / (std::numbers::pi * d * d);
  return {speed, fluid.density_kg_m3 * speed * d / fluid.viscosity_pa_s,
          0.5 * fluid.density_kg_m3 * speed * speed};
}

ElementLoss scaled(double k_low, double k, double k_high, double head_pa) {
  return {k_low * head_pa, k * head_pa, k_high * head_pa, false};
}

ElementLoss run_loss(Length length, Length bore, Length roughness, const Stream& stream) {
  const FrictionBand f = friction_band(stream.reynolds, roughness / bore);
  const double bores = length / bore;
  ElementLoss loss = scaled(bores * std::min(f.low, (1.0 - smooth_line_band) * f.nominal), bores * f.nominal,
                            bores * std::max(f.high, (1.0 + smooth_line_band) * f.nominal), stream.head_pa);
  loss.transitional = f.transitional;
  return loss;
}

ElementLoss element_loss(const StraightRun& run, const FluidProperties& fluid, double flow_m3s) {
  return run_loss(run.length, run.bore, run.roughness, stream_in(run.bore, fluid, flow_m3s));
}

ElementLoss element_loss(const Bend& bend, const FluidProperties& fluid, double flow_m3s) {
  const Stream stream = stream_in(bend.bore, fluid, flow_m3s);
  const BendLoss extra = bend_loss(stream.reynolds, bend.radius / bend.bore, bend.turn);
  const double band = std::max(smooth_line_band, extra.relative_band);
  ElementLoss loss = run_loss(bend.turn.rad() * bend.radius, bend.bore, bend.roughness, stream);
  loss.low_pa += (1.0 - band) * extra.excess * stream.head_pa;
  loss.nominal_pa += extra.excess * stream.head_pa;
  loss.high_pa += (1.0 + band) * extra.excess * stream.head_pa;
  return loss;
}

ElementLoss element_loss(const BoreStep& step, const FluidProperties& fluid, double flow_m3s) {
  const Stream stream = stream_in(std::min(step.from_bore, step.to_bore), fluid, flow_m3s);
  const double k = bore_change_loss(step.from_bore, step.to_bore, step.cone);
  return scaled((1.0 - smooth_line_band) * k, k, (1.0 + smooth_line_band) * k, stream.head_pa);
}

ElementLoss element_loss(const CorrugatedRun& run, const FluidProperties& fluid, double flow_m3s) {
  const Stream stream = stream_in(run.bore, fluid, flow_m3s);
  const double smooth = friction_factor(stream.reynolds, 0.0);
  const double nominal = std::max(corrugated_friction_factor(run.bore, run.pitch), 64.0 / stream.reynolds);
  const double bores = run.length / run.bore;
  return scaled(bores * std::min(nominal, corrugated_low_multiple * smooth), bores * nominal,
                bores * std::max(nominal, corrugated_high_multiple * smooth), stream.head_pa);
}

/// The element as flow against the line's sense meets it.
HydraulicElement turned_round(HydraulicElement element) {
  if (auto* step = std::get_if<BoreStep>(&element)) std::swap(step->from_bore, step->to_bore);
  return element;
}

ElementLoss loss_of(const HydraulicElement& element, const FluidProperties& fluid, double flow_m3s) {
  return std::visit([&](const auto& e) { return element_loss(e, fluid, flow_m3s); }, element);
}

ElementLoss sum_of_losses(const HydraulicLine& line, const FluidProperties& fluid, double flow_m3s) {
  ElementLoss sum;
  if (flow_m3s == 0.0) return sum;
  const double magnitude = std::abs(flow_m3s);
  for (const HydraulicElement& element : line.elements) {
    const ElementLoss one = loss_of(flow_m3s > 0.0 ? element : turned_round(element), fluid, magnitude);
    sum.low_pa += one.low_pa;
    sum.nominal_pa += one.nominal_pa;
    sum.high_pa += one.high_pa;
    sum.transitional = sum.transitional || one.transitional;
  }
  const double sign = flow_m3s > 0.0 ? 1.0 : -1.0;
  return {sign * sum.low_pa, sign * sum.nominal_pa, sign * sum.high_pa, sum.transitional};
}

/// The closest two bends come, in bores of straight between them; empty with fewer than two bends.
std::optional<double> closest_bends_bores(const HydraulicLine& line) {
  std::optional<double> closest;
  std::optional<Length> straight_since_bend;
  for (const HydraulicElement& element : line.elements) {
    if (const auto* bend = std::get_if<Bend>(&element)) {
      if (straight_since_bend) closest = std::min(closest.value_or(1e9), *straight_since_bend / bend->bore);
      straight_since_bend = Length();
    } else if (straight_since_bend) {
      if (const auto* run = std::get_if<StraightRun>(&element))
        *straight_since_bend = *straight_since_bend + run->length;
      if (const auto* run = std::get_if<CorrugatedRun>(&element))
        *straight_since_bend = *straight_since_bend + run->length;
    }
  }
  return closest;
}

bool has_corrugated_run(const HydraulicLine& line) {
  return std::any_of(line.elements.begin(), line.elements.end(),
                     [](const HydraulicElement& e) { return std::holds_alternative<CorrugatedRun>(e); });
}

std::vector<std::string> notes_on(const HydraulicLine& line, bool transitional) {
  std::vector<std::string> notes;
  if (const std::optional<double> bores = closest_bends_bores(line);
      bores && *bores < bends_interact_below_bores)
    notes.push_back(fmt::format(
        "two bends stand {:.1f} bores apart; closer than {:.0f} their losses only add up to +-30 %", *bores,
        bends_interact_below_bores));
  if (has_corrugated_run(line))
    notes.push_back(
        fmt::format("corrugated hose costs {:.0f} to {:.0f} times as much as smooth hose; only a measurement "
                    "of it narrows that",
                    corrugated_low_multiple, corrugated_high_multiple));
  if (transitional)
    notes.push_back(
        fmt::format("the flow is neither laminar nor turbulent (Reynolds number {:.0f} to {:.0f}); only the "
                    "band means anything",
                    highest_laminar_reynolds, lowest_turbulent_reynolds));
  return notes;
}

struct Bores {
  Length in;
  Length out;
};
Bores bores_of(const HydraulicElement& element) {
  if (const auto* run = std::get_if<StraightRun>(&element)) return {run->bore, run->bore};
  if (const auto* bend = std::get_if<Bend>(&element)) return {bend->bore, bend->bore};
  if (const auto* run = std::get_if<CorrugatedRun>(&element)) return {run->bore, run->bore};
  const auto& step = std::get<BoreStep>(element);
  return {step.from_bore, step.to_bore};
}

/// Why an element cannot be computed; empty when it can.
std::string fault(const HydraulicElement& element) {
  const Bores bores = bores_of(element);
  if (!(bores.in.mm() > 0.0 && bores.out.mm() > 0.0 && bores.in.mm() <= 1000.0 && bores.out.mm() <= 1000.0))
    return fmt::format("want 0 < bore <= 1000 mm, got {} and {} mm", bores.in.mm(), bores.out.mm());
  const auto rough = [&](Length roughness) {
    return !(roughness.mm() >= 0.0 && roughness / bores.in <= 0.1);
  };
  if (const auto* run = std::get_if<StraightRun>(&element)) {
    if (!(run->length.mm() >= 0.0 && std::isfinite(run->length.mm())))
      return fmt::format("want length >= 0, got {} mm", run->length.mm());
    if (rough(run->roughness))
      return fmt::format("want 0 <= roughness <= bore/10, got {} mm", run->roughness.mm());
  }
  if (const auto* bend = std::get_if<Bend>(&element)) {
    if (!(bend->radius >= 0.5 * bend->bore && std::isfinite(bend->radius.mm())))
      return fmt::format("want bend radius >= bore/2, got {} mm on a bore of {} mm", bend->radius.mm(),
                         bend->bore.mm());
    if (!(bend->turn.rad() >= 0.0 && bend->turn.deg() <= 360.0))
      return fmt::format("want 0 <= turn <= 360 deg, got {} deg", bend->turn.deg());
    if (rough(bend->roughness))
      return fmt::format("want 0 <= roughness <= bore/10, got {} mm", bend->roughness.mm());
  }
  if (const auto* step = std::get_if<BoreStep>(&element);
      step && !(step->cone.rad() > 0.0 && step->cone.deg() <= 180.0))
    return fmt::format("want 0 < cone <= 180 deg, got {} deg", step->cone.deg());
  if (const auto* run = std::get_if<CorrugatedRun>(&element)) {
    if (!(run->length.mm() >= 0.0 && std::isfinite(run->length.mm())))
      return fmt::format("want length >= 0, got {} mm", run->length.mm());
    if (!(run->pitch.mm() > 0.0 && std::isfinite(run->pitch.mm())))
      return fmt::format("want pitch > 0, got {} mm", run->pitch.mm());
  }
  return {};
}

}  // namespace

Problems check(const HydraulicLine& line) {
  Problems problems;
  for (std::size_t i = 0; i < line.elements.size(); ++i) {
    const std::string path = fmt::format("{}.elements[{}]", line.name, i);
    if (std::string text = fault(line.elements[i]); !text.empty())
      problems.push_back(coolant_problem(path, std::move(text)));
    if (i == 0) continue;
    const Length before = bores_of(line.elements[i - 1]).out;
    const Length here = bores_of(line.elements[i]).in;
    if (!(std::abs((before - here).mm()) <= bore_mismatch.mm()))
      problems.push_back(coolant_problem(
          path, fmt::format("want a bore of {} mm, as the element before leaves it, or a step; got {} mm",
                            before.mm(), here.mm())));
  }
  return problems;
}

LineLoss line_loss(const HydraulicLine& line, const FluidProperties& fluid, Flow flow) {
  assert(check(line).empty());
  const ElementLoss sum = sum_of_losses(line, fluid, flow.m3s());
  return {Pressure::pa(sum.low_pa), Pressure::pa(sum.nominal_pa), Pressure::pa(sum.high_pa), sum.transitional,
          notes_on(line, sum.transitional)};
}

double line_drop_pa(const HydraulicLine& line, const FluidProperties& fluid, double flow_m3s, LossEdge edge) {
  const ElementLoss sum = sum_of_losses(line, fluid, flow_m3s);
  switch (edge) {
    case LossEdge::low:
      return sum.low_pa;
    case LossEdge::nominal:
      return sum.nominal_pa;
    case LossEdge::high:
      return sum.high_pa;
  }
  return sum.nominal_pa;
}

double line_velocity_m_s(const HydraulicLine& line, Flow flow) {
  std::optional<Length> narrowest_run;
  std::optional<Length> narrowest;
  for (const HydraulicElement& element : line.elements) {
    const Bores bores = bores_of(element);
    narrowest = std::min({narrowest.value_or(bores.in), bores.in, bores.out});
    if (!std::holds_alternative<BoreStep>(element))
      narrowest_run = std::min(narrowest_run.value_or(bores.in), bores.in);
  }
  if (!narrowest) return 0.0;
  const double d = narrowest_run.value_or(*narrowest).metre();
  return 4.0 * std::abs(flow.m3s()) / (std::numbers::pi * d * d);
}

}  // namespace hosefit
