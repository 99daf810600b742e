// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>
#include <vector>

#include "solver/input/map_view.h"
#include "solver/model/neck.h"

namespace hosefit {

/// What stands at `choose` of a neck. Refuses a choice of one place only, one of more than kMostNeckPlaces,
/// and two slides along one line. Empty without the key, or when it was refused.
std::optional<NeckChoice> read_neck_choice(const MapView& neck, ProblemLog& log);

/// Refuses in `with` what is no obstacle of the chassis, the radiator's core, and what goes along with
/// another neck already.
void check_neck_choices(const std::vector<MapView>& necks, const std::vector<std::string>& obstacle_names,
                        std::string_view core_name, ProblemLog& log);

}  // namespace hosefit
