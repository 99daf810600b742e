// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/cli/progress_line.h"

#include <fmt/format.h>

#include <algorithm>

#include "solver/report/page.h"
#include "solver/report/words.h"

namespace hosefit {
namespace {

constexpr double kSilent_s = 0.5;
constexpr double kBetween_s = 0.1;  // a faster line only flickers

}  // namespace

ProgressLine::ProgressLine(const Surroundings& around, Sink err)
    : around_(&around), err_(std::move(err)), begun_s_(around.seconds()) {}

void ProgressLine::tell(std::size_t done, std::size_t of, std::string_view what) {
  if (!around_->err_is_terminal) return;
  const double now_s = around_->seconds();
  if (now_s - begun_s_ < kSilent_s || (shown_ && now_s - told_s_ < kBetween_s)) return;
  const int width = (around_->terminal_columns > 0 ? around_->terminal_columns : 80) - 1;
  const std::string text = fmt::format("{} of {}: {}", done, of, safe_text(what));
  err_(fmt::format("\r\x1b[K{}", wrapped(text, std::max(width, 10)).front()));
  told_s_ = now_s;
  shown_ = true;
}

void ProgressLine::clear() {
  if (shown_) err_("\r\x1b[K");
  shown_ = false;
}

}  // namespace hosefit
