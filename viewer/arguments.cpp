// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/arguments.h"

#include <fmt/format.h>

#include <charconv>
#include <utility>

#include "solver/report/words.h"

namespace hosefit {
namespace {

constexpr std::string_view kHelp =
    "hosefit-view [VEHICLE]   the window: every pump for one vehicle side by side, with a slider for the "
    "intake\n"
    "\n"
    "  VEHICLE        folder that holds vehicle.yaml, or a file in it; without it the start screen offers "
    "the demos\n"
    "  --size WxH     size of the window, for instance 1600x900\n"
    "  --scale S      size of text and controls, 0.5 to 4; otherwise as the screen says\n"
    "  --drive FILE   play a script of clicks and keys, for tests\n"
    "  --help, --version\n"
    "\n"
    "F1 in the window lists its keys. Exit codes: 0 left, 2 wrong input, 4 a fault of the program or the "
    "system.\n";

template <class T>
std::optional<T> number(std::string_view text, T least, T most) {
  T value{};
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc() || end != text.data() + text.size() || !(value >= least) || value > most)
    return std::nullopt;
  return value;
}

bool read_size(const std::string& text, ViewerArguments& out) {
  const std::size_t cross = text.find('x');
  if (cross == std::string::npos) return false;
  const auto width = number<int>(std::string_view(text).substr(0, cross), 160, 16384);
  const auto height = number<int>(std::string_view(text).substr(cross + 1), 120, 16384);
  if (!width || !height) return false;
  out.width = *width;
  out.height = *height;
  return true;
}

ViewerSaysAndEnds refused(const std::string& what) {
  return {2, fmt::format("hosefit-view: {}. See hosefit-view --help.\n", safe_text(what))};
}

}  // namespace

std::variant<ViewerArguments, ViewerSaysAndEnds> read_viewer_arguments(const std::vector<std::string>& words,
                                                                       const std::string& version) {
  ViewerArguments out;
  for (std::size_t i = 0; i < words.size(); ++i) {
    const std::string& word = words[i];
    if (word == "--help" || word == "-h") return ViewerSaysAndEnds{0, std::string(kHelp)};
    if (word == "--version") return ViewerSaysAndEnds{0, fmt::format("hosefit-view {}\n", version)};
    const bool takes_value = word == "--drive" || word == "--scale" || word == "--size";
    if (takes_value && i + 1 == words.size()) return refused(word + " wants a value");
    if (word == "--drive") {
      out.script = words[++i];
    } else if (word == "--scale") {
      out.scale = number<float>(words[++i], 0.5F, 4.0F);
      if (!out.scale) return refused("--scale wants a number from 0.5 to 4, got " + words[i]);
    } else if (word == "--size") {
      if (!read_size(words[++i], out)) return refused("--size wants for instance 1600x900, got " + words[i]);
    } else if (word.starts_with("-") && word.size() > 1) {
      return refused("there is no option " + word);
    } else if (!out.vehicle.empty()) {
      return refused("one vehicle only, got " + out.vehicle + " and " + word);
    } else {
      out.vehicle = word;
    }
  }
  return out;
}

}  // namespace hosefit
