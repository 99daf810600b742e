// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "solver/base/result.h"
#include "solver/model/vehicle.h"

namespace hosefit {

/// Where a job's files are. Folders are shown in problems as they are given here.
struct JobPaths {
  std::string vehicle_folder;  ///< holds vehicle.yaml, perhaps stock.yaml and clamps.yaml (the shop's shelf),
                               ///< and meshes
  std::string pumps_folder;    ///< holds one folder for each engine family
  std::string data_folder;     ///< holds stock.yaml, clamps.yaml and limits.yaml
  std::optional<std::string> family =
      std::nullopt;  ///< from the command line, in place of the vehicle file's
  std::optional<std::string> intake = std::nullopt;
  std::optional<Length> height = std::nullopt;
};

/// Reads all files of a job once. Either everything is in order and all names are resolved, or every problem
/// of every file is told, sorted by file, line and column. A problem with a value of the command line has the
/// file "command line".
///   Job::input_fingerprint is the SHA-256 of all bytes read, each file with its name and length before it,
///   in the order vehicle, engine, pumps, drives, housings, intakes, shelf, stock, limits, shelf of clamps,
///   clamps, meshes by name. Of the shop's gaps `gaps` holds the applied ones; what is on the shelf comes
///   before what the data folder holds.
Result<Job> load_job(const JobPaths& paths);

/// One file that a job was made from.
struct FileRead {
  std::string name;  ///< "vehicle/...", "family/..." or "data/...": which folder it lies in, and where there
  std::string sha256;  ///< of its bytes, a byte order mark left out
  std::size_t bytes = 0;
};
struct JobAndFiles {
  Job job;
  std::vector<FileRead> files;  ///< by name
};
/// The same, with what another program needs to find out whether the files are still those.
Result<JobAndFiles> load_job_and_files(const JobPaths& paths);

/// Problems as text for a terminal: file:line:column: path: sentence, then the line and a caret.
std::string format_problems(const Problems& problems);

}  // namespace hosefit
