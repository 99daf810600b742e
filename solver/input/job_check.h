// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "solver/input/family_yaml.h"
#include "solver/input/load_job.h"
#include "solver/model/vehicle.h"

namespace hosefit {

/// A job's files after check_tree and what was read from them.
struct JobFiles {
  InputFile vehicle;
  FamilyFiles family;
  std::optional<InputFile> shelf, clamp_shelf;  ///< the shop's own, beside vehicle.yaml
  InputFile stock, clamps, limits;
};

/// Refuses what only shows when all files are seen together: names that resolve to nothing, necks used twice,
/// necks inside the block, a height outside its intake's range. Names of entries that were refused still
/// count as known, so that one mistake is told once; a file that could not be read at all lets everything
/// pass that would need it.
void check_job(const JobFiles& files, const JobPaths& paths, const Vehicle& vehicle, const Family& family,
               ProblemLog& log);

}  // namespace hosefit
