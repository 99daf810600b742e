// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>
#include <span>
#include <stop_token>
#include <vector>

#include "solver/decide/judge.h"

/// A tee whose place is chosen along the line that carries it.
namespace hosefit {

/// The bay with that line whole, and without the tee and what starts or ends at it.
struct BayWithLineWhole {
  Bay bay;
  std::vector<std::size_t> line_of;  ///< beside bay.lines: index in the bay with the tee; the whole line's is
                                     ///< that of its part before the tee
};
/// Precondition: the bay has a tee, which does not stand yet.
BayWithLineWhole with_line_whole(const Job& job, const Bay& bay);

/// Where a tee may stand on a route of the whole line: on straights that are long enough for the body, hose
/// pushed on from both sides and what the trade leaves straight before a bend, within the range asked for,
/// every kTeeStep_mm of them and their middle; with every angle of its branch. Those first that leave the
/// branch and the other neck of its line, each followed for kTeeLook_mm, nearest to each other.
inline constexpr double kTeeStep_mm = 10.0, kTeeLook_mm = 60.0;
std::vector<TeeStand> tee_stands(const Tee& tee, const Route& whole, const Stock& stock,
                                 const PlacedNeck& other_end);

/// Lays the line that carries the tee whole and every other line that has nothing to do with it; then, place
/// by place, the two parts and the line at the branch, with little work each and of the first ones with all.
/// A place counts when the tee has room, its three lines are found, proved at rest and within the range. The
/// first that fits is taken, or, where the tee's motion is not known, the first that is proved at rest; else
/// the best of a few. Where none counts, nothing is said against the lines at the tee: they stay undecided.
/// No argument is made of a line that ends at a tee. `judge` judges without searching.
Judgement judge_with_tee(const Prepared& prepared, Candidate candidate, const Budget& budget,
                         const std::stop_token& stop, const JudgeRouted& judge);

}  // namespace hosefit
