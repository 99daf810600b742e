// SPDX-License-Identifier: GPL-3.0-or-later
#include <cstdint>
#include <cstdlib>
#include <fstream>
#include <iterator>
#include <string>

#include "solver/recheck/fingerprint.h"
#include "solver/recheck/job.h"
#include "solver/recheck/recheck.h"

/// Bytes as a proof record of the good job of tests/input: whatever they are, they are refused in words or
/// rechecked in bounded work, and the answer is text without control bytes. The job itself is read through
/// the recheck's own readers.
namespace {

using namespace hosefit;

std::string bytes_of(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

// The record's fingerprints of the files are made to match, so that only its candidates are judged.
const recheck::Job& job() {
  static const recheck::Job read = [] {
    const std::string root = HOSEFIT_TEST_DIR "/input/good";
    recheck::JobFolders folders{root + "/vehicles/tiny", root + "/pumps/small", root + "/data"};
    recheck::Record record;
    while (true) {
      const recheck::JobRead tried = recheck::read_job(folders, record);
      if (tried.job) return *tried.job;
      if (tried.changed.empty()) std::abort();
      // Each round tells one more file by its path and its reason; take its true fingerprint.
      const std::string path = tried.changed.front().place.file;
      const std::string name = path.find("/vehicles/tiny/") != std::string::npos
                                   ? "vehicle/" + path.substr(folders.vehicle.size() + 1)
                               : path.find("/pumps/small/") != std::string::npos
                                   ? "family/" + path.substr(folders.family.size() + 1)
                                   : "data/" + path.substr(folders.data.size() + 1);
      record.files.push_back({name, recheck::sha256(bytes_of(path))});
    }
  }();
  return read;
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string bytes(reinterpret_cast<const char*>(data), size);
  const Result<recheck::Record> record = recheck::read_record("proof.json", bytes);
  if (!record) {
    if (record.problems().empty() || record.problems().front().text.empty()) std::abort();
    return 0;
  }
  const recheck::Report report = recheck::recheck_record(job(), *record);
  const std::string told = recheck::tell(report);
  for (const char c : told)
    if (static_cast<unsigned char>(c) < 0x20 && c != '\n') std::abort();
  if (report.candidates.empty() && report.answer == recheck::Answer::confirmed) std::abort();
  return 0;
}
