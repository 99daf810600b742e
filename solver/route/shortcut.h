// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>

#include "solver/route/tree.h"

namespace hosefit {

/// The cheapest chain of free connections over headings of a way, by dynamic programming over (heading, bends
/// so far): length plus half a radius per bend, at most `most_bends` bends. Gives the intersection points.
/// Empty when no chain is free.
std::optional<Bends> shortcut(const RunProblem& problem, const Room& room, const Way& way, const Look& look,
                              int most_bends, Work& work);

/// The bends of one connection as intersection points; bends below 1e-6 rad make none.
Bends bends_of(const Connection& connection, const Heading& from, const Heading& to, double radius_mm);

}  // namespace hosefit
