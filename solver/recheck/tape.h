// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include "solver/recheck/yaml_values.h"

namespace hosefit::recheck {

/// Works out the points under `tape` of a vehicle file for the second time, into `taped`: the same sum of
/// squares as the first program's (readings and coordinates of datums, each over half its accuracy), by other
/// means: differences of spheres give two rough places, orthogonal factors the rest. To 0.001 mm. Refused:
/// what three readings do not fix, what two places fit as well, readings more than four standard deviations
/// off.
void work_out_tape(YamlFile& file, Refusals& refusals);

/// Whether a taped point stands anywhere under this key.
bool holds_taped(const Table& in, std::string_view key);

}  // namespace hosefit::recheck
