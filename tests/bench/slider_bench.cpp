// SPDX-License-Identifier: GPL-3.0-or-later
// What moving the intake by a millimetre costs: earlier routes proved again, led along, and searched for
// anew.
#include <algorithm>

#include "solver/decide/candidates.h"
#include "solver/decide/judge.h"
#include "solver/model/bolts_together.h"
#include "tests/bench/timing.h"

using namespace hosefit;

namespace {

constexpr int kSteps = 24;        // up and as many down, 1 mm each
constexpr int kStepsASearch = 8;  // every so many steps the lines are searched for anew

class Steps {
 public:
  template <class Ask>
  bool add(const Ask& ask) {
    bool holds = false;
    ms_.push_back(timed([&] { holds = ask(); }).cpu);
    hold_ += holds ? 1 : 0;
    return holds;
  }
  void print(const std::string& what) {
    if (ms_.empty()) return;
    std::sort(ms_.begin(), ms_.end());
    fmt::print("  {:<48} {:>9.2f} p50 {:>9.2f} p95 {:>9.2f} most ms CPU   {} of {}\n", what,
               ms_[ms_.size() / 2], ms_[ms_.size() * 95 / 100], ms_.back(), hold_, ms_.size());
  }

 private:
  std::vector<double> ms_;
  int hold_ = 0;
};

bool all_proved(const Prepared& prepared, const Bay& bay, const std::vector<LineSearch>& searches) {
  std::vector<Route> routes;
  for (const LineSearch& search : searches)
    if (search.route) routes.push_back(*search.route);
  const Job& job = prepared.job();
  const ProofBodies bodies(bay, prepared.proofs());
  const ProofReport report = prove(bay, bodies, routes, job.gaps, job.stock, ProofOptions{});
  return routes.size() == bay.lines.size() &&
         std::all_of(report.lines.begin(), report.lines.end(), [](const LineProof& l) { return l.proved; });
}

}  // namespace

void bench_slider(const Prepared& prepared, const Query& query) {
  const Job& job = prepared.job();
  Budget budget;
  const Choice choice = decide(prepared, query, budget, {}, {});
  Steps same_at_rest, led_at_rest, same, led, anew;
  for (const PumpAnswer& answer : choice.ranking) {
    const CandidateResult& start = choice.candidates[answer.best];
    if (start.verdict.fit != Fit::fits) continue;
    for (const int direction : {1, -1}) {
      std::vector<LineSearch> earlier = start.searches;
      for (int step = 1; step <= kSteps; ++step) {
        Candidate at = start.candidate;
        at.height = at.height + Length::mm(direction * step);
        const Intake& intake = job.family.intakes[at.intake];
        if (at.height < intake.least_height || at.height > intake.most_height) break;
        const Bay bay = assemble(job, prepared.bodies(), at);
        same_at_rest.add([&] { return all_proved(prepared, bay, earlier); });
        std::optional<std::vector<LineSearch>> followed;
        led_at_rest.add([&] {
          followed = follow_routes(bay, prepared.fields(), job.gaps, job.stock, RouteOptions{}, earlier);
          return followed && all_proved(prepared, bay, *followed);
        });
        same.add([&] { return judge_routed(prepared, at, earlier).result.verdict.fit == Fit::fits; });
        led.add([&] {
          const auto judged = judge_followed(prepared, at, earlier, budget, {});
          return judged && judged->result.verdict.fit == Fit::fits;
        });
        if (step % kStepsASearch == 0)
          anew.add([&] { return judge(prepared, at, budget, {}).result.verdict.fit == Fit::fits; });
        if (followed) earlier = *followed;
      }
    }
  }
  fmt::print("  slider: up to {} steps of 1 mm up and down from where a pump fits\n", kSteps);
  same_at_rest.print("earlier routes proved again at rest");
  led_at_rest.print("led along and proved at rest");
  same.print("earlier routes judged with all there is: fits");
  led.print("led along and judged with all there is: fits");
  anew.print("searched for anew and judged: fits");
}
