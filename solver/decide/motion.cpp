// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/decide/motion.h"

#include <algorithm>
#include <mutex>
#include <optional>

#include "solver/decide/part_gaps.h"

namespace hosefit {

bool MotionAnswer::proved() const {
  return parts.proved &&
         std::all_of(lines.begin(), lines.end(), [](const MotionLine& line) { return line.proved; });
}

std::vector<MotionAnswer> motion_of_fits(const Prepared& prepared, const Choice& choice, const Budget& budget,
                                         const std::stop_token& stop, const Progress& progress) {
  const Job& job = prepared.job();
  const EnginePlaces places = engine_places(job.motion, engine_pose(job.vehicle));
  std::vector<std::size_t> fitting;
  for (const PumpAnswer& answer : choice.ranking)
    if (choice.candidates[answer.best].verdict.fit == Fit::fits) fitting.push_back(answer.best);
  std::vector<std::optional<MotionAnswer>> answers(fitting.size());
  std::mutex telling;
  std::size_t done = 0;
  parallel_for(
      fitting.size(), budget.threads,
      [&](std::size_t i) {
        const CandidateResult& result = choice.candidates[fitting[i]];
        const Bay bay = assemble(job, prepared.bodies(), result.candidate);
        const ProofBodies bodies(bay, prepared.proofs());
        MotionAnswer answer;
        answer.candidate = fitting[i];
        answer.lines = prove_in_motion(bay, bodies, result.routes, result.proof, result.clips, job.gaps,
                                       job.stock, places, {});
        answer.parts = prove_parts_in_motion(
            bay, prepared.proofs(), job.gaps, part_pairs(bay),
            [&](ObstacleRef a, ObstacleRef b) { return matter_to_each_other(bay, a, b); }, places, {});
        answers[i] = std::move(answer);
        const std::lock_guard lock(telling);
        if (progress.tell) progress.tell(++done, fitting.size(), "in motion");
      },
      stop);
  std::vector<MotionAnswer> out;
  for (auto& answer : answers)
    if (answer) out.push_back(*std::move(answer));
  return out;
}

}  // namespace hosefit
