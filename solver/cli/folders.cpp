// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/cli/folders.h"

#include "solver/input/job_places.h"

namespace hosefit {

std::variant<JobPaths, std::string> find_folders(const Arguments& arguments, const Surroundings& around) {
  auto found = find_job_places({arguments.vehicle_folder, arguments.pumps_folder, arguments.data_folder},
                               {around.program_folder, around.share_hint, around.source_folder});
  if (auto* paths = std::get_if<JobPaths>(&found)) {
    paths->family = arguments.family;
    paths->intake = arguments.intake;
    paths->height = arguments.height;
  }
  return found;
}

}  // namespace hosefit
