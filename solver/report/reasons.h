// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "solver/decide/decide.h"
#include "solver/report/words.h"

/// Why a choice came out as it did, in words. One line each, safe to print.
namespace hosefit {

/// The parts that go with the pump: drive, housing with its clock, in that order.
std::vector<std::string> parts_words(const Family& family, const Candidate& candidate);

/// The necks that must be ordered elsewhere than written: their names, comma between, empty when there are
/// none; and in full what to do about each.
std::string names_of_moved_necks(const CandidateResult& result);
std::vector<std::string> moved_neck_sentences(const CandidateResult& result, LengthUnit unit);

/// A verdict as shown: "fits", "does not fit", ...; never a mark or a colour alone.
std::string verdict_words(const CandidateResult& result);

/// What the verdict hangs on: the first stop, else necks that must be ordered elsewhere and the tightest gap
/// that was proved, else what kept it undecided.
std::string binding_words(const CandidateResult& result, const WordsContext& context);

/// The tightest proved gap over all lines and its line; empty when nothing was proved.
struct TightestGap {
  std::size_t line = 0;  ///< index into the vehicle's lines
  const GapRecord* gap = nullptr;
};
std::optional<TightestGap> tightest_gap(const CandidateResult& result);
/// "throttle body: 14.2 mm, needs 12.0 mm (2.2 mm to spare)".
std::string gap_words(const GapRecord& gap, LengthUnit unit);

/// One quantity of the comparison that ranks candidates: its figure here and in the next, and whether it
/// decided.
struct ComparedQuantity {
  std::string words;
  bool decides = false;
};
/// Every quantity in the order of comparison; `next` may be null (only one pump was asked for).
std::vector<ComparedQuantity> compared(const CandidateResult& first, const CandidateResult* next,
                                       LengthUnit unit);

/// How a search ended, as the end of a sentence.
std::string outcome_words(SearchOutcome outcome);

/// The bay that a candidate stands in, for names and places; empty when its parts do not bolt together.
std::optional<Bay> bay_of(const Job& job, const CandidateResult& result);
/// The same from bodies at hand; what was prepared for them serves again.
std::optional<Bay> bay_of(const Job& job, const BodyStore& bodies, const CandidateResult& result);

/// The working point that stands for daily use: the one named cruise, else the middle one; empty without
/// points.
const OperatingPoint* daily_point(const FlowAnswer& flow);
/// "98 L/min (84 to 113)", in US gallons with inches; the caller states the curve beside it.
std::string flow_words(const SourcedFlow& flow, LengthUnit unit);
/// "SOURCE, band +-20 % of its rise".
std::string curve_words(const FlowAnswer& flow);

}  // namespace hosefit
