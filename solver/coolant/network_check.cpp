// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <cmath>

#include "solver/coolant/network.h"
#include "solver/coolant/problem.h"

namespace hosefit {
namespace {

using Texts = std::vector<std::string>;

Texts faults(const Pipe& pipe) {
  Texts texts;
  if (!(pipe.bore.mm() > 0.0 && std::isfinite(pipe.bore.mm())))
    texts.push_back(fmt::format("want bore > 0, got {} mm", pipe.bore.mm()));
  else if (!(pipe.roughness.mm() >= 0.0 && pipe.roughness / pipe.bore <= 0.1))
    texts.push_back(fmt::format("want 0 <= roughness <= bore/10, got {} mm", pipe.roughness.mm()));
  if (!(pipe.length.mm() >= 0.0 && std::isfinite(pipe.length.mm())))
    texts.push_back(fmt::format("want length >= 0, got {} mm", pipe.length.mm()));
  if (!(pipe.minor_loss >= 0.0 && std::isfinite(pipe.minor_loss)))
    texts.push_back(fmt::format("want K >= 0, got {}", pipe.minor_loss));
  return texts;
}

Texts faults(const QuadraticLoss& loss) {
  if (loss.linear_pa_s_m3 >= 0.0 && loss.quadratic_pa_s2_m6 >= 0.0 &&
      std::isfinite(loss.linear_pa_s_m3 + loss.quadratic_pa_s2_m6))
    return {};
  return {fmt::format("want coefficients >= 0, got {} and {}", loss.linear_pa_s_m3, loss.quadratic_pa_s2_m6)};
}

Texts faults(const Valve& valve) {
  Texts texts;
  if (!(valve.open_pa_s2_m6 >= 0.0 && std::isfinite(valve.open_pa_s2_m6)))
    texts.push_back(fmt::format("want coefficient >= 0, got {}", valve.open_pa_s2_m6));
  if (!(valve.opening >= 0.0 && valve.opening <= 1.0))
    texts.push_back(fmt::format("want 0 <= opening <= 1, got {}", valve.opening));
  return texts;
}

Texts faults(const PumpElement& pump) {
  Texts texts;
  if (!(pump.at_reference.a1_pa_s_m3 <= 0.0 && pump.at_reference.a2_pa_s2_m6 <= 0.0))
    texts.push_back(fmt::format("want a pump curve that does not rise with flow, got a1 {} and a2 {}",
                                pump.at_reference.a1_pa_s_m3, pump.at_reference.a2_pa_s2_m6));
  if (!(pump.speed_ratio >= 0.0 && std::isfinite(pump.speed_ratio) && pump.rise_factor > 0.0 &&
        std::isfinite(pump.rise_factor)))
    texts.push_back(fmt::format("want speed ratio >= 0 and rise factor > 0, got {} and {}", pump.speed_ratio,
                                pump.rise_factor));
  return texts;
}

Texts faults(const HoseLine& hose) {
  Texts texts;
  for (const Problem& problem : check(hose.line)) texts.push_back(problem.path + ": " + problem.text);
  return texts;
}

}  // namespace

Problems check(const Network& network) {
  Problems problems;
  if (network.node_count == 0)
    problems.push_back(coolant_problem("coolant.network", "want at least one node, got none"));
  for (const Branch& branch : network.branches) {
    if (branch.from >= network.node_count || branch.to >= network.node_count)
      problems.push_back(coolant_problem(
          branch.name,
          fmt::format("want nodes below {}, got {} and {}", network.node_count, branch.from, branch.to)));
    for (const NetworkElement& element : branch.elements)
      for (std::string& text : std::visit([](const auto& e) { return faults(e); }, element))
        problems.push_back(coolant_problem(branch.name, std::move(text)));
  }
  return problems;
}

}  // namespace hosefit
