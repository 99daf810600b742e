// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cstdint>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "solver/base/quantity.h"
#include "solver/cli/options.h"

namespace hosefit {

/// Exit codes of every command; stable, scripts rest on them.
enum class ExitCode {
  fits = 0,
  nothing_fits = 1,
  bad_input = 2,
  undecided = 3,
  failure = 4,
  interrupted = 130
};

/// The command line after reading: every value in range. Folders are not looked for yet.
struct Arguments {
  Command command = Command::pick;
  std::string vehicle_folder;  ///< of the commands that read a vehicle
  std::string proof_folder;    ///< recheck: where the record lies
  std::string kind;            ///< schema
  std::string shell;           ///< completion
  std::optional<std::string> intake, family, pumps_folder, data_folder;
  std::optional<Length> height;
  std::optional<LengthUnit> units;
  std::optional<unsigned> threads;  ///< 1 to 1024; empty = all of the machine
  std::uint64_t seed = 1;
  bool json = false, windows = false, motion = false, csv = false;
  std::optional<std::string> pump, drive, housing;  ///< parts named; see candidate_choice.h
  std::optional<std::string> out_file;
  std::optional<std::string> proof;          ///< pick: the folder to write a record to
  std::optional<std::string> moved_vehicle;  ///< recheck: its folder in place of the record's
  std::optional<std::string> date;           ///< show: as given, not yet read
  std::string view = "three-quarter";        ///< picture: a side or "close"
  int picture_width = 1600, picture_height = 1000;
  std::string paper = "a4";                    ///< template: a4 or letter
  std::optional<Length> bar_across, bar_down;  ///< template: what the bars of 100 mm measured when printed
};

/// Nothing left to do but to say this: help, version, or what is wrong.
struct SayAndEnd {
  ExitCode code = ExitCode::bad_input;
  std::string out, err;
};

/// Reads the words after the program's name against the option table. Never exits and never prints.
std::variant<Arguments, SayAndEnd> read_arguments(const std::vector<std::string>& words,
                                                  const std::string& version);

}  // namespace hosefit
