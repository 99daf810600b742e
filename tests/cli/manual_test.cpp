// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/cli/manual.h"

#include <array>
#include <catch2/catch.hpp>
#include <cstdio>
#include <fstream>

#include "solver/cli/options.h"

using namespace hosefit;

namespace {

std::string said_by(const std::string& command) {
  FILE* pipe = popen(command.c_str(), "r");
  REQUIRE(pipe != nullptr);
  std::string said;
  std::array<char, 4096> buffer;
  for (std::size_t n = 0; (n = fread(buffer.data(), 1, buffer.size(), pipe)) > 0;)
    said.append(buffer.data(), n);
  pclose(pipe);
  return said;
}

// What bash would offer for the last word.
std::string offered(const std::string& words) {
  const std::string file = "hosefit_completion_under_test.bash";
  std::ofstream(file) << completion(Shell::bash) << "COMP_WORDS=(" << words
                      << "); COMP_CWORD=$((${#COMP_WORDS[@]}-1)); _hosefit; "
                      << "echo \" ${COMPREPLY[*]} \"\n";
  const std::string said = said_by("bash " + file + " 2>/dev/null");
  std::remove(file.c_str());
  return said;
}

}  // namespace

TEST_CASE("the manual page and every completion know all commands and options of the table") {
  const std::string page = manual_page("1.2.3");
  const std::string fish = completion(Shell::fish);
  for (const CommandRow& command : command_rows()) {
    CAPTURE(command.name);
    CHECK(page.find("\n.B " + std::string(command.name) + "\n") != std::string::npos);
    CHECK(fish.find("-a " + std::string(command.name) + " -d") != std::string::npos);
  }
  for (const OptionRow& row : option_rows()) {
    if (!row.name.starts_with("--")) continue;
    CAPTURE(row.name);
    CHECK(completion(Shell::bash).find(row.name) != std::string::npos);
    CHECK(completion(Shell::zsh).find(row.name) != std::string::npos);
    CHECK(fish.find("-l " + std::string(row.name.substr(2)) + " -d") != std::string::npos);
    CHECK(page.find("\\-\\-" + std::string(row.name.substr(2, 3))) != std::string::npos);
  }
}

TEST_CASE("bash offers commands, the options of the command, and the words that an option may have") {
  CHECK(offered("hosefit sch") == " schema \n");
  CHECK(offered("hosefit pick --heig") == " --height \n");
  CHECK(offered("hosefit schema --heig") == "  \n");
  CHECK(offered("hosefit pick --units ''") == " mm in \n");
  CHECK(offered("hosefit completion f") == " fish \n");
}

TEST_CASE("the manual page is free of faults that groff would warn of") {
  REQUIRE_FALSE(said_by("command -v groff").empty());  // Debian's groff-base, in .ci/packages-window
  const std::string file = "hosefit_manual_under_test.1";
  std::ofstream(file) << manual_page("1.2.3");
  CHECK(said_by("groff -man -Tutf8 -ww -z " + file + " 2>&1").empty());
  const std::string shown = said_by("groff -man -Tascii -P-cbou " + file);
  std::remove(file.c_str());
  CHECK(shown.find("--height LENGTH") != std::string::npos);
  CHECK(shown.find("EXIT STATUS") != std::string::npos);
}
