// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include "solver/input/map_view.h"

namespace hosefit {

/// Works out the points of the key `tape` of a vehicle file, into `tape` and `taped`. Tapes that lead
/// nowhere, do not fix their point or do not agree are refused, and so is {taped: NAME} where no such point
/// is, in another file than the vehicle's, and for what is written in the engine's frame.
void read_tape(InputFile& file, ProblemLog& log);

}  // namespace hosefit
