// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>
#include <string>
#include <variant>
#include <vector>

namespace hosefit {

struct ViewerArguments {
  std::string vehicle;  ///< folder or file in it; empty = the start screen
  std::string script;   ///< see drive_script.h; empty = a person uses the window
  int width = 1440, height = 900;
  std::optional<float> scale;
};

/// Help, version, or what is wrong with the command line.
struct ViewerSaysAndEnds {
  int code = 2;
  std::string text;
};

std::variant<ViewerArguments, ViewerSaysAndEnds> read_viewer_arguments(const std::vector<std::string>& words,
                                                                       const std::string& version);

}  // namespace hosefit
