// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>
#include <string>
#include <string_view>

/// What a system shows about the program without running it, made from the one table of options.
namespace hosefit {

/// The manual page in the man(7) macros, section 1. Hyphens and backslashes are escaped as groff wants them.
std::string manual_page(std::string_view version);

enum class Shell { bash, zsh, fish };
std::optional<Shell> shell_named(std::string_view name);

/// A file for the shell's folder of completions: commands, the options of each, their choices, folders where
/// a folder is wanted. Needs nothing but the shell itself.
std::string completion(Shell shell);

}  // namespace hosefit
