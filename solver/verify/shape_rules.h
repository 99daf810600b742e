// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <vector>

#include "solver/verify/stock_rules.h"

namespace hosefit {

/// Is the route what is left of a moulded shape of the stock when it is cut where its piece says? One piece
/// of a shape on file; cuts within the shape (0.01 mm) and through none of its bends; as many bends between
/// them as the route has; radii and straights between bends alike (0.01 mm); each bend's angle, and the turn
/// of each bend's plane against that of the bend before, within kMostSprung_deg and 1e-6 rad; at each end the
/// straight that the cut leaves is the route's straight and the hose over the neck (0.01 mm); cut to the
/// length of the centreline and what goes over the necks, bought as long as the shape is (0.01 mm).
std::vector<Finding> check_shape_rules(const std::string& line, const Route& route, const Stock& stock,
                                       const Bends& bends);

}  // namespace hosefit
