// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <vector>

#include "solver/order/order_list.h"

namespace hosefit {

struct PlannedStick {
  Length length;
  std::vector<ShelfRow::Cut> cuts;  ///< at least one
};

struct HosePlan {
  std::vector<ShelfRow> shelf;  ///< one per piece in hand, in its order
  std::vector<PlannedStick> bought;
  bool least_proved = true;
};

/// Every hose cut of the lines that are proved: served from what is in hand first, the rest bought. Straight
/// cuts of one stock share lengths on sale, whatever line they are for; a cut that is longer than any length
/// on sale, or whose stock is not on file, is bought by its own length. Plans of different stock do not
/// touch.
HosePlan plan_hoses(const Job& job, const std::vector<CutSheet>& sheets);

}  // namespace hosefit
