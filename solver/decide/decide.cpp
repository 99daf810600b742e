// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/decide/decide.h"

#include <algorithm>
#include <mutex>
#include <numeric>

#include "solver/decide/candidates.h"
#include "solver/decide/judge.h"
#include "solver/decide/ranking.h"

namespace hosefit {

Prepared::Prepared(Job job, Threads threads)
    : job_(std::make_unique<const Job>(std::move(job))),
      bodies_(*job_),
      fields_(std::make_unique<FieldStore>(threads)),
      proofs_(std::make_unique<ProofStore>()) {}

Query question_of(const Job& job) {
  const Question& question = job.vehicle.question;
  const auto& intakes = job.family.intakes;
  const auto asked = std::find_if(intakes.begin(), intakes.end(),
                                  [&](const Intake& i) { return i.name == question.intake; });
  Query query;
  // Names are resolved when the job is read; a vehicle without a question asks about the first intake as it
  // is drawn.
  if (asked != intakes.end()) {
    query.intake = static_cast<std::size_t>(asked - intakes.begin());
    query.height = question.height;
  } else if (!intakes.empty()) {
    query.height = intakes.front().drawn_height;
  }
  return query;
}

std::vector<Candidate> candidates_of(const Family& family, std::size_t pump, std::size_t intake,
                                     Length height) {
  std::vector<Candidate> candidates;
  for (std::size_t drive = 0; drive < family.drives.size(); ++drive)
    for (std::size_t housing = 0; housing < family.housings.size(); ++housing)
      for (std::size_t clock = 0; clock < family.housings[housing].clocks.size(); ++clock)
        candidates.push_back({pump, drive, housing, clock, intake, height});
  return candidates;
}

std::vector<std::optional<Judgement>> judge_all(const Prepared& prepared,
                                                const std::vector<Candidate>& candidates,
                                                const Budget& budget, const std::stop_token& stop,
                                                const Progress& progress) {
  std::vector<std::optional<Judgement>> judged(candidates.size());
  std::mutex telling;
  std::size_t done = 0;
  parallel_for(
      candidates.size(), budget.threads,
      [&](std::size_t i) {
        Judgement judgement = judge(prepared, candidates[i], budget, stop);
        if (stop.stop_requested()) return;  // it may have been cut short
        judged[i] = std::move(judgement);
        const std::lock_guard lock(telling);
        ++done;
        if (progress.tell)
          progress.tell(done, candidates.size(), prepared.job().family.pumps[candidates[i].pump].name);
      },
      stop);
  return judged;
}

Choice decide(const Prepared& prepared, const Query& query, const Budget& budget, const std::stop_token& stop,
              const Progress& progress) {
  const Family& family = prepared.job().family;
  std::vector<std::size_t> pumps = query.pumps;
  if (pumps.empty()) {
    pumps.resize(family.pumps.size());
    std::iota(pumps.begin(), pumps.end(), std::size_t{0});
  }
  std::vector<Candidate> candidates;
  for (const std::size_t pump : pumps) {
    const auto of_pump = candidates_of(family, pump, query.intake, query.height);
    candidates.insert(candidates.end(), of_pump.begin(), of_pump.end());
  }
  Choice choice;
  choice.query = query;
  for (std::optional<Judgement>& judgement : judge_all(prepared, candidates, budget, stop, progress))
    if (judgement) choice.candidates.push_back(std::move(judgement->result));
  choice.candidates_left = static_cast<std::int64_t>(candidates.size() - choice.candidates.size());
  choice.stopped = choice.candidates_left > 0;
  choice.ranking = ranking_of(choice.candidates);
  return choice;
}

}  // namespace hosefit
