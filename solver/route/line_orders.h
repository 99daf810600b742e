// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cstdint>
#include <functional>
#include <map>
#include <stop_token>
#include <vector>

#include "solver/route/lines.h"

namespace hosefit {

/// Routes that lie, by line.
using LaidLines = std::map<std::size_t, Route>;

/// Searches one line among those that lie. The same question must get the same answer.
using LayLine = std::function<LineSearch(std::size_t line, const LaidLines& laid)>;

/// Of the lines that lie, those a search without a route names as being in its way.
using LinesInTheWay =
    std::function<std::vector<std::size_t>(const LineSearch& failed, const LaidLines& laid)>;

/// Lays lines one after another in the order given. Where some find no way, or one with more joints than they
/// find alone in the bay, other orders are tried: those where such a line goes before one that was in its
/// way, then every order there is, until all lie as well as alone or `most_work` units have been spent on
/// other orders. Of those tried it answers the order that lays most lines, among equals that with fewest
/// joints, then that with least length in all, then the first; results by line, for 0 .. order.size() - 1.
///
/// So the answer is never worse than the best order, in lines laid and then in joints, as long as the work
/// sufficed for all of them and no line finds better among others than alone; where some line finds no way in
/// any order, in length too. What a line finds depends only on what was laid before it, and is not searched
/// twice.
std::vector<LineSearch> lay_in_best_order(const std::vector<std::size_t>& order, const LayLine& lay,
                                          const LinesInTheWay& in_the_way, std::int64_t most_work,
                                          const std::stop_token& stop = {});

}  // namespace hosefit
