// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <cstdlib>
#include <vector>

#include "tests/input/edited_job.h"

/// tests/input/bad/<rule>.edit says how the good job is spoilt, <rule>.expected what is then said about it:
///   in <file> / <<< / old / === / new / >>>     one place of a file changed ("*": all of it)
///   write <file> / <<< / bytes / >>>            a file more
///   empty <file>, delete <file>, family=, intake=, height=, vehicle=   (in mm, as on the command line)
/// HOSEFIT_APPROVE=1 in the environment writes the .expected files anew.
namespace hosefit::test {
namespace {

struct SpoiltJob {
  Files files = good_files();
  std::vector<std::string> options;
};

std::string block(std::istream& in, const std::string& end) {
  std::string text, line;
  while (std::getline(in, line)) {
    if (line == end) return text.empty() ? text : text.substr(0, text.size() - 1);
    text += line + "\n";
  }
  throw std::runtime_error("no line " + end);
}

SpoiltJob spoilt(const fs::path& edit) {
  SpoiltJob job;
  std::istringstream in(file_bytes(edit));
  for (std::string line; std::getline(in, line);) {
    const std::string name = line.substr(line.find(' ') + 1);
    std::string open;
    if (line.starts_with("in ")) {
      std::getline(in, open);
      const std::string old = block(in, "===");
      replace_once(job.files.at(name), old, block(in, ">>>"));
    } else if (line.starts_with("write ")) {
      std::getline(in, open);
      job.files[name] = block(in, ">>>");
    } else if (line.starts_with("empty ")) {
      job.files.at(name).clear();
    } else if (line.starts_with("delete ")) {
      if (job.files.erase(name) != 1) throw std::runtime_error("no file " + name);
    } else if (line.find('=') != std::string::npos) {
      job.options.push_back(line);
    } else {
      throw std::runtime_error("not understood: " + line);
    }
  }
  return job;
}

std::string said_about(const SpoiltJob& job) {
  const ScratchFolder scratch;
  for (const auto& [name, bytes] : job.files) write_file(scratch.path() / name, bytes);
  JobPaths paths = paths_in(scratch.path());
  for (const std::string& option : job.options) {
    const std::string value = option.substr(option.find('=') + 1);
    if (option.starts_with("family=")) paths.family = value;
    if (option.starts_with("intake=")) paths.intake = value;
    if (option.starts_with("height=")) paths.height = Length::mm(std::stod(value));
    if (option.starts_with("vehicle=")) paths.vehicle_folder = (scratch.path() / "vehicles" / value).string();
  }
  const Result<Job> result = load_job(paths);
  if (result) return "loads without a problem\n";
  std::string text = format_problems(result.problems());
  const std::string folder = scratch.path().string() + "/";
  for (auto at = text.find(folder); at != std::string::npos; at = text.find(folder))
    text.erase(at, folder.size());
  return text;
}

}  // namespace

TEST_CASE("every way to spoil an input file is told at its place, in the approved words") {
  std::vector<fs::path> edits;
  for (const auto& entry : fs::directory_iterator(fs::path(HOSEFIT_TEST_DIR) / "input" / "bad"))
    if (entry.path().extension() == ".edit") edits.push_back(entry.path());
  std::sort(edits.begin(), edits.end());
  REQUIRE(edits.size() >= 100);
  const bool approve = std::getenv("HOSEFIT_APPROVE") != nullptr;
  for (const fs::path& edit : edits) {
    CAPTURE(edit.stem().string());
    const std::string said = said_about(spoilt(edit));
    const fs::path expected = fs::path(edit).replace_extension(".expected");
    if (approve) write_file(expected, said);
    CHECK(said != "loads without a problem\n");
    CHECK(said == file_bytes(expected));
  }
}

TEST_CASE("every expected message has its edit") {
  for (const auto& entry : fs::directory_iterator(fs::path(HOSEFIT_TEST_DIR) / "input" / "bad")) {
    CAPTURE(entry.path().string());
    CHECK(fs::exists(fs::path(entry.path()).replace_extension(".edit")));
  }
}

}  // namespace hosefit::test
