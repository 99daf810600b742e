// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <string>
#include <vector>

#include "solver/input/shape_yaml.h"
#include "solver/model/vehicle.h"

namespace hosefit {

/// Reads what can be read; everything else is in the log. Names that point into other files are not looked at
/// here (job_check.h). The family is the one written in the file.
Vehicle read_vehicle(const InputFile& file, const ReadTools& tools);

/// The chassis necks as written, refused ones too: those of the radiator first.
std::vector<MapView> chassis_necks(const InputFile& file);

}  // namespace hosefit
