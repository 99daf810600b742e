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

struct Folder {
  fs::path path = fs::temp_directory_path() / ("hosefit_proof_test_" + std::to_string(::getpid()));
  Folder() {
    fs::remove_all(path);
    fs::create_directories(path);
  }
  ~Folder() { fs::remove_all(path); }
  std::string quoted(const std::string& name) const { return "'" + (path / name).string() + "'"; }
};

std::string text_of(const fs::path& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

Ended pick(const std::string& tail, const std::string& first = "") {
  return program("pick vehicles/linnet_coupe --pumps pumps --data solver/data " + tail,
                 "cd '" HOSEFIT_ROOT_DIR "' && " + first);
}

}  // namespace

TEST_CASE("pick writes a proof record that recheck confirms from any folder, and the same bytes each time",
          "[whole]") {
  const Folder folder;
  const Ended made = pick("--proof " + folder.quoted("p") + " --threads 1 2>&1 >/dev/null");
  CHECK(made.code == 0);
  CHECK(made.said.find("/p holds the proof of 2 sets\n") != std::string::npos);
  const std::string first = text_of(folder.path / "p/proof.json");
  CHECK(first.find("\"hosefit\": \"proof\"") != std::string::npos);
  const Ended confirmed = program("recheck " + folder.quoted("p"), "cd / && ");
  CHECK(confirmed.code == 0);
  CHECK(confirmed.said.find("confirmed at rest and in motion: pump left outlet") != std::string::npos);
  CHECK(confirmed.said.find("Not rechecked: in motion a line and its clamps against that line itself") !=
        std::string::npos);
  CHECK(pick("--proof " + folder.quoted("p") + " --threads 2 >/dev/null").code == 0);
  CHECK((text_of(folder.path / "p/proof.json") == first));
  CHECK(program("recheck " + folder.quoted("p") +
                " --vehicle '" HOSEFIT_ROOT_DIR "/vehicles/harrow_half_ton' 2>&1")
            .said.find("has changed since the record was made") != std::string::npos);
}

TEST_CASE("recheck ends with 1 when the record is false, with 2 when it cannot be read", "[whole]") {
  const Folder folder;
  CHECK(pick("--proof " + folder.quoted("p") + " >/dev/null").code == 0);
  const std::string good = text_of(folder.path / "p/proof.json");
  std::string false_one = good;
  false_one.replace(false_one.find("\"housing\": \"straight\""), 21, "\"housing\": \"90 low\"  ");
  std::ofstream(folder.path / "p/proof.json") << false_one;
  const Ended refuted = program("recheck " + folder.quoted("p"));
  CHECK(refuted.code == 1);
  CHECK(refuted.said.find("refuted") != std::string::npos);
  std::ofstream(folder.path / "p/proof.json") << good.substr(0, good.size() / 2);
  const Ended cut = program("recheck " + folder.quoted("p") + " 2>&1 >/dev/null");
  CHECK(cut.code == 2);
  CHECK(cut.said.find("proof.json:") != std::string::npos);
  CHECK(cut.said.find("cut short") != std::string::npos);
  CHECK(program("recheck " + folder.quoted("none") + " 2>/dev/null").code == 2);
  CHECK(program("recheck 2>/dev/null").code == 2);
}

TEST_CASE("a folder that holds anything but a record is left alone", "[whole]") {
  const Folder folder;
  fs::create_directories(folder.path / "mine");
  std::ofstream(folder.path / "mine/letter.txt") << "words";
  const Ended refused = pick("--proof " + folder.quoted("mine") + " 2>&1 >/dev/null");
  CHECK(refused.code == 2);
  CHECK(refused.said.find("letter.txt, which is no proof record") != std::string::npos);
  CHECK(text_of(folder.path / "mine/letter.txt") == "words");
  fs::remove(folder.path / "mine/letter.txt");
  std::ofstream(folder.path / "mine/proof.json") << "{\"mine\": 1}";
  CHECK(pick("--proof " + folder.quoted("mine") + " 2>/dev/null >/dev/null").code == 2);
  CHECK(text_of(folder.path / "mine/proof.json") == "{\"mine\": 1}");
  CHECK(pick("--proof " + folder.quoted("no/where") + " 2>/dev/null >/dev/null").code == 2);
  CHECK(pick("--proof " + folder.quoted("mine/proof.json") + " 2>/dev/null >/dev/null").code == 2);
}

TEST_CASE("what a run that was killed left of a record keeps no other from being written", "[whole]") {
  const Folder folder;
  fs::create_directories(folder.path / "p");
  std::ofstream(folder.path / "p/.hosefit-1234.part") << "{\"hosefit\": \"pro";
  CHECK(pick("--proof " + folder.quoted("p") + " 2>/dev/null >/dev/null").code == 0);
  CHECK(program("recheck " + folder.quoted("p") + " >/dev/null").code == 0);
}

TEST_CASE("a disk that fills up leaves no record and no folder behind, and an old record whole", "[whole]") {
  const Folder folder;
  const std::string full = "trap '' XFSZ; ulimit -f 8; ";
  const Ended none = pick("--proof " + folder.quoted("p") + " 2>&1 >/dev/null", full);
  CHECK(none.code == 4);
  CHECK(none.said.find("File too large") != std::string::npos);
  CHECK_FALSE(fs::exists(folder.path / "p"));
  CHECK(pick("--proof " + folder.quoted("p") + " >/dev/null").code == 0);
  const std::string before = text_of(folder.path / "p/proof.json");
  CHECK(pick("--proof " + folder.quoted("p") + " 2>/dev/null >/dev/null", full).code == 4);
  CHECK((text_of(folder.path / "p/proof.json") == before));
  CHECK(std::distance(fs::directory_iterator(folder.path / "p"), fs::directory_iterator()) == 1);
}
