// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/input/check_report.h"

#include <catch2/catch.hpp>

#include "tests/input/edited_job.h"

namespace hosefit::test {
namespace {

Job job_of(const Files& files) {
  const ScratchFolder scratch;
  auto job = load_from(scratch, files);
  if (!job) FAIL(format_problems(job.problems()));
  return *std::move(job);
}
std::optional<int> rank_of(const std::vector<ReviewEntry>& list, std::string_view what) {
  for (const ReviewEntry& e : list)
    if (e.what == what) return e.rank;
  return std::nullopt;
}
constexpr const char* kVehicle = "vehicles/tiny/vehicle.yaml";

}  // namespace

TEST_CASE("what was measured and what was not stand in different lists, numbered from one") {
  const InputReview r = review(job_of(good_files()));
  CHECK(rank_of(r.measured, "place of the engine") == 1);
  CHECK(rank_of(r.measured, "place of the neck radiator.top"));
  CHECK(rank_of(r.assumed, "place of the neck pump.inlet of pump long nose"));
  CHECK_FALSE(rank_of(r.measured, "place of the neck pump.inlet of pump long nose"));
  CHECK_FALSE(rank_of(r.measured, "place of the neck heater.return"));  // ends no line
  CHECK(r.missing.empty());
  for (const auto* list : {&r.measured, &r.assumed})
    for (std::size_t i = 0; i < list->size(); ++i) CHECK((*list)[i].rank == static_cast<int>(i) + 1);
}

TEST_CASE("an assumed neck of a wide line matters more than one of a narrow line") {
  const InputReview r = review(job_of(good_files()));
  const auto wide = rank_of(r.assumed, "place of the neck pump.inlet of pump long nose");
  Files files = good_files();
  replace_once(files.at("pumps/small/pumps.yaml"), ", measured: caliper, accuracy: 0.02}", "}");
  const InputReview both = review(job_of(files));
  const auto narrow = rank_of(both.assumed, "place of the neck pump.heater_feed of pump long nose");
  REQUIRE(wide);
  REQUIRE(narrow);
  CHECK(*rank_of(both.assumed, "place of the neck pump.inlet of pump long nose") < *narrow);
}

TEST_CASE("an engine whose place nobody measured comes first, and measuring it is the first advice") {
  Files files = good_files();
  replace_once(files.at(kVehicle), "measured: jig, accuracy: 2.5", "measured: assumed");
  const InputReview r = review(job_of(files));
  CHECK(rank_of(r.assumed, "place of the engine") == 1);
  REQUIRE_FALSE(r.advice.empty());
  CHECK(r.advice[0].starts_with("Measure the place of the engine"));
}

TEST_CASE("what is not there is told with what to do about it") {
  Files files = good_files();
  std::string& v = files.at(kVehicle);
  replace_once(
      v, "known_space:\n  - {box: {min: [-500, -600, -100], max: [1000, 600, 800]}, looked_behind: false}\n",
      "");
  replace_once(v, "hazard: steering", "hazard: smooth_metal");
  const auto hood = v.find("hood:\n");
  v.erase(hood, v.find("fan:\n") - hood);
  const InputReview r = review(job_of(files));
  CHECK(rank_of(r.missing, "known_space") == 1);
  CHECK(rank_of(r.missing, "hood") == 2);
  CHECK(rank_of(r.missing, "steering") == 3);
  CHECK(r.advice.size() == 5);
  CHECK(r.advice[0].find("known_space") != std::string::npos);
}

TEST_CASE("an obstacle nobody measured matters the more the nearer it is to a neck") {
  Files files = good_files();
  replace_once(files.at(kVehicle), "measured: tape\nname", "name");
  const InputReview r = review(job_of(files));
  const auto tank = rank_of(r.assumed, "place of top tank (chassis)");
  const auto ball = rank_of(r.assumed, "place of washer ball (chassis)");
  REQUIRE(tank);
  REQUIRE(ball);
  CHECK(*tank < *ball);
}

TEST_CASE("a review of the same job is the same") {
  const Job job = job_of(good_files());
  const InputReview a = review(job), b = review(job);
  CHECK(a.measured == b.measured);
  CHECK(a.assumed == b.assumed);
  CHECK(a.advice == b.advice);
}

}  // namespace hosefit::test
