// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <unistd.h>

#include <atomic>
#include <filesystem>
#include <fstream>
#include <map>
#include <sstream>
#include <stdexcept>
#include <string>

#include "solver/input/load_job.h"

/// The good job of tests/input/good, as files in memory that a test may change, and as a folder to load it
/// from.
namespace hosefit::test {

namespace fs = std::filesystem;

inline std::string file_bytes(const fs::path& path) {
  std::ifstream in(path, std::ios::binary);
  std::stringstream all;
  all << in.rdbuf();
  return all.str();
}
inline void write_file(const fs::path& path, const std::string& bytes) {
  fs::create_directories(path.parent_path());
  std::ofstream(path, std::ios::binary) << bytes;
}

/// A folder of its own that is gone afterwards.
class ScratchFolder {
 public:
  ScratchFolder()
      : path_(fs::temp_directory_path() /
              ("hosefit_input_test_" + std::to_string(::getpid()) + "_" + std::to_string(next_++))) {
    fs::create_directories(path_);
  }
  ~ScratchFolder() {
    std::error_code error;
    fs::remove_all(path_, error);
  }
  ScratchFolder(const ScratchFolder&) = delete;
  ScratchFolder& operator=(const ScratchFolder&) = delete;
  const fs::path& path() const { return path_; }

 private:
  static inline std::atomic<int> next_ = 0;
  fs::path path_;
};

using Files = std::map<std::string, std::string>;  // path below tests/input/good -> bytes

inline fs::path good_folder() {
  return fs::path(HOSEFIT_TEST_DIR) / "input" / "good";
}
inline Files good_files() {
  Files files;
  for (const auto& entry : fs::recursive_directory_iterator(good_folder()))
    if (entry.is_regular_file())
      files[fs::relative(entry.path(), good_folder()).string()] = file_bytes(entry.path());
  return files;
}

/// The one place where `old` stands becomes `fresh`; "*" stands for the whole file.
inline void replace_once(std::string& bytes, const std::string& old, const std::string& fresh) {
  if (old == "*") {
    bytes = fresh;
    return;
  }
  const auto at = bytes.find(old);
  if (at == std::string::npos || bytes.find(old, at + 1) != std::string::npos)
    throw std::runtime_error("want exactly one place with: " + old);
  bytes.replace(at, old.size(), fresh);
}

inline JobPaths paths_in(const fs::path& folder) {
  return {(folder / "vehicles/tiny").string(), (folder / "pumps").string(), (folder / "data").string()};
}

inline Result<Job> load_from(const ScratchFolder& scratch, const Files& files) {
  for (const auto& [name, bytes] : files) write_file(scratch.path() / name, bytes);
  return load_job(paths_in(scratch.path()));
}

}  // namespace hosefit::test
