// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/cli/all_windows.h"

namespace hosefit {
namespace {

// Narrower windows are told as undecided; a tape cannot set an intake finer.
constexpr Length kWindowStep = Length::mm(1.0);

}  // namespace

std::vector<PumpWindows> all_windows(const Prepared& prepared, const Choice& choice, const Budget& budget,
                                     const std::stop_token& stop, const Progress& progress) {
  std::vector<PumpWindows> out;
  for (const PumpAnswer& answer : choice.ranking) {
    if (stop.stop_requested()) break;
    out.push_back({answer.pump, height_windows(prepared, answer.pump, choice.query.intake, kWindowStep,
                                               budget, stop, progress)});
  }
  return out;
}

}  // namespace hosefit
