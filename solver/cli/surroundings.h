// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

/// What the program finds around it, read once in main.cpp and handed on as values.
namespace hosefit {

struct Surroundings {
  std::vector<std::string> words;  ///< the command line after the program's name
  std::string version;
  std::optional<std::string> columns;  ///< COLUMNS
  bool no_color = false;               ///< NO_COLOR is set and not empty
  std::string locale;                  ///< the first of LC_ALL, LC_CTYPE, LANG that is not empty
  std::string terminal_kind;           ///< TERM
  bool out_is_terminal = false, err_is_terminal = false;
  int terminal_columns = 0;         ///< as the terminal says; 0 = unknown
  std::string program_folder;       ///< that holds the running program; empty = unknown
  std::string share_hint;           ///< from the install prefix, as "share/hosefit"
  std::string source_folder;        ///< of the source tree that it was built from; may be gone
  std::string current_folder;       ///< relative names are meant from here; empty = unknown
  std::string today;                ///< YYYY-MM-DD, local; empty = unknown
  std::function<double()> seconds;  ///< a clock that never steps back
};

/// Columns to lay text out for, 40 to 200: COLUMNS, else the terminal's, else 100.
int text_width(const Surroundings& around);
/// On a terminal that can show it, and not switched off by NO_COLOR (no-color.org).
bool wants_colour(const Surroundings& around);
/// Files and pipes always get UTF-8; a terminal what its locale says.
bool wants_utf8(const Surroundings& around);

/// Takes text to its end; 0, or the errno of the write that failed.
using Sink = std::function<int(std::string_view)>;
Sink sink_of(int file_descriptor);

}  // namespace hosefit
