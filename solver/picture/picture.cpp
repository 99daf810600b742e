// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/picture/picture.h"

#include <fmt/format.h>

#include "solver/picture/views.h"
#include "solver/report/reasons.h"

namespace hosefit {
namespace {

constexpr double kMargin = 26;  // around the drawing, in sheet units

std::string side_words(Side side) {
  switch (side) {
    case Side::front:
    case Side::rear:
    case Side::left:
    case Side::right:
      return fmt::format("seen from the {}", word(side));
    case Side::top:
      return "seen from above";
    case Side::bottom:
      return "seen from below";
    case Side::three_quarter:
      return "seen from the front left and above";
  }
  return {};
}

}  // namespace

Caption caption_of(const Job& job, const CandidateResult& result, LengthUnit unit) {
  const Candidate& c = result.candidate;
  const std::optional<Bay> bay = bay_of(job, result);
  const WordsContext context{unit, bay ? &*bay : nullptr};
  Caption out;
  out.vehicle = safe_text(job.vehicle.name);
  out.question = fmt::format("intake {} at {}", safe_text(job.family.intakes[c.intake].name),
                             length_words(c.height, unit));
  const std::vector<std::string> parts = parts_words(job.family, c);
  out.parts = fmt::format("pump {}, drive {}, housing {}", safe_text(job.family.pumps[c.pump].name), parts[0],
                          parts[1]);
  const bool fits = result.verdict.fit == Fit::fits;
  out.verdict = fits ? "Fits, proved at rest and in motion" : "Verdict: " + verdict_words(result);
  if (const std::string moved = names_of_moved_necks(result); fits && !moved.empty())
    out.verdict += fmt::format(", with {} ordered elsewhere than written", moved);
  const auto tightest = tightest_gap(result);
  out.decides = fits && tightest
                    ? fmt::format("Tightest: {}, {}", safe_text(job.vehicle.lines[tightest->line].name),
                                  gap_words(*tightest->gap, unit))
                    : "What binds: " + binding_words(result, context);
  return out;
}

std::optional<Picture> picture_of(const Scene& scene, const Caption& caption, const PictureOptions& options) {
  if (scene.items.empty()) return std::nullopt;
  const Sheet sheet = sheet_of(options.size);
  const double margin = kMargin * sheet.unit;
  const PixelBox box{sheet.drawing.left + margin, sheet.drawing.top + margin, sheet.drawing.right - margin,
                     sheet.drawing.bottom - margin};
  const std::optional<View> view =
      options.side ? std::optional(view_from(scene, *options.side, box)) : close_up(scene, box);
  if (!view) return std::nullopt;
  const Rendering rendering = render(scene, *view, options.size, options.threads);
  Drawing drawing(rendering.image);
  AnnotateOptions words;
  words.seen_from = options.side ? side_words(*options.side) : "close up of what binds";
  words.unit = options.unit;
  words.close = !options.side;
  Picture out;
  out.notes = annotate(drawing, scene, *view, rendering, caption, words);
  out.image = drawing.image();
  out.png = drawing.png();
  out.camera = view->camera;
  return out;
}

std::optional<Picture> picture_of(const Prepared& prepared, const CandidateResult& result,
                                  const PictureOptions& options) {
  const std::optional<Bay> bay = bay_of(prepared.job(), prepared.bodies(), result);
  if (!bay) return std::nullopt;
  return picture_of(scene_of(prepared, *bay, result), caption_of(prepared.job(), result, options.unit),
                    options);
}

}  // namespace hosefit
