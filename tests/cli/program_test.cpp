// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <string>

#include "solver/cli/options.h"
#include "tests/cli/built_program.h"

using namespace hosefit;

TEST_CASE("help and version end well") {
  const Ended help = program("pick --help");
  CHECK(help.code == 0);
  for (const OptionRow& row : option_rows())
    if (belongs_to(row, Command::pick)) CHECK(help.said.find(row.name) != std::string::npos);
  const Ended version = program("--version");
  CHECK(version.code == 0);
  CHECK(version.said.starts_with("hosefit "));
}

TEST_CASE("a wrong command line ends with the code for bad input and says nothing on the report's stream") {
  for (const char* tail :
       {"", "pick", "pick /no/such/folder", "pick x --hieght 3", "pick x --units feet", "nothing"}) {
    CAPTURE(tail);
    const Ended quiet = program(std::string(tail) + " 2>/dev/null");
    CHECK(quiet.code == 2);
    CHECK(quiet.said.empty());
    CHECK_FALSE(program(std::string(tail) + " 2>&1").said.empty());
  }
}

TEST_CASE("a full disk is noticed") {
  const Ended full = program("--help 2>&1 >/dev/full");
  CHECK(full.code == 4);
  CHECK(full.said.find("could not be written") != std::string::npos);
}

TEST_CASE("every kind of schema is told") {
  const Ended schema = program("schema vehicle");
  CHECK(schema.code == 0);
  CHECK(schema.said.starts_with("{"));
}
