// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/cli/surroundings.h"

#include <unistd.h>

#include <algorithm>
#include <cctype>
#include <cerrno>
#include <charconv>

namespace hosefit {
namespace {

constexpr int kLeastWidth = 40, kMostWidth = 200, kFileWidth = 100;

}  // namespace

int text_width(const Surroundings& around) {
  int width = around.out_is_terminal && around.terminal_columns > 0 ? around.terminal_columns : kFileWidth;
  if (around.columns) {
    int asked = 0;
    const char* const end = around.columns->data() + around.columns->size();
    const auto read = std::from_chars(around.columns->data(), end, asked);
    if (read.ec == std::errc{} && read.ptr == end && asked > 0) width = asked;
  }
  return std::clamp(width, kLeastWidth, kMostWidth);
}

bool wants_colour(const Surroundings& around) {
  return around.out_is_terminal && !around.no_color && !around.terminal_kind.empty() &&
         around.terminal_kind != "dumb";
}

bool wants_utf8(const Surroundings& around) {
  if (!around.out_is_terminal) return true;
  std::string locale = around.locale;
  std::transform(locale.begin(), locale.end(), locale.begin(),
                 [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  return locale.find("utf-8") != std::string::npos || locale.find("utf8") != std::string::npos;
}

Sink sink_of(int file_descriptor) {
  return [file_descriptor](std::string_view text) {
    while (!text.empty()) {
      const ssize_t n = ::write(file_descriptor, text.data(), text.size());
      if (n < 0 && errno == EINTR) continue;
      if (n < 0) return errno;
      text.remove_prefix(static_cast<std::size_t>(n));
    }
    return 0;
  };
}

}  // namespace hosefit
