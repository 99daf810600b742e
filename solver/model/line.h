// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "solver/base/result.h"
#include "solver/model/make.h"

namespace hosefit {

enum class Duty { hot, suction, heater_feed, heater_return, vent };
inline constexpr std::array kDuties{Duty::hot, Duty::suction, Duty::heater_feed, Duty::heater_return,
                                    Duty::vent};
std::string_view word(Duty duty);

/// How the height of a line may change from `from` to `to`: always up, always down, either but one way only,
/// or any. A hump or dip of at most 5 mm is let pass, at +-5 deg of vehicle pitch (common practice, no
/// source).
enum class Grade { rise, fall, one_way, free };
std::string_view word(Grade grade);

/// A hose wanted between two necks.
struct Line {
  std::string name;
  std::string from, to;  ///< neck names
  Duty duty = Duty::hot;
  Grade grade = Grade::free;
  std::optional<std::string> stock;  ///< pinned stock id
  std::string stock_reason;          ///< why; shown wherever the line is
  std::vector<Make> makes;           ///< in the shop's order of preference, not empty
  Place place;
};

}  // namespace hosefit
