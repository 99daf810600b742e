// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/solving.h"

#include <fmt/format.h>

#include <algorithm>

#include "solver/decide/candidates.h"
#include "solver/decide/judge.h"
#include "solver/decide/ranking.h"
#include "solver/model/bolts_together.h"
#include "solver/report/words.h"
#include "solver/verify/spare_along.h"
#include "solver/view/line_bands.h"

namespace hosefit {
namespace {

constexpr Length kWindowStep = Length::mm(1.0);  // as the command line: a tape cannot set an intake finer

Budget budget() {
  Budget out;
  out.threads = solver_threads();
  return out;
}

void add_tubes(const Prepared& prepared, const CandidateResult& result, Answer& answer) {
  if (result.routes.empty()) return;
  const Bay& bay = *answer.bay;
  const Job& job = prepared.job();
  const ProofBodies bodies(bay, prepared.proofs());
  for (std::size_t i = 0; i < result.routes.size(); ++i) {
    const Route& route = result.routes[i];
    const auto painted = [&](const std::vector<ClassStretch>& classes) {
      return std::make_shared<const HoseMesh>(hose_mesh(route, bay.lines[route.line], bay, classes));
    };
    const bool proved = i < result.proof.lines.size() && result.proof.lines[i].proved;
    const LineProof* proof = proved ? &result.proof.lines[i] : nullptr;
    answer.ghosts.push_back(painted(not_proved_along(route)));
    answer.tubes.push_back(painted(
        classes_along(spare_along(bay, bodies, result.routes, i, job.gaps, job.stock, proof), proved)));
  }
}

std::shared_ptr<const Answer> answer_of(const SettleRequest& request, CandidateResult result, bool best) {
  auto answer = std::make_shared<Answer>();
  answer->question = {request.job, result.candidate};
  answer->best_of_pump = best;
  if (bolts_together(request.prepared->job(), result.candidate)) {
    answer->bay = std::make_shared<const Bay>(
        assemble(request.prepared->job(), request.prepared->bodies(), result.candidate));
    add_tubes(*request.prepared, result, *answer);
  }
  answer->result = std::make_shared<const CandidateResult>(std::move(result));
  return answer;
}

// Earlier searches that ended without a route say nothing at another height, so only a full fit counts; that
// parts are in each other's way is found without any of them.
bool stands_alone(const CandidateResult& result) {
  return result.verdict.fit == Fit::fits || (result.verdict.fit == Fit::does_not_fit && !result.lines_tried);
}

bool proved_at_rest(const CandidateResult& result) {
  const auto& lines = result.proof.lines;
  return lines.size() == result.searches.size() &&
         std::all_of(lines.begin(), lines.end(), [](const LineProof& line) { return line.proved; });
}

class Settling {
 public:
  Settling(const SettleRequest& request, const SolverCalls& calls, const std::stop_token& stop,
           const PostSolver& post)
      : request_(request), calls_(calls), stop_(stop), post_(post), stood_(request.pumps.size()) {}

  void run() {
    if (request_.pumps.empty()) return post_(Ranked{request_.number, {}});
    again(0);
    if (!stood_[0] && !request_.pumps[0].earlier.empty()) fresh(0);
    for (std::size_t i = 1; i < request_.pumps.size(); ++i) again(i);
    for (std::size_t i = 0; i < request_.pumps.size() && !stop_.stop_requested(); ++i) all_parts(i);
    if (!stop_.stop_requested()) rank();
  }

 private:
  const Job& job() const { return request_.prepared->job(); }
  std::string pump_name(std::size_t i) const {
    return safe_text(job().family.pumps[request_.pumps[i].candidate.pump].name);
  }
  void tell(std::string what, std::size_t done = 0, std::size_t of = 0) const {
    post_(Working{request_.number, std::move(what), done, of});
  }

  void again(std::size_t i) {
    const PumpWanted& wanted = request_.pumps[i];
    if (stop_.stop_requested() || !routes_may_serve(job(), wanted.earlier)) return;
    tell(fmt::format("{}: proving its hoses again at this height", pump_name(i)));
    CandidateResult result = calls_.judge_again(*request_.prepared, wanted.candidate, wanted.earlier, stop_);
    if (stop_.stop_requested() || !stands_alone(result)) return;
    stood_[i] = result;
    post_(Judged{answer_of(request_, std::move(result), false)});
  }

  void fresh(std::size_t i) {
    if (stop_.stop_requested()) return;
    tell(fmt::format("{}: looking for hoses", pump_name(i)));
    CandidateResult result = calls_.judge_fresh(*request_.prepared, request_.pumps[i].candidate, stop_);
    if (stop_.stop_requested()) return;
    stood_[i] = result;
    post_(Judged{answer_of(request_, std::move(result), false)});
  }

  void all_parts(std::size_t i) {
    const std::size_t pump = request_.pumps[i].candidate.pump;
    const std::string name = pump_name(i);
    const auto told = [&](std::size_t done, std::size_t of, std::string_view) {
      tell(fmt::format("{}: all drives and housings ({} of {} pumps done)", name, i, request_.pumps.size()),
           done, of);
    };
    tell(fmt::format("{}: all drives and housings ({} of {} pumps done)", name, i, request_.pumps.size()));
    Choice choice =
        calls_.choose(*request_.prepared, Query{request_.intake, request_.height, {pump}}, stop_, {told});
    if (stop_.stop_requested() || choice.stopped) return;
    keep_held(pump, choice.candidates);
    keep_proved(i, choice.candidates);
    const auto ranking = ranking_of(choice.candidates);
    if (ranking.empty()) return;
    CandidateResult& best = choice.candidates[ranking.front().best];
    best_.push_back(best);
    post_(Judged{answer_of(request_, std::move(best), true)});
  }

  void keep_held(std::size_t pump, std::vector<CandidateResult>& candidates) const {
    const auto held = request_.held.find(pump);
    if (held == request_.held.end()) return;
    std::erase_if(candidates, [&](const CandidateResult& r) {
      return r.candidate.housing != held->second.housing || r.candidate.clock != held->second.clock;
    });
  }

  void keep_proved(std::size_t i, std::vector<CandidateResult>& candidates) const {
    if (!stood_[i] || stood_[i]->verdict.fit != Fit::fits) return;
    for (CandidateResult& result : candidates)
      if (same_parts(result.candidate, stood_[i]->candidate) && result.verdict.fit != Fit::fits)
        result = *stood_[i];
  }

  void rank() const {
    Ranked out{request_.number, {}};
    for (const PumpAnswer& answer : ranking_of(best_)) out.pumps.push_back(answer.pump);
    post_(out);
  }

  const SettleRequest& request_;
  const SolverCalls& calls_;
  const std::stop_token& stop_;
  const PostSolver& post_;
  std::vector<std::optional<CandidateResult>> stood_;  // what holds for the candidate on screen
  std::vector<CandidateResult> best_;
};

}  // namespace

Threads solver_threads() {
  const unsigned all = Threads::of_machine().count;
  return {all > 1 ? all - 1 : 1};
}

SolverCalls real_solver() {
  SolverCalls calls;
  calls.judge_again = [](const Prepared& prepared, const Candidate& candidate,
                         const std::vector<LineSearch>& earlier, const std::stop_token& stop) {
    CandidateResult as_they_are = judge_routed(prepared, candidate, earlier).result;
    // Led along, what is proved at rest stays where it is, and parts in each other's way are so all the same.
    if (proved_at_rest(as_they_are) || !as_they_are.lines_tried || stop.stop_requested()) return as_they_are;
    auto followed = judge_followed(prepared, candidate, earlier, budget(), stop);
    return followed && followed->result.verdict.fit == Fit::fits ? std::move(followed->result) : as_they_are;
  };
  calls.judge_fresh = [](const Prepared& prepared, const Candidate& candidate, const std::stop_token& stop) {
    return judge(prepared, candidate, budget(), stop).result;
  };
  calls.choose = [](const Prepared& prepared, const Query& query, const std::stop_token& stop,
                    const Progress& progress) { return decide(prepared, query, budget(), stop, progress); };
  calls.windows = [](const Prepared& prepared, std::size_t pump, std::size_t intake,
                     const std::stop_token& stop, const SolverCalls::KnownWindow& known) {
    Budget slow;  // one thread: it runs behind while others answer
    height_windows(prepared, pump, intake, kWindowStep, slow, stop, {}, known);
  };
  return calls;
}

void settle(const SettleRequest& request, const SolverCalls& calls, const std::stop_token& stop,
            const PostSolver& post) {
  Settling(request, calls, stop, post).run();
}

void find_windows(const SettleRequest& request, const SolverCalls& calls, const std::stop_token& stop,
                  const PostSolver& post) {
  for (const PumpWanted& wanted : request.pumps) {
    if (stop.stop_requested()) return;
    const std::size_t pump = wanted.candidate.pump;
    calls.windows(*request.prepared, pump, request.intake, stop, [&](const HeightWindow& window) {
      if (!stop.stop_requested()) post(WindowKnown{request.job, request.intake, pump, window});
    });
    if (!stop.stop_requested()) post(WindowsDone{request.job, request.intake, pump});
  }
}

bool routes_may_serve(const Job& job, const std::vector<LineSearch>& earlier) {
  const auto& lines = job.vehicle.lines;
  if (earlier.size() != lines.size() || earlier.empty()) return false;
  return std::all_of(earlier.begin(), earlier.end(), [&](const LineSearch& search) {
    if (search.outcome != SearchOutcome::found || !search.route || search.line >= lines.size()) return false;
    const auto& makes = lines[search.line].makes;
    const Route& route = *search.route;
    return std::find(makes.begin(), makes.end(), route.make) != makes.end() &&
           std::any_of(job.stock.begin(), job.stock.end(),
                       [&](const Stock& s) { return s.id == route.stock; });
  });
}

}  // namespace hosefit
