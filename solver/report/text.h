// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cstddef>
#include <span>
#include <string>
#include <vector>

#include "solver/decide/decide.h"
#include "solver/decide/motion.h"
#include "solver/report/page.h"

/// The answer to `hosefit pick` as text for people. Pure functions: same input, same bytes.
namespace hosefit {

/// The height windows of one pump, when they were asked for.
struct PumpWindows {
  std::size_t pump = 0;
  std::vector<HeightWindow> windows;
};

/// What the report tells beside the choice itself.
struct ReportExtras {
  std::string version;
  std::vector<PumpWindows> windows;
  bool motion_asked = false;  ///< tell line by line what the engine's motion leaves
};

/// The whole report: the table of all pumps, why the first is first with its hoses, flow and losses, what
/// blocks each of the others, height windows, cautions beside what they concern, and what the report is not.
std::string pick_text(const Job& job, const Choice& choice, const ReportExtras& extras, const TextLook& look);

/// Planning aid only: who decides in the end. Stands on every output that leaves the shop.
std::string closing_words();

}  // namespace hosefit
