// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/input/job_places.h"

#include <fmt/format.h>

#include <filesystem>
#include <optional>
#include <vector>

namespace hosefit {
namespace {

namespace fs = std::filesystem;

bool is_folder(const fs::path& path) {
  std::error_code ignored;
  return fs::is_directory(path, ignored);
}

bool holds(const fs::path& folder, const char* file) {
  std::error_code ignored;
  return fs::is_regular_file(folder / file, ignored);
}

// <prefix>/bin/hosefit has its share beside bin.
std::optional<fs::path> shared_folder(const InstallPlaces& around) {
  if (around.program_folder.empty() || around.share_hint.empty()) return std::nullopt;
  return (fs::path(around.program_folder) / ".." / around.share_hint).lexically_normal();
}

std::string listed(const std::vector<fs::path>& places) {
  std::string out;
  for (const fs::path& place : places) out += (out.empty() ? "" : ", ") + place.generic_string();
  return out;
}

fs::path two_up(const fs::path& folder) {
  const fs::path plain = folder.has_filename() ? folder : folder.parent_path();
  return plain / ".." / "..";
}

std::optional<std::string> find_pumps(const fs::path& vehicle, const InstallPlaces& around,
                                      std::vector<fs::path>& looked) {
  looked.push_back((two_up(vehicle) / "pumps").lexically_normal());
  if (const auto shared = shared_folder(around)) looked.push_back(*shared / "pumps");
  if (!around.source_folder.empty()) looked.push_back(fs::path(around.source_folder) / "pumps");
  for (const fs::path& place : looked)
    if (is_folder(place)) return place.generic_string();
  return std::nullopt;
}

std::optional<std::string> find_data(const fs::path& vehicle, const InstallPlaces& around,
                                     std::vector<fs::path>& looked) {
  if (const auto shared = shared_folder(around)) looked.push_back(*shared / "data");
  looked.push_back((two_up(vehicle) / "solver" / "data").lexically_normal());
  if (!around.source_folder.empty()) looked.push_back(fs::path(around.source_folder) / "solver" / "data");
  for (const fs::path& place : looked)
    if (holds(place, "limits.yaml")) return place.generic_string();
  return std::nullopt;
}

std::optional<std::string> find_vehicle(const std::string& given, const InstallPlaces& around) {
  if (is_folder(given)) return given;
  const auto shared = shared_folder(around);
  if (shared && fs::path(given).is_relative() && is_folder(*shared / "vehicles" / given))
    return (*shared / "vehicles" / given).generic_string();
  return std::nullopt;
}

}  // namespace

std::variant<JobPaths, std::string> find_job_places(const NamedPlaces& named, const InstallPlaces& around) {
  const auto vehicle = find_vehicle(named.vehicle, around);
  if (!vehicle)
    return fmt::format(
        "{}: no such folder; it is to hold vehicle.yaml. Copy one of the demo vehicles to begin.",
        named.vehicle);
  JobPaths paths;
  paths.vehicle_folder = *vehicle;
  std::vector<fs::path> looked;
  const auto pumps = named.pumps ? named.pumps : find_pumps(*vehicle, around, looked);
  if (!pumps)
    return fmt::format("no folder of pumps found; looked at {}. Name one with --pumps.", listed(looked));
  looked.clear();
  const auto data = named.data ? named.data : find_data(*vehicle, around, looked);
  if (!data)
    return fmt::format(
        "stock.yaml, clamps.yaml and limits.yaml not found; looked in {}. Name their folder with --data.",
        listed(looked));
  paths.pumps_folder = *pumps;
  paths.data_folder = *data;
  return paths;
}

std::vector<std::string> demo_folders(const InstallPlaces& around) {
  std::vector<std::string> out;
  if (const auto shared = shared_folder(around)) out.push_back((*shared / "vehicles").generic_string());
  if (!around.source_folder.empty())
    out.push_back((fs::path(around.source_folder) / "vehicles").generic_string());
  return out;
}

}  // namespace hosefit
