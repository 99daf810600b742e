// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <functional>
#include <memory>
#include <string>
#include <vector>

#include "solver/recheck/bay.h"
#include "solver/recheck/job.h"
#include "solver/report/proof_record.h"
#include "tests/scenario/bundled.h"

namespace hosefit {

inline RecordFolders folders_of(const JobPaths& paths) {
  return {paths.vehicle_folder, paths.pumps_folder, paths.data_folder};
}

/// A bundled vehicle with candidates that fit, and the record that `pick --proof` makes of them.
struct Recorded {
  std::vector<FileRead> files;
  std::unique_ptr<Prepared> prepared;
  Choice choice;
  std::string text;

  /// `change` is made to the job after it was read; the input files stay as they are.
  Recorded(const std::string& vehicle, const std::vector<std::pair<std::string, double>>& pumps_at,
           const std::function<void(Job&)>& change = {}) {
    const JobPaths paths = bundled(vehicle);
    Result<JobAndFiles> loaded = load_job_and_files(paths);
    REQUIRE(loaded);
    files = loaded->files;
    Job job = loaded->job;
    if (change) change(job);
    prepared = std::make_unique<Prepared>(std::move(job));
    for (const auto& [pump, height_mm] : pumps_at) {
      choice.candidates.push_back(best_of(*prepared, pump, height_mm));
      INFO(vehicle << ", " << pump << " at " << height_mm);
      REQUIRE(choice.candidates.back().verdict.fit == Fit::fits);
    }
    text = proof_record(*prepared, choice, files, folders_of(paths), "test");
  }

  recheck::Record record() const {
    Result<recheck::Record> read = recheck::read_record("proof.json", text);
    REQUIRE(read);
    return *read;
  }
  recheck::Job job(const std::string& vehicle) const {
    const JobPaths paths = bundled(vehicle);
    recheck::JobRead read = recheck::read_job(
        {paths.vehicle_folder, paths.pumps_folder + "/" + prepared->job().family.name, paths.data_folder},
        record());
    for (const Problems* list : {&read.missing, &read.changed, &read.not_understood})
      for (const Problem& p : *list)
        FAIL(p.place.file << ":" << p.place.line << " " << p.path << ": " << p.text);
    REQUIRE(read.job);
    return *read.job;
  }
};

}  // namespace hosefit
