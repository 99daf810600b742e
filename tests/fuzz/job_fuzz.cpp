// SPDX-License-Identifier: GPL-3.0-or-later
#include <unistd.h>

#include <cstdint>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <string>
#include <string_view>

#include "solver/input/load_job.h"
#include "solver/model/bay.h"
#include "solver/model/bolts_together.h"

/// Bytes as one file of the good job of tests/input: whatever they are, the job loads and can be assembled,
/// or every problem is told in one line of text. Which file is decided by the kind that the bytes name.
namespace {

namespace fs = std::filesystem;

fs::path scratch() {
  static const fs::path folder = [] {
    const fs::path made = fs::temp_directory_path() / ("hosefit_fuzz_" + std::to_string(::getpid()));
    fs::copy(fs::path(HOSEFIT_TEST_DIR) / "input" / "good", made, fs::copy_options::recursive);
    return made;
  }();
  return folder;
}

std::string place_of(std::string_view bytes) {
  const std::string_view head = bytes.substr(0, 400);
  for (const char* kind : {"engine", "pumps", "drives", "housings", "intakes"})
    if (head.find(std::string("hosefit: ") + kind) != std::string_view::npos)
      return std::string("pumps/small/") + kind + ".yaml";
  if (head.find("hosefit: stock") != std::string_view::npos) return "data/stock.yaml";
  if (head.find("hosefit: clamps") != std::string_view::npos) return "data/clamps.yaml";
  if (head.find("hosefit: limits") != std::string_view::npos) return "data/limits.yaml";
  return "vehicles/tiny/vehicle.yaml";
}

void write(const fs::path& path, std::string_view bytes) {
  std::ofstream(path, std::ios::binary | std::ios::trunc)
      .write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace hosefit;
  const std::string_view bytes(reinterpret_cast<const char*>(data), size);
  const std::string place = place_of(bytes);
  write(scratch() / place, bytes);
  const Result<Job> job = load_job({(scratch() / "vehicles/tiny").string(), (scratch() / "pumps").string(),
                                    (scratch() / "data").string()});
  if (job) {
    const BodyStore store(*job);
    for (std::size_t pump = 0; pump < job->family.pumps.size(); ++pump) {
      Candidate candidate;
      candidate.pump = pump;
      candidate.height = job->family.intakes.front().drawn_height;
      if (!bolts_together(*job, candidate)) continue;
      if (assemble(*job, store, candidate).lines.size() != job->vehicle.lines.size()) std::abort();
    }
  } else {
    if (job.problems().empty()) std::abort();
    const std::string text = format_problems(job.problems());
    if (text.empty() || text.find('\0') != std::string::npos) std::abort();
  }
  fs::copy_file(fs::path(HOSEFIT_TEST_DIR) / "input" / "good" / place, scratch() / place,
                fs::copy_options::overwrite_existing);
  return 0;
}
