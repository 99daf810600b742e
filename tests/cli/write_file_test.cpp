// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/cli/write_file.h"

#include <sys/stat.h>
#include <unistd.h>

#include <array>
#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
#include <iterator>

using namespace hosefit;
namespace fs = std::filesystem;

namespace {

class Folder {
 public:
  Folder() : path_(fs::temp_directory_path() / ("hosefit_write_test_" + std::to_string(::getpid()))) {
    fs::create_directories(path_);
  }
  ~Folder() {
    std::error_code error;
    fs::remove_all(path_, error);
  }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
  std::string file(const std::string& name) const { return (path_ / name).string(); }
  std::ptrdiff_t entries() const {
    return std::distance(fs::directory_iterator(path_), fs::directory_iterator());
  }

 private:
  fs::path path_;
};

std::string bytes_of(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
}

}  // namespace

TEST_CASE("a file is written whole, replaced whole, and nothing else is left in the folder") {
  const Folder folder;
  const std::string path = folder.file("list.txt");
  CHECK_FALSE(write_file(path, "first"));
  CHECK(bytes_of(path) == "first");
  ::chmod(path.c_str(), 0640);
  CHECK_FALSE(write_file(path, "second\n"));
  CHECK(bytes_of(path) == "second\n");
  struct stat now {};
  REQUIRE(::stat(path.c_str(), &now) == 0);
  CHECK((now.st_mode & 0777U) == 0640U);
  CHECK(folder.entries() == 1);
}

TEST_CASE("a link is followed and stays a link") {
  const Folder folder;
  std::ofstream(folder.file("real")) << "old";
  fs::create_symlink(folder.file("real"), folder.file("link"));
  CHECK_FALSE(write_file(folder.file("link"), "new"));
  CHECK(fs::is_symlink(folder.file("link")));
  CHECK(bytes_of(folder.file("real")) == "new");
}

TEST_CASE("what cannot be written is told and leaves everything as it was") {
  const Folder folder;
  fs::create_directories(folder.file("folder"));
  CHECK(write_file(folder.file("folder"), "x")->find("Is a directory") != std::string::npos);
  CHECK(write_file(folder.file("missing/list.txt"), "x")->find("No such file") != std::string::npos);
  CHECK(write_file("/dev/full", "x")->find("No space left") != std::string::npos);
  CHECK(write_file("/proc/list.txt", "x"));  // a folder in which no file can be made
  CHECK(folder.entries() == 1);
}

TEST_CASE("files that belong together are all written, or all left as they were") {
  const Folder folder;
  const std::string sheet = folder.file("sheet.html"), pages = folder.file("sheet.pdf");
  const std::string blocked = folder.file("blocked");
  fs::create_directories(blocked);
  const auto write = [](const std::string& a, const std::string& b) {
    const std::array both{FileToWrite{a, "new a"}, FileToWrite{b, "new b"}};
    return write_files(both);
  };
  CHECK(write(sheet, blocked));
  CHECK(write(sheet, folder.file("missing/sheet.pdf")));
  CHECK(write(sheet, "/dev/full"));  // fails only after the first has its name
  CHECK(folder.entries() == 1);
  std::ofstream(sheet) << "old a";
  CHECK(write(sheet, blocked));
  CHECK(write(sheet, "/dev/full"));
  CHECK(bytes_of(sheet) == "old a");
  CHECK(folder.entries() == 2);
  CHECK_FALSE(write(sheet, pages));
  CHECK(bytes_of(sheet) == "new a");
  CHECK(bytes_of(pages) == "new b");
  CHECK(folder.entries() == 3);
}
