// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <sys/wait.h>

#include <array>
#include <catch2/catch.hpp>
#include <cstdio>
#include <string>

namespace hosefit {

struct Ended {
  int code = -1;
  std::string said;
};

/// Runs the built program in a shell; `tail` may redirect, `first` stands before the program.
inline Ended program(const std::string& tail, const std::string& first = "") {
  const std::string command = first + "'" HOSEFIT_PROGRAM "' " + tail;
  FILE* const pipe = popen(command.c_str(), "r");
  REQUIRE(pipe != nullptr);
  Ended out;
  std::array<char, 4096> buffer{};
  for (std::size_t n = 0; (n = std::fread(buffer.data(), 1, buffer.size(), pipe)) > 0;)
    out.said.append(buffer.data(), n);
  const int status = pclose(pipe);
  out.code = WIFEXITED(status) ? WEXITSTATUS(status) : -1;
  return out;
}

}  // namespace hosefit
