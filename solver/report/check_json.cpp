// SPDX-License-Identifier: GPL-3.0-or-later
#include <cmath>

#include "solver/input/check_report.h"
#include "solver/input/tape_words.h"
#include "solver/report/json.h"
#include "solver/report/json_values.h"

namespace hosefit {
namespace {

constexpr int kCheckVersion = 1;

Json problems_json(const Problems& problems) {
  Json out = Json::array();
  for (const Problem& problem : problems)
    out.push_back({{"file", problem.place.file},
                   {"line", problem.place.line},
                   {"column", problem.place.column},
                   {"path", problem.path},
                   {"text", problem.text}});
  return out;
}

Json review_json(const std::vector<ReviewEntry>& entries) {
  Json out = Json::array();
  for (const ReviewEntry& entry : entries)
    out.push_back({{"what", entry.what},
                   {"method", word(entry.method)},
                   {"accuracy_mm", entry.accuracy ? number(entry.accuracy->mm()) : Json()},
                   {"why", entry.why}});
  return out;
}

Json tape_point_json(const TapeSurvey& survey, std::size_t point) {
  const TapePlace& found = survey.solution.places[point];
  return {{"name", survey.network.points[point].name},
          {"at", place(found.at_mm)},
          {"accuracy_mm", number(found.accuracy_mm)},
          {"checked", !is_unchecked(survey, point)}};
}

Json tape_reading_json(const TapeSurvey& survey, std::size_t reading) {
  const TapeNetwork& net = survey.network;
  const TapeReading& r = net.readings[reading];
  const TapeResidual& off = survey.solution.residuals[reading];
  const auto if_checked = [&](double value) { return off.studentised ? number(value) : Json(); };
  return {{"kind", r.kind == TapeKind::drop ? "drop" : "tape"},
          {"point", net.points[r.point].name},
          {"to", r.to.datum ? net.datums[r.to.index].name : net.points[r.to.index].name},
          {"reads_mm", number(r.reads_mm)},
          {"accuracy_mm", number(r.accuracy_mm)},
          {"off_mm", number(off.off_mm)},
          {"times_accuracy", number(off.times_accuracy)},
          {"studentised", number(off.studentised)},
          {"slip_mm", if_checked(off.slip_mm)},
          {"seen_from_mm", if_checked(off.seen_from_mm)},
          {"doubtful", off.studentised && std::abs(*off.studentised) > kDoubtful}};
}

Json tape_json(const TapeSurvey& survey) {
  Json points = Json::array(), readings = Json::array();
  for (const std::size_t p : points_by_accuracy(survey.solution))
    points.push_back(tape_point_json(survey, p));
  for (const std::size_t i : readings_by_misfit(survey.solution))
    readings.push_back(tape_reading_json(survey, i));
  return {{"points", std::move(points)}, {"readings", std::move(readings)}};
}

}  // namespace

std::string check_json(const Problems& problems, const std::string& version) {
  return dumped({{"hosefit_check", kCheckVersion},
                 {"program", version},
                 {"sound", false},
                 {"input_fingerprint", nullptr},
                 {"problems", problems_json(problems)}});
}

std::string check_json(const Job& job, const std::string& version) {
  const InputReview found = review(job);
  return dumped({{"hosefit_check", kCheckVersion},
                 {"program", version},
                 {"sound", true},
                 {"input_fingerprint", job.input_fingerprint},
                 {"problems", Json::array()},
                 {"advice", found.advice},
                 {"meshes", found.scans},
                 {"tape", tape_json(job.vehicle.tape)},
                 {"missing", review_json(found.missing)},
                 {"assumed", review_json(found.assumed)},
                 {"measured", review_json(found.measured)}});
}

}  // namespace hosefit
