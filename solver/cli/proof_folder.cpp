// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/cli/proof_folder.h"

#include <fmt/format.h>

#include <array>
#include <filesystem>
#include <fstream>

#include "solver/cli/write_file.h"
#include "solver/recheck/recheck.h"

namespace hosefit {
namespace {

namespace fs = std::filesystem;

// A record of any format begins with its first key; that is enough to know that it is ours to replace.
bool begins_as_record(const fs::path& path) {
  std::ifstream in(path, std::ios::binary);
  std::array<char, 64> head{};
  in.read(head.data(), head.size());
  std::string text(head.data(), static_cast<std::size_t>(in.gcount()));
  std::erase_if(text, [](char c) { return c == ' ' || c == '\n' || c == '\r' || c == '\t'; });
  return text.starts_with("{\"hosefit\":\"proof\"");
}

}  // namespace

std::optional<std::string> proof_folder_problem(const std::string& folder) {
  std::error_code error;
  const fs::path path(folder);
  if (!fs::exists(path, error)) {
    const fs::path real = path.filename().empty() ? path.parent_path() : path;
    const fs::path above = real.has_parent_path() ? real.parent_path() : fs::path(".");
    if (fs::is_directory(above, error)) return std::nullopt;
    return fmt::format("--proof: no folder {} to make {} in", above.string(), folder);
  }
  if (!fs::is_directory(path, error)) return fmt::format("--proof: {} is no folder", folder);
  for (fs::directory_iterator it(path, error), end; !error && it != end; it.increment(error)) {
    const std::string name = it->path().filename().string();
    const bool left_over =
        name.starts_with(".hosefit-") && name.ends_with(".part");  // of a run that was killed
    const bool record = name == recheck::kRecordName && !it->is_symlink(error) &&
                        it->is_regular_file(error) && begins_as_record(it->path());
    if (!record && !left_over)
      return fmt::format("--proof: {} holds {}, which is no proof record; name a new folder", folder, name);
  }
  if (error) return fmt::format("--proof: {} cannot be looked into: {}", folder, error.message());
  return std::nullopt;
}

std::optional<std::string> write_proof(const std::string& folder, std::string_view record) {
  if (auto problem = proof_folder_problem(folder)) return problem;
  std::error_code error;
  const bool made = fs::create_directory(folder, error);
  if (error) return fmt::format("{} could not be made: {}", folder, error.message());
  auto problem = write_file((fs::path(folder) / recheck::kRecordName).string(), record);
  if (problem && made) fs::remove(folder, error);
  return problem;
}

}  // namespace hosefit
