// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>
#include <span>
#include <string>
#include <string_view>

namespace hosefit {

/// Writes a file whole or not at all: into a new file beside it, to disk, then renamed over it. A file that
/// was there keeps its mode, and all of its bytes when anything fails; nothing half-written stays behind.
/// Links are followed. What is no regular file (a terminal, /dev/stdout, a pipe) is written to directly.
/// Empty when done, else one sentence: what could not be done, where, and why.
std::optional<std::string> write_file(const std::string& path, std::string_view bytes);

struct FileToWrite {
  std::string path;
  std::string_view bytes;
};
/// The same for files that belong together: every byte of all is on disk before the first gets its name, and
/// when one cannot get its name those before it are taken back.
std::optional<std::string> write_files(std::span<const FileToWrite> files);

}  // namespace hosefit
