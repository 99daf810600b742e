// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "solver/input/load_job.h"

namespace hosefit {

/// Where a program and what comes with it may lie; empty = unknown.
struct InstallPlaces {
  std::string program_folder;  ///< that holds the running program
  std::string share_hint;      ///< from the install prefix, as "share/hosefit"
  std::string source_folder;   ///< of the source tree that it was built from; may be gone
};

/// What a user named.
struct NamedPlaces {
  std::string vehicle;  ///< a folder, or the name of one of the installed vehicles
  std::optional<std::string> pumps = std::nullopt, data = std::nullopt;
};

/// Where the files of a job are.
///   vehicle: as given, else of that name among the installed vehicles
///   pumps:   as given, else pumps beside the folder of vehicles, else installed, else in the source tree
///   data:    as given, else installed beside the program, else in the source tree of the vehicle, else that
///   of the build
/// Or one sentence that names every place looked at.
std::variant<JobPaths, std::string> find_job_places(const NamedPlaces& named, const InstallPlaces& around);

/// Folders that may hold the vehicles that come with the program, installed ones first.
std::vector<std::string> demo_folders(const InstallPlaces& around);

}  // namespace hosefit
