// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <string_view>

namespace hosefit {

/// First answer. No conversion to bool on purpose: undecided is neither.
enum class Fit { fits, passage_no_stock, does_not_fit, undecided };
std::string_view word(Fit fit);  ///< "fits", "passage, no stock", ...

/// Second answer: where the limits that the verdict rests on come from.
struct LimitsAnswer {
  int sourced = 0, unsourced = 0, signed_by_shop = 0;
  friend bool operator==(const LimitsAnswer&, const LimitsAnswer&) = default;
};

struct Verdict {
  Fit fit = Fit::undecided;
  LimitsAnswer limits;
};

}  // namespace hosefit
