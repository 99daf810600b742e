// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/input/check_report.h"
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
                 {"missing", review_json(found.missing)},
                 {"assumed", review_json(found.assumed)},
                 {"measured", review_json(found.measured)}});
}

}  // namespace hosefit
