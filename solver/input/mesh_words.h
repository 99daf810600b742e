// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <string>
#include <vector>

#include "solver/model/vehicle.h"

namespace hosefit {

/// For each mesh of a job, vehicle first, then the family's parts: what is wrong with its triangles, whether
/// it is solid or from which side it was seen, and how well the pairs put it in its place, each spot with how
/// far it is off and the worst of them named.
std::vector<std::string> mesh_sentences(const Job& job);

}  // namespace hosefit
