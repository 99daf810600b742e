// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <vector>

#include "solver/model/bay.h"
#include "solver/model/finding.h"
#include "solver/model/route.h"

namespace hosefit {

/// Is the route a curve that can be measured? Finite numbers, pieces of some length, unit normals square to
/// their radius, pieces that meet (1e-6 mm) without a kink (1e-6 rad), sections that cover it in order.
/// Empty: yes.
std::vector<Finding> check_curve(const Bay& bay, const Route& route);

/// Starts at the `from` neck's end along its outward direction, ends at the `to` neck's against its own; 1e-6
/// mm and rad. Precondition: check_curve found nothing that is not finite.
std::vector<Finding> check_ends(const Bay& bay, const Route& route);

/// Sections nowhere thinner than the stock (the coupler where bent tube sits in one), and no hose measured as
/// a rigid part. Engagement on both necks: a stop when less than the least engagement although the spigot is
/// long enough; a flag when the spigot is shorter than the engagement or than the least engagement.
std::vector<Finding> check_hose_ends(const Bay& bay, const Route& route, const Stock& stock);

}  // namespace hosefit
