// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>
#include <string>
#include <string_view>

namespace hosefit {

/// Why a proof record may not go into a folder, in one sentence: it holds something else, it is no folder, or
/// the one it lies in is missing. Empty when it may: there is none yet, or it is empty, or holds a record of
/// its own, perhaps beside what a killed run left of one, and nothing else.
std::optional<std::string> proof_folder_problem(const std::string& folder);

/// Writes the record there, whole or not at all; an older one is replaced. A folder that was made for it goes
/// away again when that fails. Empty when done.
std::optional<std::string> write_proof(const std::string& folder, std::string_view record);

}  // namespace hosefit
