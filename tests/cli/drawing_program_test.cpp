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

/// A folder of its own, gone at the end.
class Folder {
 public:
  Folder() { fs::create_directories(path_); }
  ~Folder() { fs::remove_all(path_); }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
  std::string file(const std::string& name) const { return (path_ / name).string(); }
  bool empty() const { return fs::is_empty(path_); }

 private:
  fs::path path_ = fs::temp_directory_path() / ("hosefit_drawing_test_" + std::to_string(::getpid()));
};

Ended drawing(const std::string& tail, const std::string& first = "") {
  return program("drawing '" HOSEFIT_ROOT_DIR "/vehicles/linnet_coupe' --data '" HOSEFIT_ROOT_DIR
                 "/solver/data' " +
                     tail,
                 first);
}

std::string bytes_of(const std::string& file) {
  std::ifstream in(file, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

bool says(const Ended& ended, const std::string& words) {
  return ended.said.find(words) != std::string::npos;
}

// Named whole, so that only this one is judged.
const std::string kFits = "--pump 'left outlet' --drive 'short low-mount' --housing straight ";
const std::string kStops = "--pump 'half rib' --drive 'short low-mount' --housing straight ";

}  // namespace

TEST_CASE(
    "the radiator is drawn as it stands when no neck is to choose, with the same bytes on any threads") {
  const Folder folder;
  const Ended one = drawing(kFits + "--threads 1 --out '" + folder.file("a.pdf") + "'");
  CHECK(one.code == 0);
  CHECK(says(one, "As it stands: no neck to choose"));
  // Written at (40.3, -276.4, 295.2); the core's left edge is y -255, its lower edge z 130, its face x 0.
  CHECK(says(one, "radiator.inlet: -21.4 from A, 165.2 from B, 40.3 from C; as written"));
  CHECK_FALSE(says(one, "NOT PROVED"));
  CHECK(bytes_of(folder.file("a.pdf")).starts_with("%PDF-"));
  CHECK(drawing(kFits + "--threads 2 --out '" + folder.file("b.pdf") + "'").code == 0);
  CHECK((bytes_of(folder.file("a.pdf")) == bytes_of(folder.file("b.pdf"))));
}

TEST_CASE("a set that does not fit ends with its code, and its drawing is no order") {
  const Folder folder;
  const Ended stops = drawing(kStops + "--units in --paper letter --out '" + folder.file("a.pdf") + "'");
  CHECK(stops.code == 1);
  CHECK(says(stops, "THIS IS NO ORDER"));
  CHECK(says(stops, "165.2 [6.50] from B"));
  CHECK(bytes_of(folder.file("a.pdf")).starts_with("%PDF-"));
}

TEST_CASE("a wrong command line draws nothing") {
  const Folder folder;
  const std::string out = "--out '" + folder.file("a.pdf") + "' ";
  for (const std::string& tail : {std::string(), kFits, out + "--paper a3", out + "--pump 'left outlt'",
                                  out + "--json", out + "--bar-across 99", out + "--height tall"}) {
    CAPTURE(tail);
    const Ended quiet = drawing(tail + " 2>/dev/null");
    CHECK(quiet.code == 2);
    CHECK(quiet.said.empty());
    CHECK_FALSE(drawing(tail + " 2>&1").said.empty());
    CHECK(folder.empty());
  }
}

TEST_CASE("a drawing that cannot be written is a failure, and leaves nothing behind") {
  const Folder folder;
  const Ended full = drawing(kStops + "--out /dev/full 2>&1");
  CHECK(full.code == 4);
  CHECK(says(full, "No space left"));
  CHECK_FALSE(says(full, "from A"));
  CHECK(drawing(kStops + "--out '" + folder.file("none/a.pdf") + "' 2>/dev/null").code == 4);
  // A file size limit stands for a disk that fills up in the middle of a file.
  const Ended cut =
      drawing(kStops + "--out '" + folder.file("a.pdf") + "' 2>&1", "trap '' XFSZ; ulimit -f 1; ");
  CHECK(cut.code == 4);
  CHECK(says(cut, "File too large"));
  CHECK(folder.empty());
}
