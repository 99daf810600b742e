// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <cmath>

#include "solver/input/tape_words.h"
#include "solver/report/tape_report.h"
#include "solver/report/words.h"

namespace hosefit {
namespace {

std::string figure(double mm, LengthUnit unit) {
  return length_words(Length::mm(mm), unit);
}

void points(Page& page, const TapeSurvey& survey) {
  const LengthUnit unit = page.look().unit;
  std::vector<std::vector<Cell>> rows;
  for (const std::size_t p : points_by_accuracy(survey.solution)) {
    const TapePlace& place = survey.solution.places[p];
    const bool unchecked = is_unchecked(survey, p);
    rows.push_back({{{survey.network.points[p].name}},
                    {{fmt::format("x {}, y {}, z {}", figure(place.at_mm.x(), unit),
                                  figure(place.at_mm.y(), unit), figure(place.at_mm.z(), unit))}},
                    {{figure(place.accuracy_mm, unit)}},
                    {{unchecked ? "nothing: a slip in any of its tapes goes unseen; add one to another datum"
                                : "its own tapes to spare"},
                     unchecked ? Tint::doubtful : Tint::none}});
  }
  page.table({"point", "worked out to be at", "within", "checked by"}, rows, 2);
}

std::string agreement(const TapeResidual& r, LengthUnit unit) {
  if (!r.studentised) return "nothing checks it";
  const std::string seen = fmt::format("a slip of {} would show", figure(r.seen_from_mm, unit));
  if (std::abs(*r.studentised) <= kDoubtful) return fmt::format("agrees; {}", seen);
  return fmt::format("doubtful, worth a second look: alone wrong it would read {} too {}; {}",
                     figure(std::abs(r.slip_mm), unit), r.slip_mm > 0 ? "much" : "little", seen);
}

void readings(Page& page, const TapeSurvey& survey) {
  const LengthUnit unit = page.look().unit;
  std::vector<std::vector<Cell>> rows;
  for (const std::size_t i : readings_by_misfit(survey.solution)) {
    const TapeResidual& r = survey.solution.residuals[i];
    const bool fine = r.studentised && std::abs(*r.studentised) <= kDoubtful;
    rows.push_back(
        {{{reading_words(survey.network, i)}},
         {{figure(survey.network.readings[i].reads_mm, unit)}},
         {{fmt::format("{} ({:.1f} times its accuracy)", figure(r.off_mm, unit), r.times_accuracy + 0.0)}},
         {{agreement(r, unit)}, fine ? Tint::none : Tint::doubtful}});
  }
  page.table({"reading", "reads", "off by", "against the others"}, rows, 2);
}

}  // namespace

void tape_text(Page& page, const TapeSurvey& survey) {
  if (survey.network.points.empty()) return;
  page.heading("Tape");
  points(page, survey);
  page.blank();
  readings(page, survey);
  page.blank();
  page.line(
      "Within: twice the standard deviation in the worst direction, from the accuracies stated for tapes and "
      "datums. Off by: what is read less what the places found give.",
      2, 0);
}

}  // namespace hosefit
