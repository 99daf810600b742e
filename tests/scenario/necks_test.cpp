// SPDX-License-Identifier: GPL-3.0-or-later
// The pickup's radiator, if it were still to be ordered: with the top neck where its maker puts it on wish, a
// pump fits that does not as the vehicle stands. Its data is invented.
#include "solver/paper/radiator_matter.h"
#include "solver/report/reasons.h"
#include "solver/report/text.h"
#include "tests/scenario/bundled.h"

using namespace hosefit;

namespace {

Job with_top_neck_to_choose(double from_mm = -300, double to_mm = 0, double step_mm = 150) {
  Job job = bundled_job("harrow_half_ton");
  Neck& neck = job.vehicle.necks.front();
  REQUIRE(neck.name == "radiator.top");
  neck.choice = NeckChoice{{"top neck root"},
                           {{Vec3::UnitY(), Length::mm(from_mm), Length::mm(to_mm), Length::mm(step_mm)}},
                           std::nullopt};
  return job;
}

}  // namespace

TEST_CASE("in the pickup a pump that is undecided fits with the radiator's top neck further left") {
  const double height_mm = 318;
  const Prepared as_it_stands(bundled_job("harrow_half_ton"));
  CHECK(best_of(as_it_stands, "low left", height_mm).verdict.fit == Fit::undecided);

  const Prepared to_order(with_top_neck_to_choose());
  const CandidateResult result = best_of(to_order, "low left", height_mm);
  REQUIRE(result.verdict.fit == Fit::fits);
  REQUIRE(result.necks.size() == 1);
  CHECK(result.necks[0].place.slid == std::vector<Length>{Length::mm(-150)});
  for (const LineProof& line : result.proof.lines) CHECK(line.proved);
  REQUIRE(result.motion);
  for (const MotionLine& line : result.motion->lines) CHECK(line.proved);
}

// The 24 nearest places do not do, and each takes long to search.
TEST_CASE("in the pickup a place for the neck is found among four hundred") {
  const Prepared to_order(with_top_neck_to_choose(-200, 199, 1));
  const CandidateResult result = best_of(to_order, "low left", 318);
  REQUIRE(result.verdict.fit == Fit::fits);
  CHECK(result.necks.at(0).place.slid[0] < Length::mm(-24));
}

TEST_CASE("a pump that fits the pickup as it stands keeps its hoses when necks may be chosen") {
  const Prepared as_it_stands(bundled_job("harrow_half_ton"));
  const Prepared to_order(with_top_neck_to_choose());
  const CandidateResult written = best_of(as_it_stands, "long left", 316);
  const CandidateResult chosen = best_of(to_order, "long left", 316);
  REQUIRE(written.verdict.fit == Fit::fits);
  CHECK(chosen.verdict.fit == Fit::fits);
  CHECK(chosen.candidate == written.candidate);
  CHECK(chosen.comparison.length_mm == written.comparison.length_mm);
  CHECK(chosen.comparison.least_spare_mm == written.comparison.least_spare_mm);
}

TEST_CASE("with necks to choose the same answer comes from any number of threads") {
  const Prepared to_order(with_top_neck_to_choose());
  const Choice one = choice_at(to_order, 318, 1), four = choice_at(to_order, 318, 4);
  REQUIRE(one.candidates.size() == four.candidates.size());
  bool any_moved = false;
  for (std::size_t i = 0; i < one.candidates.size(); ++i) {
    CHECK(one.candidates[i].candidate == four.candidates[i].candidate);
    CHECK(one.candidates[i].verdict.fit == four.candidates[i].verdict.fit);
    CHECK(one.candidates[i].comparison.length_mm == four.candidates[i].comparison.length_mm);
    any_moved = any_moved || !one.candidates[i].candidate.neck_places.empty();
  }
  CHECK(any_moved);
}

TEST_CASE("a pump that needs a neck moved never reads as one that fits as the vehicle stands") {
  const Prepared to_order(with_top_neck_to_choose());
  Query query = question_of(to_order.job());
  query.height = Length::mm(318);
  query.pumps = {pump_named(to_order.job(), "low left")};
  const Choice choice = decide(to_order, query, Budget{}, {}, {});
  REQUIRE(choice.ranking.size() == 1);
  const CandidateResult& result = choice.candidates[choice.ranking[0].best];
  REQUIRE(result.verdict.fit == Fit::fits);
  CHECK(names_of_moved_necks(result) == "radiator.top");
  CHECK(binding_words(result, {}).starts_with("radiator.top elsewhere; least spare "));

  TextLook look;
  look.width = 400;
  look.unit = LengthUnit::mm;
  const std::string text = pick_text(to_order.job(), choice, {}, look);
  const std::size_t taken = text.find("Take pump low left"), first = text.find("First of all: radiator.top");
  REQUIRE(taken != std::string::npos);
  REQUIRE(first != std::string::npos);
  CHECK(text.substr(text.find('\n', taken) + 1).starts_with("First of all: "));
  CHECK(text.find("150.0 mm to the left") != std::string::npos);

  const Result<RadiatorMatter> drawn = radiator_matter(to_order.job(), result);
  REQUIRE(drawn);
  CHECK(drawn->necks.at(0).moved);
  CHECK((drawn->necks.at(0).end_mm - Vec3(285, 450, 58)).norm() < 1e-9);
  CHECK_FALSE(drawn->necks.at(1).moved);
}
