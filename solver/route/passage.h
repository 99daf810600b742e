// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cstdint>
#include <optional>
#include <vector>

#include "solver/route/shortcut.h"

namespace hosefit {

enum class PassageAnswer {
  open,    ///< a chain of cells that may hold a free point each: a guide for the search, not a proof
  closed,  ///< a proof: no curve of at most that length keeps the gaps, whatever its bends
  budget_spent,
};

/// What a flood over cells says about getting a ball of the run's width from one place to another.
struct Passage {
  PassageAnswer answer = PassageAnswer::budget_spent;
  std::vector<Vec3> way;  ///< cell centres moved towards the middle of their passage; empty unless open
  double cell_mm = 0;
  std::int64_t cells = 0;  ///< looked at
};

/// May cells that hold no free point be crossed? Only to learn where it is narrowest; the answer is then
/// never `closed`.
enum class Crossing { forbidden, at_a_price };

/// Best-first flood over cubes of `cell_mm`, neighbours by face, edge or corner. A cell is shut when its
/// centre's exact margin plus half its diagonal is below 0: the margin is 1-Lipschitz, so then no point of it
/// is free. A step between cells is shut when their common face, edge or corner is, in the same way. Cells
/// further from both ends together than `most_length_mm` are no use to any run of that length.
/// Short and wide ways first.
Passage find_passage(const Room& room, const Vec3& from_mm, const Vec3& to_mm, double cell_mm,
                     double most_length_mm, Crossing crossing, std::int64_t most_cells);

/// Headings along a passage, about one per radius, from the end of one lead to the end of the other.
Way way_of(const RunProblem& problem, const Passage& passage);
/// Intersection points along a passage: the fewest that stay near it. The ends are put onto the lines of the
/// leads.
Bends bends_along(const RunProblem& problem, const Passage& passage, std::size_t most_bends);

}  // namespace hosefit
