// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>
#include <string>
#include <variant>

#include "solver/cli/arguments.h"
#include "solver/decide/decide.h"

namespace hosefit {

/// Draws one candidate and writes it to arguments.out_file. The file is whole or not there: written beside
/// its target, synced and renamed. Empty when done, else what is wrong and the exit code.
struct PictureFault {
  ExitCode code = ExitCode::failure;
  std::string text;
};
std::optional<PictureFault> write_picture(const Job& job, const CandidateResult& result,
                                          const Arguments& arguments);

/// Words of --view: the sides, and "close".
inline constexpr std::string_view kCloseView = "close";

}  // namespace hosefit
