// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <catch2/catch.hpp>

#include "solver/input/check_report.h"
#include "solver/input/tape_words.h"
#include "tests/input/edited_job.h"

namespace hosefit::test {
namespace {

constexpr const char* kVehicle = "vehicles/tiny/vehicle.yaml";

Job job_of(const Files& files) {
  const ScratchFolder scratch;
  for (const auto& [name, bytes] : files) write_file(scratch.path() / name, bytes);
  auto job = load_job(paths_in(scratch.path()));
  if (!job) FAIL(format_problems(job.problems()));
  return *std::move(job);
}
const Neck& neck_of(const Job& job, std::string_view name) {
  for (const Neck& n : job.vehicle.necks)
    if (n.name == name) return n;
  throw std::runtime_error("no such neck");
}
const Obstacle& obstacle_of(const Job& job, std::string_view name) {
  for (const Obstacle& o : job.vehicle.chassis->obstacles)
    if (o.name == name) return o;
  throw std::runtime_error("no such obstacle");
}

}  // namespace

TEST_CASE("a taped neck stands where its tapes put it, and is known as well as they are") {
  // The datums stand off the neck by (300, 400, 0), (600, 0, 250), (0, 180, 240) and (200, 100, 200): whole
  // distances.
  const Job job = job_of(good_files());
  const Measured<Vec3>& end = neck_of(job, "heater.return").end_mm;
  CHECK((end.value - Vec3(900, 240, 500)).norm() < 0.002);
  CHECK(end.method == MeasuredBy::tape);
  CHECK(end.accuracy.mm() == job.vehicle.tape.solution.places[0].accuracy_mm);
  CHECK(end.accuracy > Length::mm(2));
  CHECK(end.accuracy < Length::mm(12));
}

TEST_CASE("an obstacle with a taped point is known no better than that point") {
  const Job job = job_of(good_files());
  const Obstacle& shaft = obstacle_of(job, "steering shaft");
  CHECK((std::get<ConeShape>(shaft.shape).a_mm - Vec3(0, -400, 0)).norm() < 0.003);
  CHECK(shaft.accuracy.mm() >= job.vehicle.tape.solution.places[1].accuracy_mm);
  Files rough = good_files();
  replace_once(rough.at(kVehicle), "tape:\n  accuracy: 3", "tape:\n  accuracy: 9");
  const Job loose = job_of(rough);
  CHECK(loose.vehicle.tape.solution.places[1].accuracy_mm > 9);
  CHECK(obstacle_of(loose, "steering shaft").accuracy.mm() ==
        loose.vehicle.tape.solution.places[1].accuracy_mm);
}

TEST_CASE("tapes may read inches and fractions") {
  Files files = good_files();
  replace_once(files.at(kVehicle), "{to: left bolt, reads: 500}", "{to: left bolt, reads: 19-11/16 in}");
  const Job job = job_of(files);
  CHECK(job.vehicle.tape.network.readings[0].reads_mm == Approx(500.0625));
}

TEST_CASE("check puts the worst tape first and those that nothing checks last") {
  Files files = good_files();
  replace_once(files.at(kVehicle), "{to: rail corner, reads: 650}", "{to: rail corner, reads: 654}");
  replace_once(files.at(kVehicle), ", {to: heater end, reads: 1212.2706, accuracy: 6}", "");
  const Job job = job_of(files);
  const TapeSurvey& tape = job.vehicle.tape;
  const std::vector<std::size_t> order = readings_by_misfit(tape.solution);
  REQUIRE(order.size() == 7);
  CHECK(reading_words(tape.network, order[6]) == "drop from \"shaft foot\" to \"floor\"");
  CHECK(!tape.solution.residuals[order[6]].studentised);
  CHECK(tape.solution.residuals[order[0]].studentised);
  CHECK_FALSE(is_unchecked(tape, 0));
  CHECK(is_unchecked(tape, 1));
}

TEST_CASE("a point that three tapes fix is told as wanting one more") {
  const auto wants = [](const Job& job) {
    const InputReview found = review(job);
    return std::any_of(found.missing.begin(), found.missing.end(), [](const ReviewEntry& entry) {
      return entry.what == "a tape to spare at shaft foot";
    });
  };
  Files files = good_files();
  CHECK_FALSE(wants(job_of(files)));
  replace_once(files.at(kVehicle), ", {to: heater end, reads: 1212.2706, accuracy: 6}", "");
  CHECK(wants(job_of(files)));
}

TEST_CASE("an obstacle with a taped point is told within the accuracy of that point at least") {
  Files files = good_files();
  replace_once(files.at(kVehicle), "tape:\n  accuracy: 3", "tape:\n  accuracy: 9");
  const Job job = job_of(files);
  const InputReview found = review(job);
  std::size_t told = 0;
  for (const std::vector<ReviewEntry>* list : {&found.measured, &found.assumed})
    for (const ReviewEntry& entry : *list) {
      if (entry.what != "place of steering shaft (chassis)") continue;
      ++told;
      REQUIRE(entry.accuracy);
      CHECK(entry.accuracy->mm() >= job.vehicle.tape.solution.places[1].accuracy_mm);
    }
  CHECK(told == 1);
}

}  // namespace hosefit::test
