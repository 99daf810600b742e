// SPDX-License-Identifier: GPL-3.0-or-later
#include <unistd.h>

#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
#include <string>

#include "tests/cli/built_program.h"

using namespace hosefit;

namespace {

Ended size(const std::string& tail, const std::string& first = "") {
  return program(
      "size '" HOSEFIT_ROOT_DIR "/vehicles/linnet_coupe' --data '" HOSEFIT_ROOT_DIR "/solver/data' " + tail,
      first);
}

// Named whole, so that only this one is judged.
const std::string kFits = "--pump 'left outlet' --drive 'short low-mount' --housing straight ";

}  // namespace

TEST_CASE("size ends with the verdict of the combination it is about") {
  CHECK(size(kFits).code == 0);
  const Ended stops = size("--pump 'half rib' --drive 'short low-mount' --housing straight");
  CHECK(stops.code == 1);
  CHECK(stops.said.find("DO NOT ORDER FROM THIS") != std::string::npos);
}

TEST_CASE("a misspelt part is named with its nearest, on the error stream only") {
  const Ended quiet = size("--pump 'left outlt' 2>/dev/null");
  CHECK(quiet.code == 2);
  CHECK(quiet.said.empty());
  CHECK(size("--pump 'left outlt' 2>&1").said.find("did you mean \"left outlet\"") != std::string::npos);
  CHECK(size("--drive nothing 2>/dev/null").code == 2);
  CHECK(size("--housing nothing 2>/dev/null").code == 2);
  CHECK(size("--json --csv 2>/dev/null").code == 2);
}

TEST_CASE("units change no number of the JSON") {
  const Ended mm = size(kFits + "--json --units mm --threads 1"),
              in = size(kFits + "--json --units in --threads 2");
  CHECK(mm.code == 0);
  CHECK((mm.said == in.said));
}

TEST_CASE("a file is written in place of the terminal; a failed write is a failure and leaves nothing") {
  const auto folder =
      std::filesystem::temp_directory_path() / ("hosefit_size_test_" + std::to_string(::getpid()));
  std::filesystem::create_directories(folder);
  const std::string file = (folder / "order.csv").string();
  const Ended written = size(kFits + "--csv --out '" + file + "'");
  CHECK(written.code == 0);
  CHECK(written.said.empty());
  std::ifstream in(file);
  std::string first;
  std::getline(in, first);
  CHECK(first.starts_with("\"section\",\"line\",\"standing\""));
  const Ended full = size(kFits + "--out /dev/full 2>&1");
  CHECK(full.code == 4);
  CHECK(full.said.find("No space left") != std::string::npos);
  CHECK(size(kFits + "--out '" + (folder / "none/order.txt").string() + "' 2>/dev/null").code == 4);
  // A file size limit stands for a disk that fills up in the middle of a file: the old file stays as it was.
  const Ended cut = size(kFits + "--json --out '" + file + "' 2>&1", "trap '' XFSZ; ulimit -f 1; ");
  CHECK(cut.code == 4);
  CHECK(cut.said.find("File too large") != std::string::npos);
  std::ifstream still(file);
  std::getline(still, first);
  CHECK(first.starts_with("\"section\",\"line\",\"standing\""));
  CHECK(std::distance(std::filesystem::directory_iterator(folder), std::filesystem::directory_iterator()) ==
        1);
  std::filesystem::remove_all(folder);
}
