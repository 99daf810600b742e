// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/report/reasons.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace hosefit {
namespace {

const Finding* first_of(const CandidateResult& result, Severity severity) {
  for (const Finding& finding : result.findings)
    if (finding.severity == severity) return &finding;
  return nullptr;
}

// What the searches say when no finding was made of it.
const Obstruction* nearest_miss(const CandidateResult& result) {
  for (const LineSearch& search : result.searches)
    if (search.nearest_miss && search.outcome != SearchOutcome::found) return &*search.nearest_miss;
  return nullptr;
}

bool all_lines_found(const CandidateResult& result) {
  return result.lines_tried &&
         std::all_of(result.searches.begin(), result.searches.end(),
                     [](const LineSearch& search) { return search.outcome == SearchOutcome::found; });
}

struct RankedQuantity {
  std::string name;  // with its reason
  std::string shown, shown_next;
  long key = 0, key_next = 0;  // smaller is better
};

// Quantities in the same step count as equal, as in the ranking itself; see Comparison.
long stepped(double value_mm, double step_mm) {
  return std::lround(value_mm / step_mm);
}

std::string hindrance_words(Hindrance hindrance) {
  switch (hindrance) {
    case Hindrance::none:
      return "nothing";
    case Hindrance::line:
      return "a hose";
    case Hindrance::part_in_the_way:
      return "a part in the way of another";
    case Hindrance::parts_do_not_pair:
      return "parts that do not go together";
  }
  return {};
}

std::vector<RankedQuantity> quantities(const CandidateResult& first, const CandidateResult& next,
                                       LengthUnit unit) {
  const Comparison& a = first.comparison;
  const Comparison& b = next.comparison;
  const auto told = [&](double value_mm) { return length_words(Length::mm(value_mm), unit); };
  const auto yes = [](bool value) { return std::string(value ? "yes" : "no"); };
  std::vector<RankedQuantity> out{
      {"verdict", verdict_words(first), verdict_words(next), a.fit_order, b.fit_order}};
  if (a.hindrance != Hindrance::none || b.hindrance != Hindrance::none) {
    out.push_back({"gravest hindrance", hindrance_words(a.hindrance), hindrance_words(b.hindrance),
                   static_cast<long>(a.hindrance), static_cast<long>(b.hindrance)});
    out.push_back({"largest amount missing there, in steps of 1 mm", told(a.missing_mm), told(b.missing_mm),
                   stepped(a.missing_mm, 1.0), stepped(b.missing_mm, 1.0)});
  }
  if (a.lines_open > 0 || b.lines_open > 0)
    out.push_back({"hoses without a proved way", std::to_string(a.lines_open), std::to_string(b.lines_open),
                   a.lines_open, b.lines_open});
  if (a.necks_moved > 0 || b.necks_moved > 0)
    out.push_back({"necks to be ordered elsewhere than written", std::to_string(a.necks_moved),
                   std::to_string(b.necks_moved), a.necks_moved, b.necks_moved});
  const std::vector<RankedQuantity> effort{
      {"points that a person must look at", std::to_string(a.flags), std::to_string(b.flags), a.flags,
       b.flags},
      {"parts to change against what is fitted or owned", std::to_string(a.parts_changed),
       std::to_string(b.parts_changed), a.parts_changed, b.parts_changed},
      {"pump already fitted", yes(a.fitted_pump), yes(b.fitted_pump), a.fitted_pump ? 0 : 1,
       b.fitted_pump ? 0 : 1}};
  out.insert(out.end(), effort.begin(), effort.end());
  if (!all_lines_found(first) || !all_lines_found(next)) return out;
  out.push_back({"clamped hose ends (each may weep)", std::to_string(a.joints), std::to_string(b.joints),
                 a.joints, b.joints});
  out.push_back({"spare at the tightest place, in steps of 1 mm", told(a.least_spare_mm),
                 told(b.least_spare_mm), -stepped(a.least_spare_mm, 1.0), -stepped(b.least_spare_mm, 1.0)});
  out.push_back({"length of all hoses, in steps of 10 mm", told(a.length_mm), told(b.length_mm),
                 stepped(a.length_mm, 10.0), stepped(b.length_mm, 10.0)});
  return out;
}

// A set that fits only with a neck elsewhere must not look like one that fits the vehicle as it stands.
std::string conditions_of(const CandidateResult& result) {
  const std::string moved = names_of_moved_necks(result);
  return moved.empty() ? "nothing" : moved + " elsewhere";
}

}  // namespace

std::vector<std::string> parts_words(const Family& family, const Candidate& candidate) {
  const Housing& housing = family.housings[candidate.housing];
  std::string clocked = safe_text(housing.name);
  if (housing.clocks.size() > 1)
    clocked += fmt::format(", clock {:.0f} deg", housing.clocks[candidate.clock].deg());
  return {safe_text(family.drives[candidate.drive].name), clocked};
}

std::string names_of_moved_necks(const CandidateResult& result) {
  std::string out;
  for (const Finding& f : result.findings)
    if (f.rule == RuleId::neck_elsewhere) out += (out.empty() ? "" : ", ") + safe_text(f.subject);
  return out;
}

std::vector<std::string> moved_neck_sentences(const CandidateResult& result, LengthUnit unit) {
  std::vector<std::string> out;
  for (const Finding& f : result.findings)
    if (f.rule == RuleId::neck_elsewhere) out.push_back(sentences(f, WordsContext{unit, nullptr}));
  return out;
}

std::string verdict_words(const CandidateResult& result) {
  return std::string(word(result.verdict.fit));
}

std::string binding_words(const CandidateResult& result, const WordsContext& context) {
  if (const Finding* stop = first_of(result, Severity::stop)) return words_of(*stop, context).brief;
  if (result.verdict.fit != Fit::fits)
    if (const Obstruction* miss = nearest_miss(result))
      return fmt::format("{}, {} short", safe_text(miss->obstacle),
                         length_words(Length::mm(miss->missing_mm), context.unit));
  const auto tightest = tightest_gap(result);
  if (!tightest) return "nothing measured";
  const double spare_mm = tightest->gap->found_mm - tightest->gap->required_mm;
  return fmt::format("{}; least spare {} at {}", conditions_of(result),
                     length_words(Length::mm(spare_mm), context.unit), safe_text(tightest->gap->other));
}

std::optional<TightestGap> tightest_gap(const CandidateResult& result) {
  std::optional<TightestGap> out;
  double least_mm = 0;
  for (const LineProof& proof : result.proof.lines)
    for (const GapRecord& gap : proof.gaps) {
      const double spare_mm = gap.found_mm - gap.required_mm;
      if (out && spare_mm >= least_mm) continue;
      out = TightestGap{proof.line, &gap};
      least_mm = spare_mm;
    }
  return out;
}

std::string gap_words(const GapRecord& gap, LengthUnit unit) {
  const double spare_mm = gap.found_mm - gap.required_mm;
  const std::string found =
      gap.found_mm < 0 ? fmt::format("reaches {} into it", length_words(Length::mm(-gap.found_mm), unit))
                       : length_words(Length::mm(gap.found_mm), unit);
  return fmt::format("{}: {}, needs {} ({} {})", safe_text(gap.other), found,
                     length_words(Length::mm(gap.required_mm), unit),
                     length_words(Length::mm(std::abs(spare_mm)), unit), spare_mm < 0 ? "short" : "to spare");
}

std::vector<ComparedQuantity> compared(const CandidateResult& first, const CandidateResult* next,
                                       LengthUnit unit) {
  std::vector<ComparedQuantity> out;
  bool open = true;
  for (const RankedQuantity& q : quantities(first, next == nullptr ? first : *next, unit)) {
    if (next == nullptr) {
      out.push_back({fmt::format("{}: {}", q.name, q.shown), false});
      continue;
    }
    const bool decides = open && q.key < q.key_next;
    open = open && q.key == q.key_next;
    const std::string against = q.key == q.key_next && q.shown == q.shown_next
                                    ? std::string("the next the same")
                                    : fmt::format("the next {}", q.shown_next);
    out.push_back(
        {fmt::format("{}: {}, {}{}", q.name, q.shown, against, decides ? " - this decides" : ""), decides});
  }
  return out;
}

std::optional<Bay> bay_of(const Job& job, const CandidateResult& result) {
  return bay_of(job, BodyStore(job), result);
}

std::optional<Bay> bay_of(const Job& job, const BodyStore& bodies, const CandidateResult& result) {
  const Candidate& c = result.candidate;
  const Seat& seat = job.family.pumps[c.pump].seat;
  const Housing& housing = job.family.housings[c.housing];
  const Intake& intake = job.family.intakes[c.intake];
  const bool place_fits =
      std::find(housing.places.begin(), housing.places.end(), seat.place) != housing.places.end();
  if (housing.flange != seat.flange || !place_fits || c.height < intake.least_height ||
      c.height > intake.most_height)
    return std::nullopt;
  return assemble(job, bodies, result.candidate);
}

const OperatingPoint* daily_point(const FlowAnswer& flow) {
  for (const OperatingPoint& point : flow.points)
    if (point.duty == "cruise") return &point;
  return flow.points.empty() ? nullptr : &flow.points[flow.points.size() / 2];
}

std::string outcome_words(SearchOutcome outcome) {
  switch (outcome) {
    case SearchOutcome::found:
      return "found";
    case SearchOutcome::stub_blocked:
      return "no room on the neck itself";
    case SearchOutcome::no_passage:
      return "no way through of this width";
    case SearchOutcome::no_room_to_bend:
      return "no room for its first bend";
    case SearchOutcome::no_stock:
      return "no stock on sale suits";
    case SearchOutcome::budget_spent:
      return "none found and none ruled out in the work allowed";
  }
  return {};
}

std::string flow_words(const SourcedFlow& flow, LengthUnit unit) {
  if (unit == LengthUnit::inch)
    return fmt::format("{:.1f} US gpm ({:.1f} to {:.1f})", flow.nominal().us_gpm(), flow.low().us_gpm(),
                       flow.high().us_gpm());
  return fmt::format("{:.0f} L/min ({:.0f} to {:.0f})", flow.nominal().l_min(), flow.low().l_min(),
                     flow.high().l_min());
}

std::string curve_words(const FlowAnswer& flow) {
  return fmt::format("{}, band \u00b1{:.0f} % of its rise", safe_text(flow.curve_source),
                     100.0 * flow.curve_band);
}

}  // namespace hosefit
