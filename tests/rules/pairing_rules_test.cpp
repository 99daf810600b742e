// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <catch2/catch.hpp>

#include "solver/rules/part_rules.h"
#include "tests/support/box_job.h"

using namespace hosefit;

namespace {

std::vector<Finding> pairing(const Job& job) {
  Candidate candidate;
  candidate.height = Length::mm(300);
  return pairing_findings(job, candidate, default_rule_limits());
}

std::optional<Finding> found(const std::vector<Finding>& findings, RuleId rule) {
  const auto it =
      std::find_if(findings.begin(), findings.end(), [&](const Finding& f) { return f.rule == rule; });
  return it == findings.end() ? std::nullopt : std::optional<Finding>(*it);
}

Finding belt_finding(double offset_mm, double span_mm) {
  Job job = box_job::make();
  job.family.drives[0].longest_span = Length::mm(span_mm);
  job.family.pumps[0].pulley_plane_mm.value = job.family.drives[0].belt_plane_mm.value + offset_mm;
  return *found(pairing(job), RuleId::belt_plane);
}

}  // namespace

TEST_CASE("an offset over a 300 mm span is the angle that the trade tables give") {
  // Offset over 300 mm: 0.25 deg 1.3 mm, 0.33 deg 1.7, 0.5 deg 2.6, 1 deg 5.2; derived by geometry, printed
  // to 0.1 mm.
  struct Row {
    double deg, offset_mm;
  };
  for (const Row row : {Row{0.25, 1.3}, Row{0.33, 1.7}, Row{0.5, 2.6}, Row{1.0, 5.2}}) {
    CAPTURE(row.deg);
    const double low = belt_angle(Length::mm(row.offset_mm - 0.05), Length::mm(300)).deg();
    const double high = belt_angle(Length::mm(row.offset_mm + 0.05), Length::mm(300)).deg();
    CHECK(low <= row.deg);
    CHECK(row.deg <= high);
  }
}

TEST_CASE("belts out of line by over a millimetre and a half stop a pump, whatever the span") {
  CHECK(belt_finding(1.49, 300).severity == Severity::note);
  const Finding far = belt_finding(-1.6, 300);
  CHECK(far.severity == Severity::stop);
  CHECK(*far.measured == Approx(1.6));
  CHECK(*far.margin == Approx(-0.1));
  CHECK_FALSE(is_sourced(*far.provenance));
}

TEST_CASE("on a short span the angle stops a pump before the offset does") {
  // 0.5 deg over 100 mm is 0.873 mm, 0.33 deg is 0.576 mm.
  CHECK(belt_finding(0.57, 100).severity == Severity::note);
  const Finding askew = belt_finding(0.7, 100);
  CHECK(askew.severity == Severity::flag);
  CHECK(*askew.limit == Approx(0.576).margin(0.001));
  CHECK(askew.provenance->source == Source::from_memory);
  const Finding stop = belt_finding(0.9, 100);
  CHECK(stop.severity == Severity::stop);
  CHECK(*stop.limit == Approx(0.873).margin(0.001));
  CHECK(stop.parameters.at("offset_deg") == "0.52");
}

TEST_CASE("the grooved side turns the pump as the crank turns and the back of the belt the other way") {
  for (const bool crank_clockwise : {true, false})
    for (const BeltContact contact : {BeltContact::grooved_side, BeltContact::back_side})
      for (const Rotation rotation : {Rotation::clockwise, Rotation::counterclockwise}) {
        CAPTURE(crank_clockwise, word(contact), word(rotation));
        Job job = box_job::make();
        job.family.engine.crank_clockwise = crank_clockwise;
        job.family.drives[0].pump_contact = contact;
        job.family.pumps[0].rotation = rotation;
        const bool pump_clockwise = rotation == Rotation::clockwise;
        const bool as_crank = pump_clockwise == crank_clockwise;
        const bool right = contact == BeltContact::grooved_side ? as_crank : !as_crank;
        CHECK(found(pairing(job), RuleId::rotation).has_value() != right);
      }
}

TEST_CASE("a housing of another flange or for the other port does not go on the pump") {
  Job job = box_job::make();
  CHECK_FALSE(found(pairing(job), RuleId::flange_mismatch));
  CHECK_FALSE(found(pairing(job), RuleId::seat_mismatch));
  job.family.housings[0].flange = "three bolts";
  job.family.housings[0].places = {SeatPlace::inlet};
  CHECK(found(pairing(job), RuleId::flange_mismatch)->severity == Severity::stop);
  CHECK(found(pairing(job), RuleId::seat_mismatch)->severity == Severity::stop);
}
