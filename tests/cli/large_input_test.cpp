// SPDX-License-Identifier: GPL-3.0-or-later
#include <unistd.h>

#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
#include <string>

#include "tests/cli/built_program.h"

using namespace hosefit;
namespace fs = std::filesystem;

namespace {

// A copy of a bundled vehicle beside an empty folder for what the commands write.
class Copied {
 public:
  Copied() : path_(fs::temp_directory_path() / ("hosefit_large_test_" + std::to_string(::getpid()))) {
    fs::create_directories(path_ / "written");
    fs::copy(HOSEFIT_ROOT_DIR "/vehicles/linnet_coupe", path_ / "coupe", fs::copy_options::recursive);
  }
  ~Copied() {
    std::error_code error;
    fs::remove_all(path_, error);
  }
  Copied(const Copied&) = delete;
  Copied& operator=(const Copied&) = delete;

  fs::path vehicle() const { return path_ / "coupe"; }
  bool wrote_nothing() const { return fs::is_empty(path_ / "written"); }
  Ended run(const std::string& command) const {
    return program(command + " '" + vehicle().string() +
                   "' --pumps '" HOSEFIT_ROOT_DIR "/pumps' --data '" HOSEFIT_ROOT_DIR
                   "/solver/data' --out '" +
                   (path_ / "written/out").string() + "' 2>&1");
  }

 private:
  fs::path path_;
};

void is_refused(const Copied& copied, const std::string& why) {
  for (const char* command : {"size", "picture", "template", "drawing", "show"}) {
    CAPTURE(command);
    const Ended ended = copied.run(command);
    CHECK(ended.code == 2);
    CHECK(ended.said.find(why) != std::string::npos);
    CHECK(ended.said.size() < 2000);
    CHECK(copied.wrote_nothing());
  }
}

}  // namespace

TEST_CASE("a vehicle file of 60 MB is refused by every command that writes, and nothing is written") {
  const Copied copied;
  std::ofstream more(copied.vehicle() / "vehicle.yaml", std::ios::app);
  const std::string comment = "# " + std::string(98, 'x') + "\n";
  for (int i = 0; i < 600000; ++i) more << comment;
  more.close();
  is_refused(copied, "vehicle.yaml: larger than the 4 MiB that are read");
}

TEST_CASE("a mesh of 300 MB is refused at the line that names it, and nothing is written") {
  const Copied copied;
  std::ifstream in(copied.vehicle() / "vehicle.yaml");
  std::string text{std::istreambuf_iterator<char>(in), {}};
  in.close();
  const std::string before = "fan:\n  carrier: chassis\n  obstacles:\n";
  const std::size_t at = text.find(before);
  REQUIRE(at != std::string::npos);
  text.insert(at + before.size(),
              "    - {name: scan, hazard: smooth_metal, shape: {mesh: {file: big.stl, unit: mm}}}\n");
  std::ofstream(copied.vehicle() / "vehicle.yaml") << text;
  std::ofstream(copied.vehicle() / "big.stl") << "x";
  fs::resize_file(copied.vehicle() / "big.stl", 300 << 20);  // a hole: takes no disk
  is_refused(copied, "big.stl: larger than the 200 MiB that are read");
}
