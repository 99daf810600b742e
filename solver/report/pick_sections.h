// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include "solver/report/page.h"
#include "solver/report/text.h"

/// The parts of the pick report, in the order in which they are written; for text.cpp only.
namespace hosefit {

/// One row per pump: rank, parts, verdict, what binds, joints, tightest gap, daily flow with its curve below
/// the table.
void write_pump_table(Page& page, const Job& job, const Choice& choice);

/// Why it stands first, quantity by quantity against the next.
void write_why_first(Page& page, const Job& job, const Choice& choice);
/// Per line: make, stock, pieces to cut in both units, tightest gap; or why there is no hose.
void write_hoses(Page& page, const Job& job, const CandidateResult& result);
/// Per working point: flows with band, temperatures, suction margin; loss per line; the curve that all rests
/// on.
void write_flow(Page& page, const Job& job, const CandidateResult& result);
/// Limits, findings with their sentences, parts to change.
void write_standing(Page& page, const Job& job, const CandidateResult& result);

/// What blocks each of the other pumps.
void write_others(Page& page, const Job& job, const Choice& choice);
/// What the engine's motion leaves of each pump whose best set holds at rest, line by line, and what that
/// rests on.
void write_motion(Page& page, const Job& job, const Choice& choice);
/// Bars and intervals of intake height.
void write_windows(Page& page, const Job& job, const Query& query, const std::vector<PumpWindows>& windows);

}  // namespace hosefit
