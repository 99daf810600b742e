// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>

#include "solver/input/load_job.h"
#include "solver/recheck/fingerprint.h"
#include "solver/recheck/job.h"

namespace hosefit::test {

inline std::string bytes_of(const std::filesystem::path& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

/// What the recheck makes of folders that hold the files of a job that was loaded, whatever is in them now.
inline recheck::JobRead read_again(const JobAndFiles& loaded, const recheck::JobFolders& folders) {
  recheck::Record record;
  record.family = loaded.job.family.name;
  for (const FileRead& read : loaded.files) {
    const auto slash = read.name.find('/');
    const std::string base = read.name.substr(0, slash);
    const std::filesystem::path in = base == "vehicle"  ? folders.vehicle
                                     : base == "family" ? folders.family
                                                        : folders.data;
    record.files.push_back({read.name, recheck::sha256(bytes_of(in / read.name.substr(slash + 1)))});
  }
  return recheck::read_job(folders, record);
}

}  // namespace hosefit::test
