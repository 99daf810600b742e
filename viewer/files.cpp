// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/files.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>

namespace hosefit {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t kMostListed = 2000;  // a folder with more is no place to look for a vehicle by eye

bool holds_vehicle(const fs::path& folder) {
  std::error_code ignored;
  return fs::is_regular_file(folder / "vehicle.yaml", ignored);
}

std::vector<fs::path> sorted_entries(const fs::path& folder, std::error_code& error) {
  std::vector<fs::path> out;
  for (fs::directory_iterator it(folder, error), end; !error && it != end && out.size() < kMostListed;
       it.increment(error))
    out.push_back(it->path());
  std::sort(out.begin(), out.end());
  return out;
}

void stamp_files(const fs::path& folder, FileStamps& out) {
  std::error_code error;
  for (const fs::path& path : sorted_entries(folder, error)) {
    std::error_code ignored;
    if (!fs::is_regular_file(path, ignored)) continue;
    const auto size = fs::file_size(path, ignored);
    const auto time = fs::last_write_time(path, ignored).time_since_epoch().count();
    out.push_back(fmt::format("{} {} {}", path.string(), size, time));
  }
  if (error) out.push_back(fmt::format("{} {}", folder.string(), error.value()));
}

}  // namespace

FolderListing list_folder(const std::string& folder) {
  FolderListing out;
  std::error_code error;
  const fs::path here = fs::weakly_canonical(folder.empty() ? fs::path(".") : fs::path(folder), error);
  out.folder = here.string();
  if (here.has_parent_path() && here.parent_path() != here) out.parent = here.parent_path().string();
  error.clear();
  for (const fs::path& path : sorted_entries(here, error)) {
    std::error_code ignored;
    const std::string name = path.filename().string();
    if (!fs::is_directory(path, ignored) || name.starts_with('.')) continue;
    (holds_vehicle(path) ? out.vehicles : out.others).push_back({path.string(), name});
  }
  if (error) out.problem = error.message();
  return out;
}

std::vector<VehicleFolder> demo_vehicles(const InstallPlaces& places) {
  for (const std::string& folder : demo_folders(places)) {
    const FolderListing listing = list_folder(folder);
    if (!listing.vehicles.empty()) return listing.vehicles;
  }
  return {};
}

std::string vehicle_folder_of(const std::string& path) {
  std::error_code ignored;
  fs::path p(path);
  if (!p.has_filename()) p = p.parent_path();  // a slash at the end
  if (fs::is_regular_file(p, ignored)) return p.has_parent_path() ? p.parent_path().string() : ".";
  return p.string();
}

FileStamps file_stamps(const JobPaths& paths) {
  FileStamps out;
  stamp_files(paths.vehicle_folder, out);
  stamp_files(paths.data_folder, out);
  std::error_code ignored;
  for (const fs::path& family : sorted_entries(paths.pumps_folder, ignored)) {
    std::error_code no_folder;
    if (fs::is_directory(family, no_folder)) stamp_files(family, out);
  }
  return out;
}

}  // namespace hosefit
