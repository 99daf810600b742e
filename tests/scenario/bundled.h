// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <catch2/catch.hpp>
#include <string>

#include "solver/decide/decide.h"
#include "solver/input/load_job.h"

/// The bundled vehicles as the program reads them.
namespace hosefit {

inline JobPaths bundled(const std::string& vehicle) {
  const std::string root = HOSEFIT_ROOT_DIR;
  JobPaths paths;
  paths.vehicle_folder = root + "/vehicles/" + vehicle;
  paths.pumps_folder = root + "/pumps";
  paths.data_folder = root + "/solver/data";
  return paths;
}

inline Job bundled_job(const std::string& vehicle) {
  Result<Job> job = load_job(bundled(vehicle));
  INFO((job ? std::string() : format_problems(job.problems())));
  REQUIRE(job);
  return *job;
}

inline std::size_t pump_named(const Job& job, const std::string& name) {
  for (std::size_t i = 0; i < job.family.pumps.size(); ++i)
    if (job.family.pumps[i].name == name) return i;
  FAIL("no pump is named " << name);
  return 0;
}

/// The best candidate of one pump at a height, asked alone; all threads.
inline CandidateResult best_of(const Prepared& prepared, const std::string& pump, double height_mm) {
  Query query = question_of(prepared.job());
  query.height = Length::mm(height_mm);
  query.pumps = {pump_named(prepared.job(), pump)};
  Budget budget;
  budget.threads = Threads{2};
  const Choice choice = decide(prepared, query, budget, {}, {});
  REQUIRE(choice.ranking.size() == 1);
  return choice.candidates[choice.ranking[0].best];
}

inline Choice choice_at(const Prepared& prepared, double height_mm, unsigned threads = 2) {
  Query query = question_of(prepared.job());
  query.height = Length::mm(height_mm);
  Budget budget;
  budget.threads = Threads{threads};
  return decide(prepared, query, budget, {}, {});
}

inline std::string first_pump(const Prepared& prepared, const Choice& choice) {
  return prepared.job().family.pumps[choice.ranking.at(0).pump].name;
}

}  // namespace hosefit
