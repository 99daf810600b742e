// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include "solver/picture/picture.h"
#include "solver/sheet/sections.h"

namespace hosefit {
namespace {

constexpr Size kLarge{1100, 700}, kSmall{480, 300};

// A place that decides may be missing; the whole bay is shown then.
std::optional<Picture> close_or_whole(const Prepared& prepared, const CandidateResult& result,
                                      PictureOptions options) {
  options.side = std::nullopt;
  if (auto close = picture_of(prepared, result, options)) return close;
  options.side = Side::three_quarter;
  return picture_of(prepared, result, options);
}

// What the picture tells those who do not see it: the answer, what decides, and every line's spare gap.
std::string alt_words(const Job& job, const CandidateResult& result, LengthUnit unit, std::string_view what) {
  const Caption caption = caption_of(job, result, unit);
  std::string out =
      fmt::format("{} {}. {}. {}.", what, caption.parts, caption.verdict,
                  result.verdict.fit == Fit::fits ? caption.decides : binding_sentence(job, result, unit));
  for (std::size_t i = 0; i < job.vehicle.lines.size(); ++i)
    if (const GapRecord* gap = proved_tightest(result, i))
      out += fmt::format(" {}: {}.", safe_text(job.vehicle.lines[i].name), both_gap_words(*gap));
  return out;
}

std::optional<SheetPicture> told(const Job& job, const CandidateResult& result,
                                 std::optional<Picture> picture, const PictureOptions& options,
                                 std::string_view what) {
  if (!picture) return std::nullopt;
  SheetPicture out;
  out.png = std::move(picture->png);
  out.width_px = options.size.width;
  out.height_px = options.size.height;
  out.large = options.size.width == kLarge.width;
  out.alt = alt_words(job, result, options.unit, what);
  return out;
}

}  // namespace

SheetPictures sheet_pictures(const Prepared& prepared, const Choice& choice, const SheetQuestion& question,
                             LengthUnit unit, Threads threads) {
  const Job& job = prepared.job();
  const CandidateResult& chosen = choice.candidates[question.chosen];
  PictureOptions options;
  options.unit = unit;
  options.threads = threads;
  options.size = kLarge;
  SheetPictures out;
  out.whole = told(job, chosen, picture_of(prepared, chosen, options), options,
                   "The bay with the hoses, seen from the front left and above.");
  if (out.whole) out.whole->caption = "The bay from the front left and above.";
  options.side = std::nullopt;
  out.close =
      told(job, chosen, picture_of(prepared, chosen, options), options, "Near to the place that decides.");
  if (out.close) out.close->caption = "Near to the place that decides; what stands before it is cut away.";
  options.size = kSmall;
  for (const PumpAnswer& answer : choice.ranking) {
    if (answer.pump == chosen.candidate.pump) continue;
    const CandidateResult& other = choice.candidates[answer.best];
    out.others.push_back({answer.best, told(job, other, close_or_whole(prepared, other, options), options,
                                            "Near to what binds.")});
  }
  return out;
}

}  // namespace hosefit
