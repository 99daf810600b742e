// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
#include <string>
#include <thread>

#include "viewer/session.h"

/// A copy of a bundled vehicle in a folder of its own, and waiting for a session that reads it.
namespace hosefit {

class VehicleOnDisk {
 public:
  explicit VehicleOnDisk(const std::string& name)
      : root_(std::filesystem::temp_directory_path() /
              ("hosefit_viewer_" + name + "_" + std::to_string(::getpid()))) {
    std::filesystem::remove_all(root_);
    std::filesystem::create_directories(root_ / "vehicles");
    const std::filesystem::path from(HOSEFIT_ROOT_DIR);
    std::filesystem::copy(from / "vehicles" / "linnet_coupe", root_ / "vehicles" / "linnet_coupe");
    std::filesystem::copy(from / "pumps", root_ / "pumps", std::filesystem::copy_options::recursive);
  }
  ~VehicleOnDisk() {
    std::error_code ignored;
    std::filesystem::remove_all(root_, ignored);
  }
  VehicleOnDisk(const VehicleOnDisk&) = delete;
  VehicleOnDisk& operator=(const VehicleOnDisk&) = delete;

  std::string folder() const { return (root_ / "vehicles" / "linnet_coupe").string(); }
  std::string text() const {
    std::ifstream in(folder() + "/vehicle.yaml");
    return {std::istreambuf_iterator<char>(in), {}};
  }
  void write(const std::string& text) const { std::ofstream(folder() + "/vehicle.yaml") << text; }

 private:
  std::filesystem::path root_;
};

inline InstallPlaces source_places() {
  return {"", "", HOSEFIT_ROOT_DIR};
}

/// Ticks until `done`; the clock runs fast so that files are looked at often.
template <class Done>
bool tick_until(Session& session, const Done& done) {
  static double seconds = 0;
  for (int i = 0; i < 4000; ++i) {
    seconds += 2;
    session.tick(seconds);
    if (done()) return true;
    std::this_thread::sleep_for(std::chrono::milliseconds(5));
  }
  return false;
}

}  // namespace hosefit
