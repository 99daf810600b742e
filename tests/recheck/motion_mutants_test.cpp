// SPDX-License-Identifier: GPL-3.0-or-later
// Routes bent at random: where the first proof finds a gap short in motion the recheck must not hold, and the
// other way round, but for what both let pass.
#include <cstdio>
#include <cstdlib>

#include "solver/recheck/motion_checks.h"
#include "solver/verify/motion_proof.h"
#include "tests/recheck/mutant_routes.h"

using namespace hosefit;
using namespace hosefit::mutants;

namespace {

// What the recheck lets pass and the first proof may not, and the first proof lets pass.
constexpr double kSeenByRecheck_mm = recheck::kMotionHeld_mm + 2 * recheck::kShapesDiffer_mm;

struct Tally {
  int made = 0, first_short = 0, first_open = 0, second_short = 0, second_open = 0, both_hold = 0;
};

struct Answers {
  std::optional<double> first_short_mm;  // the shortest gap that the first proof found
  bool first_holds = false, second_short = false, second_holds = false;
  std::string said;
};

Answers answers(const Case& c, std::size_t line, const Route& route) {
  const Job& job = c.recorded.prepared->job();
  Answers out;
  std::vector<ClipPlace> clips = c.result().motion->lines[line].clips;
  recheck::RecordedLine recorded = as_recorded(c.record.candidates[c.candidate].lines[line], route);
  recorded.clamps.clear();  // both look at the hose alone
  while (!clips.empty() && clips.back().s_mm > length_mm(route.centreline) - 20) clips.pop_back();
  recorded.clips.resize(clips.size());

  ProofReport at_rest;
  at_rest.lines.resize(1);
  const std::vector<std::vector<std::vector<ClipPlace>>> layouts{{clips}};
  const MotionLine first = prove_in_motion(c.bay, c.bodies, {&route, 1}, at_rest, layouts, job.gaps,
                                           job.stock, engine_places(job.motion, engine_pose(job.vehicle)), {})
                               .front();
  out.first_holds = first.proved;
  for (const Finding& finding : first.findings) {
    out.said += std::string(word(finding.rule)) + " " + finding.other + "; ";
    if (finding.rule == RuleId::motion_gap && !finding.undecided && finding.margin &&
        finding.other != "itself")
      out.first_short_mm = std::max(out.first_short_mm.value_or(0), -*finding.margin);
  }

  const auto stock = std::find_if(c.job.stock.begin(), c.job.stock.end(),
                                  [&](const recheck::Stock& s) { return s.id == recorded.stock; });
  const recheck::EngineWays ways =
      recheck::engine_ways(recheck::engine_frame(c.job), *recheck::mounts_figures(c.job));
  const recheck::Tube tube = recheck::tube_of(c.second, route.line, recorded, *stock);
  recheck::MotionEffort effort;
  const auto second = recheck::line_motion_faults({c.second, c.job.gaps, ways},
                                                  recheck::moving_parts(c.second, tube, ways), effort);
  out.second_holds = second.faults.empty();
  for (const recheck::Fault& fault : second.faults) {
    out.said += "| " + fault.text;
    if (!fault.undecided && fault.text.find("required after motion") != std::string::npos)
      out.second_short = true;
  }
  return out;
}

}  // namespace

TEST_CASE("a changed line that one proof finds short in motion is not held by the other",
          "[mutants][whole]") {
  const char* asked = std::getenv("HOSEFIT_MUTANTS");
  const int count = asked == nullptr ? 24 : std::max(24, std::atoi(asked) / 25);
  Tally tally;
  for (const auto& [vehicle, pump, height_mm] :
       {std::tuple(std::string("harrow_half_ton"), "long left", 318.0),
        {std::string("linnet_coupe"), "left outlet", 290.0}}) {
    const Recorded recorded(vehicle, {{pump, height_mm}});
    const Case c(recorded, vehicle, 0);
    Dice dice(RunSeed{52}, 0);
    for (int made = 0, tries = 0; made < count / 2 && tries < 50 * count; ++tries) {
      const std::size_t line = dice.below(c.result().routes.size());
      const auto& gaps = c.result().proof.lines[line].gaps;
      const GapRecord& gap = gaps[dice.below(std::min<std::uint64_t>(gaps.size(), 6))];
      if (!gap.ref) continue;
      // Short of what it may come nearer at rest, so that only motion can break it.
      const double spare = gap.found_mm - gap.required_mm;
      const auto changed = mutant(c, c.result().routes[line], gap, Way::move_corner,
                                  dice.between(0.2, 1) * std::min(spare, 40.0), dice);
      if (!changed) continue;
      ++made;
      ++tally.made;
      const Answers both = answers(c, line, *changed);
      INFO(vehicle << ", line " << line << " bent towards " << gap.other << ": " << both.said);
      tally.first_short += both.first_short_mm.has_value();
      tally.first_open += !both.first_holds && !both.first_short_mm;
      tally.second_short += both.second_short;
      tally.second_open += !both.second_holds && !both.second_short;
      tally.both_hold += both.first_holds && both.second_holds;
      if (both.first_short_mm && *both.first_short_mm > kSeenByRecheck_mm) CHECK_FALSE(both.second_holds);
      if (both.second_short) CHECK_FALSE(both.first_holds);
    }
  }
  std::printf(
      "%d changed lines in motion: short by the first proof %d, not told %d; by the recheck %d, not told %d; "
      "%d hold for both\n",
      tally.made, tally.first_short, tally.first_open, tally.second_short, tally.second_open,
      tally.both_hold);
  CHECK(tally.made >= count - 4);
  CHECK(tally.both_hold > 0);
  CHECK(tally.second_short > 0);
}
