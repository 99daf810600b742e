// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>
#include <string>
#include <string_view>

namespace hosefit {

/// Writes a file whole or not at all: into a new file beside it, to disk, then renamed over it. A file that
/// was there keeps its mode, and all of its bytes when anything fails; nothing half-written stays behind.
/// Links are followed. What is no regular file (a terminal, /dev/stdout, a pipe) is written to directly.
/// Empty when done, else one sentence: what could not be done, where, and why.
std::optional<std::string> write_file(const std::string& path, std::string_view bytes);

}  // namespace hosefit
