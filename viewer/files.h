// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cstdint>
#include <string>
#include <variant>
#include <vector>

#include "solver/input/job_places.h"

/// Folders and files as the window needs them.
namespace hosefit {

struct VehicleFolder {
  std::string path;
  std::string name;  ///< last part of the path, as it is on disk
};

/// One folder to choose from: those within it that hold a vehicle.yaml, and the others.
struct FolderListing {
  std::string folder, parent;  ///< parent is empty at the top
  std::vector<VehicleFolder> vehicles, others;
  std::string problem;  ///< why it could not be read; empty otherwise
};
FolderListing list_folder(const std::string& folder);

/// The vehicles that come with the program, by name.
std::vector<VehicleFolder> demo_vehicles(const InstallPlaces& places);

/// The vehicle folder that a path means: itself, or the folder of a file in it. As given when it is neither.
std::string vehicle_folder_of(const std::string& path);

/// Names, sizes and times of every file that a job is read from; equal as long as none of them changed. An
/// absent file is part of it.
using FileStamps = std::vector<std::string>;
FileStamps file_stamps(const JobPaths& paths);

}  // namespace hosefit
