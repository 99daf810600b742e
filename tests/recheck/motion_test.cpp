// SPDX-License-Identifier: GPL-3.0-or-later
#include <cstdio>
#include <nlohmann/json.hpp>

#include "solver/recheck/motion_checks.h"
#include "tests/recheck/mutant_routes.h"

using namespace hosefit;
using namespace hosefit::mutants;
using nlohmann::json;
using recheck::V3;

namespace {

// A set that holds in motion, with what the recheck makes of it.
struct Set {
  Recorded recorded;
  Case c;
  recheck::EngineWays ways;
  std::vector<recheck::Tube> tubes;
  std::vector<std::vector<recheck::MovingLine>> lines;

  Set(const std::string& vehicle, const std::string& pump, double height_mm)
      : recorded(vehicle, {{pump, height_mm}}), c(recorded, vehicle, 0) {
    ways = recheck::engine_ways(recheck::engine_frame(c.job), *recheck::mounts_figures(c.job));
    for (std::size_t i = 0; i < c.second.lines.size(); ++i) {
      const recheck::RecordedLine& line = c.record.candidates[0].lines[i];
      const auto stock = std::find_if(c.job.stock.begin(), c.job.stock.end(),
                                      [&](const recheck::Stock& s) { return s.id == line.stock; });
      tubes.push_back(recheck::tube_of(c.second, i, line, *stock));
    }
    for (const recheck::Tube& tube : tubes) lines.push_back(recheck::moving_parts(c.second, tube, ways));
  }
  recheck::Moving moving() const { return {c.second, c.job.gaps, ways}; }
};
Set& coupe() {
  static Set set("linnet_coupe", "left outlet", 290);
  return set;
}

std::string said(const std::vector<recheck::Fault>& faults) {
  std::string out;
  for (const recheck::Fault& fault : faults) out += fault.text + "\n";
  return out;
}
bool holds(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

// A block on the engine beside one on the chassis, and nothing else.
struct TwoBlocks {
  recheck::Bay bay;
  recheck::Gaps gaps;
  recheck::EngineWays ways;

  TwoBlocks(const V3& half_mm, const V3& middle_mm, double wall_y_mm, const recheck::MountsFigures& figures) {
    gaps.set("rigid_part", "smooth_metal", false, 15, 10);
    recheck::Frame frame;
    frame.at_mm = middle_mm;
    add(recheck::Part::pump, true, recheck::Block{frame, half_mm});
    frame.at_mm = V3(0, wall_y_mm + 50, 0);
    add(recheck::Part::chassis, false, recheck::Block{frame, V3(500, 50, 500)});
    ways = recheck::engine_ways({}, figures);
  }
  void add(recheck::Part part, bool on_engine, const recheck::Solid& solid) {
    recheck::PlacedObstacle o;
    o.part = part;
    o.body = on_engine ? "pump" : "chassis";
    o.name = "block";
    o.hazard = "smooth_metal";
    o.on_engine = on_engine;
    o.solid = solid;
    o.box = recheck::box_of(solid);
    bay.obstacles.push_back(o);
  }
  std::string faults() const {
    recheck::MotionEffort effort;
    return said(recheck::parts_motion_faults({bay, gaps, ways}, false, effort));
  }
};

}  // namespace

// The corner (w, h) of the block, rolled by a towards it about an axis along the crank, reaches w cos a + h
// sin a.
TEST_CASE("a rigid part is refuted exactly when a corner of it rolls too near, all ways together") {
  const double roll_deg = 4, a = recheck::radians(roll_deg), side = 8;
  const double reach = 60 * std::cos(a) + 300 * std::sin(a) + side;
  recheck::MountsFigures figures;
  figures.roll_deg = roll_deg;
  figures.sideways_mm = side;
  figures.lift_mm = 10;
  figures.forward_mm = 15;
  figures.rearward_mm = 10;
  // The axis lies at the crank and shifts with the engine, so that lift takes no part in it.
  const auto exact = [&](double to_spare_mm) {
    return TwoBlocks(V3(40, 60, 60), V3(0, 0, 240), reach + 10 + to_spare_mm, figures).faults();
  };
  CHECK(exact(0.1) == "");
  CHECK(exact(-0.2) == "");  // less than is let pass
  CHECK(holds(exact(-0.4), "rolled 4.0 deg left side up"));
  CHECK(holds(exact(-0.4), "8.0 mm right"));
  CHECK(holds(exact(-0.4), "10 mm required after motion"));
  CHECK(holds(exact(-25), "touch or cross"));
}

TEST_CASE("what holds in motion is confirmed, line by line, with its tightest place and the mounts' figures",
          "[whole]") {
  const recheck::Report report = recheck::recheck_record(coupe().c.job, coupe().c.record);
  const std::string told = recheck::tell(report);
  INFO(told);
  CHECK(report.answer == recheck::Answer::confirmed);
  CHECK(holds(told, "everywhere within 1.5 deg of roll to either side"));
  CHECK(holds(told, "in motion least to spare"));
  CHECK(holds(told, "Not rechecked: in motion a line and its clamps against that line itself"));
}

TEST_CASE("on softer mounts the lines of a set that holds are refuted or not told", "[whole]") {
  recheck::Job job = coupe().c.job;
  job.own_figures = *recheck::mounts_figures(job);
  job.own_figures->forward_mm = 60;
  job.own_figures->rearward_mm = 60;
  job.own_figures->axis_below_crank_mm = 110;
  const recheck::Report report = recheck::recheck_record(job, coupe().c.record);
  INFO(recheck::tell(report));
  CHECK(report.answer == recheck::Answer::refuted);
  CHECK(holds(recheck::tell(report), "is drawn tight"));
  CHECK(holds(recheck::tell(report), "about an axis 110 mm below the crank"));
}

TEST_CASE("an obstacle pushed by hand to where a line comes in motion is refuted with the engine's place",
          "[whole]") {
  Set& set = coupe();
  int pushed = 0;
  for (std::size_t i = 0; i < set.lines.size(); ++i) {
    recheck::MotionEffort effort;
    const auto before = recheck::line_motion_faults(set.moving(), set.lines[i], effort);
    CHECK(before.faults.empty());
    if (!before.tightest) continue;
    const recheck::TightestGap& gap = *before.tightest;
    recheck::Bay bay = set.c.second;
    for (recheck::PlacedObstacle& o : bay.obstacles) {
      if (o.label() != gap.other) continue;
      // Along the way from the obstacle to the line at that place, as far as is to spare and 2 mm more.
      const recheck::Frame moved = set.ways.moved(before.tightest_at);
      const V3 p = o.on_engine ? moved.back(gap.where_mm) : gap.where_mm;
      V3 slope;
      for (Eigen::Index k = 0; k < 3; ++k)
        slope[k] = recheck::distance_mm(o.solid, p + 0.01 * V3::Unit(k), 1e3) -
                   recheck::distance_mm(o.solid, p - 0.01 * V3::Unit(k), 1e3);
      recheck::Frame push;
      push.at_mm = (gap.found_mm - gap.required_mm + 2) * slope.normalized();
      o.solid = recheck::moved(o.solid, push);
      o.box = recheck::box_of(o.solid);
    }
    const auto after = recheck::line_motion_faults({bay, set.c.job.gaps, set.ways}, set.lines[i], effort);
    INFO(gap.other << "\n" << said(after.faults));
    CHECK(holds(said(after.faults), gap.other));
    CHECK(holds(said(after.faults), "required after motion"));
    CHECK(holds(said(after.faults), "with the engine"));
    ++pushed;
  }
  CHECK(pushed >= 3);
}

TEST_CASE("hose that bends more than it may in motion is refuted, and so are lines that come too near",
          "[whole]") {
  Set& set = coupe();
  bool bent = false;
  for (auto& parts : set.lines) {
    auto changed = parts;
    for (recheck::MovingLine& part : changed)
      if (part.bend && part.bend->least_radius_mm > 0) part.bend->least_radius_mm = 5000;
    recheck::MotionEffort effort;
    const std::string faults = said(recheck::line_motion_faults(set.moving(), changed, effort).faults);
    bent = bent || holds(faults, "the hose is bent to a radius of");
  }
  CHECK(bent);
  recheck::Gaps wide = set.c.job.gaps;
  for (const char* runner : {"hose", "clamp"})
    for (const bool alike : {false, true}) wide.set(runner, "another_hose", alike, 400, 400);
  std::vector<std::vector<recheck::SweptLine>> swept;
  for (const auto& parts : set.lines) {
    swept.emplace_back();
    for (const recheck::MovingLine& part : parts)
      swept.back().push_back({&part, recheck::swept_mm(part, set.ways)});
  }
  recheck::MotionEffort effort;
  CHECK(recheck::parts_motion_faults(set.moving(), set.c.job.fan_on_engine, effort).empty());
  for (std::size_t i = 0; i < set.lines.size(); ++i) {
    CHECK(recheck::line_motion_faults(set.moving(), set.lines[i], effort).faults.empty());
    for (std::size_t j = i + 1; j < set.lines.size(); ++j)
      CHECK(recheck::lines_motion_faults(set.moving(), swept[i], swept[j], effort).empty());
  }
  const std::int64_t had = recheck::MotionEffort().left, took = had - effort.left;
  std::printf("a set takes %.1f %% of the effort in motion\n",
              100.0 * static_cast<double>(took) / static_cast<double>(had));
  CHECK(took > had / 10000);
  CHECK(took < had / 5);
  CHECK(holds(said(recheck::lines_motion_faults({set.c.second, wide, set.ways}, swept[0], swept[2], effort)),
              "to line heater_feed"));
}

TEST_CASE("without the clip that held it a line is not confirmed as it was, and false clips are refuted",
          "[whole]") {
  const auto rechecked = [](const json& record) {
    const auto read = recheck::read_record("proof.json", record.dump());
    REQUIRE(read);
    return recheck::tell(recheck::recheck_record(coupe().c.job, *read));
  };
  const json good = json::parse(coupe().recorded.text);
  std::size_t clipped = 0;
  while (good["candidates"][0]["lines"][clipped]["clips"].empty()) ++clipped;
  const auto with = [&](const char* key, const json& value) {
    json record = good;
    record["candidates"][0]["lines"][clipped]["clips"][0][key] = value;
    return rechecked(record);
  };
  CHECK(holds(with("at_mm", 5000), "lies beyond the line's end or out of order"));
  CHECK(holds(with("obstacle", "ghost"), "which the input does not place"));
  const std::string carrier = good["candidates"][0]["lines"][clipped]["clips"][0]["carrier"];
  CHECK(holds(with("carrier", carrier == "engine" ? "chassis" : "engine"), "which is not carried by the"));
  json core = good;
  core["candidates"][0]["lines"][clipped]["clips"][0] = {
      {"at_mm", 50}, {"carrier", "chassis"}, {"body", "chassis"}, {"obstacle", "radiator core"}};
  CHECK(holds(rechecked(core), "is no smooth metal (radiator_core)"));
  json word = good;
  word["candidates"][0]["lines"][clipped]["clips"][0]["carrier"] = "frame";
  const auto refused = recheck::read_record("proof.json", word.dump());
  REQUIRE_FALSE(refused);
  CHECK(holds(refused.problems().front().text, "want engine or chassis"));
}

TEST_CASE("a line that only its clip keeps off comes short in motion when the clip is taken away",
          "[whole]") {
  int refuted = 0;
  std::string all;
  Set set("harrow_half_ton", "long left", 318);
  for (std::size_t i = 0; i < set.tubes.size(); ++i) {
    recheck::RecordedLine line = *set.tubes[i].recorded;
    if (line.clips.empty()) continue;
    line.clips.clear();
    recheck::Tube tube = set.tubes[i];
    tube.recorded = &line;
    recheck::MotionEffort effort;
    const auto found = recheck::line_motion_faults(
        set.moving(), recheck::moving_parts(set.c.second, tube, set.ways), effort);
    all += said(found.faults);
    if (holds(said(found.faults), "required after motion")) ++refuted;
  }
  INFO(all);
  CHECK(refuted > 0);
}
