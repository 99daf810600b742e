// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/cli/candidate_choice.h"

#include <fmt/format.h>

#include <vector>

#include "solver/decide/candidates.h"
#include "solver/decide/ranking.h"
#include "solver/input/source_text.h"

namespace hosefit {
namespace {

template <class Part>
std::optional<std::string> find_part(const std::vector<Part>& parts, std::string_view what,
                                     const std::optional<std::string>& name,
                                     std::optional<std::size_t>& found) {
  if (!name) return std::nullopt;
  std::vector<std::string> known;
  known.reserve(parts.size());
  for (const Part& part : parts) known.push_back(part.name);
  for (std::size_t i = 0; i < known.size(); ++i)
    if (known[i] == *name) found = i;
  if (found) return std::nullopt;
  return fmt::format("--{0}: no {0} of this family has the name \"{1}\"{2}", what, *name,
                     did_you_mean(*name, known));
}

}  // namespace

std::variant<PartChoice, std::string> named_parts(const Family& family, const Arguments& arguments) {
  PartChoice parts;
  if (auto problem = find_part(family.pumps, "pump", arguments.pump, parts.pump)) return *problem;
  if (auto problem = find_part(family.drives, "drive", arguments.drive, parts.drive)) return *problem;
  if (auto problem = find_part(family.housings, "housing", arguments.housing, parts.housing)) return *problem;
  return parts;
}

Choice judge_chosen(const Prepared& prepared, const PartChoice& parts, const Budget& budget,
                    const std::stop_token& stop, const Progress& progress) {
  const Family& family = prepared.job().family;
  Choice choice;
  choice.query = question_of(prepared.job());
  std::vector<Candidate> wanted;
  for (std::size_t pump = 0; pump < family.pumps.size(); ++pump) {
    if (parts.pump && *parts.pump != pump) continue;
    for (const Candidate& c : candidates_of(family, pump, choice.query.intake, choice.query.height))
      if ((!parts.drive || *parts.drive == c.drive) && (!parts.housing || *parts.housing == c.housing))
        wanted.push_back(c);
  }
  if (parts.pump) choice.query.pumps = {*parts.pump};
  for (std::optional<Judgement>& judgement : judge_all(prepared, wanted, budget, stop, progress))
    if (judgement) choice.candidates.push_back(std::move(judgement->result));
  choice.candidates_left = static_cast<std::int64_t>(wanted.size() - choice.candidates.size());
  choice.stopped = choice.candidates_left > 0;
  choice.ranking = ranking_of(choice.candidates);
  return choice;
}

const CandidateResult* best_of(const Choice& choice) {
  return choice.ranking.empty() ? nullptr : &choice.candidates[choice.ranking.front().best];
}

ExitCode code_of(Fit fit) {
  switch (fit) {
    case Fit::fits:
      return ExitCode::fits;
    case Fit::passage_no_stock:
    case Fit::does_not_fit:
      return ExitCode::nothing_fits;
    case Fit::undecided:
      return ExitCode::undecided;
  }
  return ExitCode::failure;
}

}  // namespace hosefit
