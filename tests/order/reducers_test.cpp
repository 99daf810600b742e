// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/order/reducers.h"

#include <catch2/catch.hpp>

#include "tests/support/sized_box_job.h"

using namespace hosefit;

namespace {

Reducer reducer(std::string id, ReducerKind kind, double wide_mm, double narrow_mm) {
  Reducer r;
  r.id = std::move(id);
  r.kind = kind;
  r.wide = Length::mm(wide_mm);
  r.narrow = Length::mm(narrow_mm);
  r.length = Length::mm(80);
  return r;
}

// The upper line's two necks of these outside diameters.
std::vector<ReducerNeed> needs(Job job, double from_mm, double to_mm) {
  Bay bay = assemble(job, BodyStore(job), {0, 0, 0, 0, 0, Length::mm(300)});
  bay.necks[bay.lines[0].from].outside_diameter = Length::mm(from_mm);
  bay.necks[bay.lines[0].to].outside_diameter = Length::mm(to_mm);
  return reducers_for(job, bay, 0);
}

Job with(std::vector<Reducer> reducers) {
  Job job = box_job::sized();
  job.reducers = std::move(reducers);
  return job;
}

}  // namespace

TEST_CASE("a line whose necks one hose suits needs no reducer") {
  CHECK(needs(with({}), 38, 38).empty());
  CHECK(needs(with({}), 38, 39).empty());  // 2.6 % over the bore of 38 mm: it pushes on
}

TEST_CASE("necks of one diameter that nothing on file suits want other hose, not a reducer") {
  CHECK(needs(with({}), 51, 51).empty());
}

TEST_CASE("two diameters ask for the stepped joiner that has both, whichever end is the wider") {
  const Job job = with({reducer("45 to 32", ReducerKind::stepped_joiner, 45, 32),
                        reducer("45 to 38", ReducerKind::stepped_joiner, 45, 38),
                        reducer("44.6 to 38.1", ReducerKind::stepped_joiner, 44.6, 38.1)});
  for (const bool wide_first : {true, false}) {
    const auto found = wide_first ? needs(job, 44.5, 38) : needs(job, 38, 44.5);
    REQUIRE(found.size() == 1);
    CHECK(found[0].from == Length::mm(wide_first ? 44.5 : 38));
    CHECK(found[0].to == Length::mm(wide_first ? 38 : 44.5));
    REQUIRE(found[0].item);
    CHECK(found[0].item->id == "44.6 to 38.1");  // 0.2 mm off both together; the other 0.5
  }
}

TEST_CASE("a joiner off by more than half a millimetre is not offered") {
  const auto found = needs(with({reducer("45 to 37", ReducerKind::stepped_joiner, 45, 37)}), 45, 38);
  REQUIRE(found.size() == 1);
  CHECK_FALSE(found[0].item);
}

TEST_CASE("a reducing hose must hold on both necks") {
  // Common practice, no source: 0.5 mm loose to 5 % tight holds.
  const Job job = with({reducer("hose", ReducerKind::reducing_hose, 45, 38)});
  CHECK(needs(job, 45, 38).at(0).item);
  CHECK(needs(job, 47, 38).at(0).item);        // 4.4 % over 45
  CHECK_FALSE(needs(job, 48, 38).at(0).item);  // 6.7 %: tight
  CHECK_FALSE(needs(job, 44, 38).at(0).item);  // 1 mm loose
}

TEST_CASE("stock set by the shop that does not go on a neck asks for that neck and its own bore") {
  Job job = with({reducer("45 to 38", ReducerKind::stepped_joiner, 45, 38)});
  job.vehicle.lines[0].stock = "straight 38";
  const auto found = needs(job, 38, 45);
  REQUIRE(found.size() == 1);
  CHECK(found[0].from == Length::mm(38));
  CHECK(found[0].to == Length::mm(45));
  REQUIRE(found[0].item);
  CHECK(needs(job, 32, 45).size() == 2);
  CHECK(needs(job, 38, 40.5).empty());  // 6.6 % over: tight, and it goes on
}

TEST_CASE("a line without a hose is told its reducer, and none is in the order") {
  Job job = with({reducer("45 to 38", ReducerKind::stepped_joiner, 45, 38)});
  for (Neck& neck : job.vehicle.necks)
    if (neck.name == "radiator.top") neck.outside_diameter = Length::mm(45);
  CandidateResult result = box_job::fitting(
      {box_job::route_over(job, 1, "tube 38", {{0, 0, 0}, {150, 0, 0}, {150, 200, 0}, {150, 200, 300}}, 57)});
  const std::vector<CutSheet> sheets = cut_sheets(job, result);
  REQUIRE(sheets[0].reducers.size() == 1);
  CHECK(sheets[0].reducers[0].item->id == "45 to 38");
  CHECK(sheets[0].standing == Standing::no_route);
  CHECK(sheets[1].reducers.empty());
}
