// SPDX-License-Identifier: GPL-3.0-or-later
// Clamps at necks, joiners and tube ends: both proofs put them in the same place and find the same room.
#include <functional>
#include <nlohmann/json.hpp>
#include <numbers>

#include "solver/recheck/clamp_places.h"
#include "solver/recheck/line_checks.h"
#include "solver/recheck/recheck.h"
#include "tests/recheck/recorded.h"

using namespace hosefit;
using nlohmann::json;

namespace {

// A set with elbows on joiners, bent tubes in couplers and a plain hose.
const Recorded& coupe() {
  static const Recorded recorded("linnet_coupe", {{"left outlet", 290}}, [](Job& job) {
    job.motion = {};  // tubes between engine and radiator hold at rest only
    for (std::size_t line = 0; line < 4; ++line)
      job.vehicle.lines[line].makes = {line < 2 ? Make::bent_tube : Make::elbows_and_straights};
  });
  return recorded;
}

recheck::Report rechecked(const json& record) {
  const Result<recheck::Record> read = recheck::read_record("proof.json", record.dump());
  REQUIRE(read);
  return recheck::recheck_record(coupe().job("linnet_coupe"), *read, recheck::Asked::at_rest);
}

// The line of the record that is made of the given number of pieces.
json& line_of(json& record, std::size_t pieces) {
  for (json& line : record["candidates"][0]["lines"])
    if (line["pieces"].size() == pieces) return line;
  FAIL("no line of " << pieces << " pieces");
  return record;
}

// So that there are joiners.
void without_moulded(Job& job) {
  for (Line& line : job.vehicle.lines)
    std::erase_if(line.makes, [](Make make) { return make == Make::moulded_shape; });
}

void compare_places(const std::string& vehicle, const std::string& pump, double height_mm, int& inside,
                    const std::function<void(Job&)>& change = without_moulded) {
  const Recorded recorded(vehicle, {{pump, height_mm}}, change);
  const recheck::Job job = recorded.job(vehicle);
  const recheck::Record record = recorded.record();
  std::vector<recheck::Fault> faults;
  const recheck::Bay bay =
      recheck::place(job, recheck::choose(job, record.candidates[0], faults), record.candidates[0], faults);
  REQUIRE(faults.empty());
  std::vector<recheck::Tube> tubes;
  for (std::size_t i = 0; i < record.candidates[0].lines.size(); ++i) {
    const recheck::RecordedLine& line = record.candidates[0].lines[i];
    const auto stock = std::find_if(job.stock.begin(), job.stock.end(),
                                    [&](const recheck::Stock& s) { return s.id == line.stock; });
    REQUIRE(stock != job.stock.end());
    tubes.push_back(recheck::tube_of(bay, i, line, *stock));
  }
  for (std::size_t i = 0; i < tubes.size(); ++i) {
    const LineProof& first = recorded.choice.candidates[0].proof.lines[i];
    const recheck::ClampPlaces places = recheck::clamp_places(bay, tubes[i]);
    CHECK(places.faults.empty());
    REQUIRE(places.list.size() == first.clamps.size());
    for (std::size_t k = 0; k < places.list.size(); ++k) {
      const recheck::ClampPlace& place = places.list[k];
      const ClampRecord& clamp = first.clamps[k];
      INFO(vehicle << ", line " << i << ", clamp " << k << " " << place.where);
      CHECK(place.neck == clamp.neck);
      CHECK(place.piece == clamp.piece);
      CHECK(place.at_start == clamp.at_start);
      CHECK(place.from_end_mm == Approx(clamp.from_end_mm).margin(1e-6));
      const recheck::StraightPiece housing = recheck::housing_at(place, clamp.clock_rad);
      CHECK((housing.from_mm - clamp.housing.from_mm).norm() < 1e-6);
      CHECK((housing.to_mm - clamp.housing.to_mm).norm() < 1e-6);
      inside += !place.neck;
    }
  }
}

}  // namespace

TEST_CASE("both proofs put the housing of every clamp in the same place, in runs as on necks", "[whole]") {
  int inside = 0;
  compare_places("linnet_coupe", "left outlet", 290, inside);
  compare_places("linnet_coupe", "low left", 290, inside);
  compare_places("harrow_half_ton", "long left", 318, inside);
  CHECK(inside > 20);
  compare_places("harrow_half_ton", "long left", 318, inside, {});
}

TEST_CASE("a band sits where there is hose behind it and none of the bead zone under it") {
  // Common practice, no source: 6 mm of bead zone, at least 3 mm of hose behind the band; SAE J1508 type F
  // bands are 13.5 mm wide and narrow ones 9 mm.
  const auto from_end = [](double engagement_mm) {
    recheck::Bay bay;
    recheck::Line line;
    bay.necks.resize(2);
    bay.lines.push_back({&line, 0, 1});
    recheck::RecordedLine recorded;
    recorded.engagement_from_mm = recorded.engagement_to_mm = engagement_mm;
    recheck::Stock stock;
    recheck::Tube tube;
    tube.recorded = &recorded;
    tube.stock = &stock;
    return recheck::clamp_places(bay, tube).list.front().from_end_mm;
  };
  for (double engagement = 18; engagement < 80; engagement += 0.5) {
    const double band = engagement >= 22.5 ? 13.5 : 9.0;
    INFO(engagement << " mm over the neck");
    CHECK(from_end(engagement) - band / 2 >= 3 - 1e-9);
    CHECK(from_end(engagement) + band / 2 <= engagement - 6 + 1e-9);
  }
  CHECK(from_end(12) == Approx(6));  // no band has room
}

TEST_CASE("every kind of false clamp and of pieces that do not go together is refuted with its sentence") {
  using Tamper = std::function<void(json&)>;
  const std::vector<std::pair<std::string, Tamper>> ways{
      {"the record tells no clamp at pump.outlet", [](json& r) { line_of(r, 3)["clamps"].erase(0); }},
      {"the record tells no clamp at 32.5 mm along", [](json& r) { line_of(r, 3)["clamps"].erase(1); }},
      {"the record tells 3 clamps, the line has 2",
       [](json& r) { line_of(r, 1)["clamps"].push_back(line_of(r, 1)["clamps"][0]); }},
      {"mm from the hose's end, it belongs at 14.50 mm",
       [](json& r) { line_of(r, 3)["clamps"][1]["from_end_mm"] = 13; }},
      {"the record tells 19.00 mm to spare for the clamp at tank.vent, the recheck finds",
       [](json& r) { line_of(r, 1)["clamps"][1]["spare_mm"] = 19; }},
      {"are not hose and what it is pushed over in turn",
       [](json& r) { std::swap(line_of(r, 7)["pieces"][0], line_of(r, 7)["pieces"][1]); }},
      {"end on no hose", [](json& r) { line_of(r, 7)["pieces"].erase(6); }},
      {"is not straight there",
       [](json& r) {
         json& pieces = line_of(r, 7)["pieces"];
         pieces[0]["cut_mm"] = pieces[0]["cut_mm"].get<double>() + 30;
         pieces[2]["cut_mm"] = pieces[2]["cut_mm"].get<double>() - 30;
       }},
      {"mm over the joiner at", [](json& r) { line_of(r, 7)["pieces"][1]["cut_mm"] = 40; }},
      {"mm between two hose ends",
       [](json& r) {
         json& cut = line_of(r, 7)["pieces"][6]["cut_mm"];
         cut = cut.get<double>() - 60;
       }},
  };
  CHECK(rechecked(json::parse(coupe().text)).answer == recheck::Answer::confirmed);
  for (const auto& [sentence, tamper] : ways) {
    json record = json::parse(coupe().text);
    tamper(record);
    const recheck::Report report = rechecked(record);
    INFO("wanted: " << sentence << "\n" << recheck::tell(report));
    CHECK(report.answer == recheck::Answer::refuted);
    CHECK(recheck::tell(report).find(sentence) != std::string::npos);
  }
}

TEST_CASE("a clamp is measured at the clock that the record names, in the run as on a neck", "[whole]") {
  int neck_confirmed = 0, neck_refuted = 0, inside_refuted = 0;
  const std::size_t lines = json::parse(coupe().text)["candidates"][0]["lines"].size();
  for (std::size_t line = 0; line < lines; ++line)
    for (std::size_t clamp = 0; clamp < 2; ++clamp)
      for (int clock = 0; clock < 12; ++clock) {
        json record = json::parse(coupe().text);
        json& changed = record["candidates"][0]["lines"][line]["clamps"][clamp];
        changed["clock_rad"] = clock * std::numbers::pi / 6;
        const recheck::Report report = rechecked(record);
        const std::string told = recheck::tell(report);
        const bool blocked = told.find("- the clamp at") != std::string::npos;
        if (blocked) CHECK(report.answer == recheck::Answer::refuted);
        const bool on_neck = changed.contains("neck");
        if (on_neck) (report.answer == recheck::Answer::confirmed ? neck_confirmed : neck_refuted) += 1;
        if (!on_neck && report.answer == recheck::Answer::refuted) ++inside_refuted;
      }
  CHECK(neck_confirmed > 5);
  CHECK(neck_refuted > 0);
  CHECK(inside_refuted > 0);
}

TEST_CASE("two housings that touch are refuted, on one line as on two") {
  // Two straight lines side by side, 40 mm apart, whose necks look along +X: with the clocks towards each
  // other 35 mm housings of 20 mm, 13.5 mm off their axes and more, cross; turned away they do not.
  recheck::Gaps gaps;
  gaps.set("clamp", "another_hose", true, 6, 3);
  recheck::Line first_wanted{"a", "a.from", "a.to", "hot", "free", {}, {}},
      second_wanted{"b", "b.from", "b.to", "hot", "free", {}, {}};
  recheck::Stock stock;
  stock.id = "hose";
  stock.make = "straight_hose";
  stock.bore_mm = 19;
  stock.outside_mm = 27;
  recheck::Bay bay;
  std::array<recheck::RecordedLine, 2> lines;
  const auto add = [&](std::size_t k, const recheck::Line& wanted, double y_mm) {
    for (const double x : {0.0, 400.0}) {
      recheck::PlacedNeck neck;
      neck.neck.name = x > 0 ? wanted.to : wanted.from;
      neck.neck.end_mm = {x, y_mm, 0};
      neck.neck.outward = x > 0 ? recheck::V3(-recheck::V3::UnitX()) : recheck::V3(recheck::V3::UnitX());
      bay.necks.push_back(neck);
    }
    bay.lines.push_back({&wanted, 2 * k, 2 * k + 1});
    lines[k].engagement_from_mm = lines[k].engagement_to_mm = 20;
    lines[k].name = wanted.name;
    lines[k].curve = {recheck::StraightPiece{{0, y_mm, 0}, {400, y_mm, 0}}};
    lines[k].pieces = {{"hose", "straight hose", 440, 0}};
  };
  add(0, first_wanted, 0);
  add(1, second_wanted, 40);
  // Clock 0 is up; a right-handed quarter turn about +X leads from +Z to -Y.
  const double away = std::numbers::pi / 2;
  const auto said = [&](double clock_a, double clock_b) {
    lines[0].clamps = {{"a.from", 0, true, 7.5, clock_a, 0}};
    lines[1].clamps = {{"b.from", 0, true, 7.5, clock_b, 0}};
    const std::array tubes{recheck::tube_of(bay, 0, lines[0], stock),
                           recheck::tube_of(bay, 1, lines[1], stock)};
    recheck::Effort effort;
    std::string out;
    for (const recheck::Fault& fault : recheck::clamp_faults({bay, gaps, tubes}, tubes[1], effort).faults)
      out += fault.text + "\n";
    return out;
  };
  CHECK(said(-away, away).find("to the clamp at a.from on line a, 6 mm required") != std::string::npos);
  CHECK(said(away, -away).find("to the clamp at a.from") == std::string::npos);
  // One line so short that the bands at its two necks sit 19 mm apart: housings 20 mm thick cross, on the
  // same side.
  lines[0].curve = {recheck::StraightPiece{{0, 0, 0}, {4, 0, 0}}};
  lines[0].pieces = {{"hose", "straight hose", 44, 0}};
  const auto alone = [&](double clock_to) {
    bay.necks[1].neck.end_mm = {-6, 0, 0};
    lines[0].clamps = {{"a.from", 0, true, 7.5, 0, 0}, {"a.to", 0, false, 7.5, clock_to, 0}};
    const recheck::Tube tube = recheck::tube_of(bay, 0, lines[0], stock);
    recheck::Effort effort;
    std::string out;
    for (const recheck::Fault& fault : recheck::clamp_faults({bay, gaps, {&tube, 1}}, tube, effort).faults)
      out += fault.text + "\n";
    return out;
  };
  CHECK(alone(0).find("the clamp at a.to has -") != std::string::npos);
  CHECK(alone(std::numbers::pi).find("to the clamp at a.from") == std::string::npos);
}

TEST_CASE("a clamp whose own line comes back past it is refuted") {
  // A hose that turns by half a turn 45 mm from its own beginning: the leg that comes back runs 40 mm beside
  // it.
  recheck::Line wanted{"a", "from", "to", "hot", "free", {}, {}};
  recheck::Stock stock;
  stock.id = "hose";
  stock.make = "straight_hose";
  stock.bore_mm = 19;
  stock.outside_mm = 27;
  recheck::RecordedLine line;
  line.engagement_from_mm = line.engagement_to_mm = 20;
  line.curve = {recheck::StraightPiece{{0, 0, 0}, {45, 0, 0}},
                recheck::ArcPiece{{45, 0, 0}, {45, 20, 0}, recheck::V3::UnitZ(), std::numbers::pi},
                recheck::StraightPiece{{45, 40, 0}, {-60, 40, 0}}};
  line.pieces = {{"hose", "straight hose", 45 + 20 * std::numbers::pi + 105 + 40, 0}};
  recheck::Bay bay;
  bay.necks.resize(2);
  bay.necks[0].neck.name = "from";
  bay.necks[0].neck.outward = recheck::V3::UnitX();
  bay.necks[1].neck.name = "to";
  bay.necks[1].neck.end_mm = {-60, 40, 0};
  bay.necks[1].neck.outward = recheck::V3::UnitX();
  bay.lines.push_back({&wanted, 0, 1});
  const auto faults_at = [&](double clock_rad) {
    line.clamps = {{"from", 0, true, 7.5, clock_rad, 0}, {"to", 0, false, 7.5, 0, 0}};
    const recheck::Tube tube = recheck::tube_of(bay, 0, line, stock);
    recheck::Effort effort;
    std::string said;
    for (const recheck::Fault& fault : recheck::clamp_faults({bay, {}, {&tube, 1}}, tube, effort).faults)
      said += fault.text + "\n";
    return said;
  };
  // Clock 0 is up; a right-handed quarter turn about the outward direction +X leads from +Z to -Y.
  const double towards_the_leg = -std::numbers::pi / 2;
  CHECK(faults_at(towards_the_leg).find("the clamp at from has") != std::string::npos);
  CHECK(faults_at(towards_the_leg).find("to its own line") != std::string::npos);
  CHECK(faults_at(-towards_the_leg).find("the clamp at from has") == std::string::npos);
}
