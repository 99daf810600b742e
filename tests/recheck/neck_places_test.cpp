// SPDX-License-Identifier: GPL-3.0-or-later
// Necks whose place is chosen: where the record puts them, and what must keep clear of them there.
#include "solver/recheck/neck_places.h"

#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <limits>
#include <nlohmann/json.hpp>
#include <numbers>

#include "solver/recheck/motion_checks.h"
#include "tests/recheck/read_again.h"
#include "tests/recheck/recorded.h"

using namespace hosefit;
using nlohmann::json;
using recheck::V3;

namespace {

namespace fs = std::filesystem;

bool holds(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

using test::bytes_of;

// A copy of a folder with one of its files changed.
struct Copied {
  fs::path folder = fs::temp_directory_path() / ("hosefit_neck_places_" + std::to_string(::getpid()));

  Copied(const fs::path& of, const std::string& file, const std::string& from, const std::string& to) {
    fs::remove_all(folder);
    fs::copy(of, folder, fs::copy_options::recursive);
    std::string text = bytes_of(folder / file);
    const auto at = text.find(from);
    REQUIRE(at != std::string::npos);
    text.replace(at, from.size(), to);
    std::ofstream(folder / file, std::ios::binary) << text;
  }
  ~Copied() { fs::remove_all(folder); }
  Copied(const Copied&) = delete;
  Copied& operator=(const Copied&) = delete;
};

// The job that holds every key; its neck heater.feed may be ordered elsewhere.
recheck::JobRead tiny(const std::string& file, const std::string& from, const std::string& to) {
  const fs::path good = HOSEFIT_TEST_DIR "/input/good";
  const Copied copied(good, file, from, to);
  const Result<JobAndFiles> loaded =
      load_job_and_files({good / "vehicles/tiny", good / "pumps", good / "data"});
  REQUIRE(loaded);
  const std::string family = loaded->job.family.name;
  const recheck::JobFolders folders{copied.folder / "vehicles/tiny", copied.folder / "pumps" / family,
                                    copied.folder / "data"};
  return test::read_again(*loaded, folders);
}
const std::string kVehicle = "vehicles/tiny/vehicle.yaml";
recheck::Job tiny() {
  const recheck::JobRead read = tiny(kVehicle, "heater.feed", "heater.feed");
  REQUIRE(read.job);
  return *read.job;
}

std::string not_understood(const std::string& from, const std::string& to,
                           const std::string& file = kVehicle) {
  const recheck::JobRead read = tiny(file, from, to);
  CHECK(read.missing.empty());
  CHECK(read.changed.empty());
  std::string out;
  for (const Problem& p : read.not_understood) out += p.path + ": " + p.text + "\n";
  return out;
}

struct Placed {
  recheck::Bay bay;
  std::string faults;
};
Placed placed(const recheck::Job& job, const std::vector<recheck::RecordedNeck>& necks) {
  recheck::RecordedCandidate candidate;
  candidate.height_mm = job.intakes[0].drawn_mm;
  candidate.necks = necks;
  std::vector<recheck::Fault> faults;
  const recheck::Chosen chosen{&job.pumps[0], &job.drives[0], &job.housings[0], &job.intakes[0]};
  Placed out{recheck::place(job, chosen, candidate, faults), {}};
  for (const recheck::Fault& fault : faults) {
    CHECK_FALSE(fault.undecided);
    out.faults += fault.text + "\n";
  }
  return out;
}

const recheck::PlacedNeck& neck_of(const recheck::Bay& bay, const std::string& name) {
  const auto found = std::find_if(bay.necks.begin(), bay.necks.end(),
                                  [&](const recheck::PlacedNeck& n) { return n.neck.name == name; });
  REQUIRE(found != bay.necks.end());
  return *found;
}
const recheck::PlacedObstacle& obstacle_of(const recheck::Bay& bay, const std::string& name) {
  const auto found = std::find_if(bay.obstacles.begin(), bay.obstacles.end(),
                                  [&](const recheck::PlacedObstacle& o) { return o.name == name; });
  REQUIRE(found != bay.obstacles.end());
  return *found;
}

}  // namespace

// Turned by 45 deg about the upright through (900, 210), then two steps of 10 to the right and one of 12.7
// down.
TEST_CASE("a neck and what goes along with it stand where the record says, first turned and then slid") {
  const recheck::Job job = tiny();
  const double c = std::numbers::sqrt2 / 2;
  const Placed there = placed(job, {{"heater.feed", {20, 12.7}, 45}});
  CHECK(there.faults == "");
  const recheck::PlacedNeck& neck = neck_of(there.bay, "heater.feed");
  CHECK(neck.elsewhere);
  CHECK((neck.neck.end_mm - V3(900 + 10 * c, 210 - 10 * c + 20, 500 - 12.7)).norm() < 1e-9);
  CHECK((neck.neck.outward - V3(-c, -c, 0)).norm() < 1e-12);
  // A ball at (-200, 400, 300): 1100 before the axis and 190 to the right of it.
  const recheck::PlacedObstacle& ball = obstacle_of(there.bay, "washer ball");
  const V3 middle(900 - (1100 + 190) * c, 210 + (-1100 + 190) * c + 20, 300 - 12.7);
  CHECK(recheck::distance_mm(ball.solid, middle, 1e3) == Approx(-40));
  CHECK((ball.box.center() - middle).norm() < 1e-9);
  CHECK(ball.label() == "chassis: washer ball");
  CHECK_FALSE(ball.on_engine);

  for (const recheck::RecordedNeck& only :
       {recheck::RecordedNeck{"heater.feed", {0, 12.7}, 0}, {"heater.feed", {0, 0}, -45}})
    CHECK(neck_of(placed(job, {only}).bay, "heater.feed").elsewhere);

  // Nothing else moves, and nothing at all as written.
  const Placed written = placed(job, {{"heater.feed", {0, 0}, 0}});
  CHECK(written.faults == "");
  CHECK_FALSE(neck_of(written.bay, "heater.feed").elsewhere);
  CHECK(neck_of(written.bay, "heater.feed").neck.end_mm == V3(900, 200, 500));
  CHECK(obstacle_of(written.bay, "washer ball").box.center() == V3(-200, 400, 300));
  REQUIRE(written.bay.obstacles.size() == there.bay.obstacles.size());
  for (std::size_t i = 0; i < there.bay.obstacles.size(); ++i) {
    const auto &here = written.bay.obstacles[i], &o = there.bay.obstacles[i];
    CHECK(here.label() == o.label());
    CHECK(o.goes_along.has_value() == (o.name == "washer ball"));
    if (o.name != "washer ball") CHECK(here.box.isApprox(o.box, 0));
  }
  for (const recheck::PlacedNeck& n : there.bay.necks)
    if (n.neck.name != "heater.feed") CHECK_FALSE(n.elsewhere);
}

TEST_CASE("steps and turns are those of the input, however little the record is off them") {
  const recheck::Job job = tiny();
  const Placed exact = placed(job, {{"heater.feed", {-20, 25.4}, -45}});
  const Placed off = placed(job, {{"heater.feed", {-20 + 1e-7, 25.4 - 1e-7}, -45 + 1e-11}});
  CHECK(exact.faults == "");
  CHECK(off.faults == "");
  CHECK(neck_of(exact.bay, "heater.feed").neck.end_mm == neck_of(off.bay, "heater.feed").neck.end_mm);
  CHECK(neck_of(exact.bay, "heater.feed").neck.outward == neck_of(off.bay, "heater.feed").neck.outward);
  CHECK_FALSE(neck_of(placed(job, {{"heater.feed", {1e-8, 0}, 0}}).bay, "heater.feed").elsewhere);
}

TEST_CASE("a neck at none of its places, or not told once, is refuted by its name and stands as written") {
  const recheck::Job job = tiny();
  const auto refuted = [&](const std::vector<recheck::RecordedNeck>& necks, const std::string& sentence) {
    const Placed there = placed(job, necks);
    INFO(there.faults);
    CHECK(there.faults == sentence + "\n");
    CHECK_FALSE(neck_of(there.bay, "heater.feed").elsewhere);
    CHECK(neck_of(there.bay, "heater.feed").neck.end_mm == V3(900, 200, 500));
  };
  const auto slid = [](double y, double down) { return recheck::RecordedNeck{"heater.feed", {y, down}, 0}; };
  const std::string not_offered = " mm, and the input does not offer that";
  refuted({slid(15, 0)}, "the record slides the neck heater.feed by 15" + not_offered);
  refuted({slid(10.001, 0)}, "the record slides the neck heater.feed by 10.001" + not_offered);
  refuted({slid(0, 10)}, "the record slides the neck heater.feed by 10" + not_offered);
  refuted({slid(30, 0)}, "the record slides the neck heater.feed by 30" + not_offered);    // up to 25
  refuted({slid(-30, 0)}, "the record slides the neck heater.feed by -30" + not_offered);  // from -20
  refuted({slid(0, -12.7)}, "the record slides the neck heater.feed by -12.7" + not_offered);
  refuted({{"heater.feed", {0, 0}, 30}},
          "the record turns the neck heater.feed by 30 deg, and the input does not offer that");
  refuted({{"heater.feed", {0}, 0}}, "the record slides the neck heater.feed 1 ways, the input 2");
  refuted({{"heater.feed", {0, 0, 0}, 0}}, "the record slides the neck heater.feed 3 ways, the input 2");
  refuted({}, "the record does not say where the neck heater.feed stands");
  refuted({slid(0, 0), slid(10, 0)}, "the record says twice where the neck heater.feed stands");
  refuted({slid(0, 0), {"heater.return", {0, 0}, 0}},
          "the record places the neck heater.return, and the input has no such choice");
  refuted({slid(0, 0), {"heater.ghost", {}, 0}},
          "the record places the neck heater.ghost, and the input has no such choice");
  const double nan = std::numeric_limits<double>::quiet_NaN();
  CHECK(holds(placed(job, {slid(nan, 0)}).faults, "does not offer that"));
  CHECK(holds(placed(job, {{"heater.feed", {0, 0}, nan}}).faults, "does not offer that"));
}

TEST_CASE("what is not known of a choice is told, and never passed over") {
  REQUIRE(not_understood("heater.feed", "heater.feed") == "");
  const std::string known = "this key is not known";
  CHECK(holds(not_understood("with: [washer ball],", "with: [washer ball], lean: 3,"),
              "choose.lean: " + known));
  CHECK(holds(not_understood("step: 10}", "step: 10, skip: 2}"), "slide[0].skip: " + known));
  CHECK(holds(not_understood("by_deg: [-45, 0, 45]}", "by_deg: [45], tilt: 1}"), "turn.tilt: " + known));
  CHECK(holds(not_understood("step: 10}", "step: 0}"), "step: want more than 0"));
  CHECK(holds(not_understood("from: -20, to: 25", "from: 5, to: 25"), "leaves out the place written"));
  CHECK(holds(not_understood("from: -20, to: 25", "from: -20, to: -5"), "leaves out the place written"));
  CHECK(holds(not_understood("[washer ball]", "[washer]"), "washer cannot go along with the neck"));
  CHECK(holds(not_understood("[washer ball]", "[hood skin]"), "hood skin cannot go along with the neck"));
  CHECK(holds(not_understood("[washer ball]", "[radiator core]"), "radiator core cannot go along"));
  CHECK(holds(not_understood("[washer ball]", "[washer ball, washer ball]"), "goes along with two necks"));
  CHECK(holds(not_understood("bore: 1.5,", "bore: 1.5, choose: {with: []},", "pumps/small/pumps.yaml"),
              "choose: " + known));
}

namespace {

// Blocks, of which some go along with the first two necks.
struct Blocks {
  recheck::Bay bay;
  recheck::Gaps gaps;

  Blocks() {
    gaps.set("rigid_part", "smooth_metal", true, 12, 8);
    gaps.set("rigid_part", "smooth_metal", false, 15, 10);
    bay.necks.resize(2);
  }
  recheck::PlacedObstacle& add(recheck::Part part, const std::string& name, const V3& low, const V3& high) {
    recheck::PlacedObstacle o;
    o.part = part;
    o.body = "body";
    o.name = name;
    o.hazard = "smooth_metal";
    o.on_engine = part == recheck::Part::on_engine || part == recheck::Part::block;
    recheck::Frame middle;
    middle.at_mm = (low + high) / 2;
    o.solid = recheck::Block{middle, (high - low) / 2};
    o.box = recheck::box_of(o.solid);
    bay.obstacles.push_back(o);
    return bay.obstacles.back();
  }
  // A cube of 20 mm at the origin that goes along with the first neck.
  void add_root() { add(recheck::Part::chassis, "root", {0, 0, 0}, {20, 20, 20}).goes_along = 0; }
  // The same size, `apart_mm` behind it.
  recheck::PlacedObstacle& add_behind(recheck::Part part, const std::string& name, double apart_mm) {
    return add(part, name, {20 + apart_mm, 0, 0}, {40 + apart_mm, 20, 20});
  }
  std::string clashes() const {
    std::string out;
    for (const recheck::Fault& fault : recheck::clashes(bay, gaps, false)) {
      CHECK_FALSE(fault.undecided);
      out += fault.text + "\n";
    }
    return out;
  }
};

}  // namespace

TEST_CASE("what goes along with a neck is held against the rest of the chassis once the neck is elsewhere") {
  Blocks b;
  b.add_root();
  b.add_behind(recheck::Part::chassis, "bracket", 9);
  CHECK(b.clashes() == "");  // how the vehicle is
  b.bay.necks[0].elsewhere = true;
  CHECK(b.clashes() == "body: root and body: bracket are 9.00 mm apart, 12 mm required\n");
  b.bay.necks[0].grows_out_of = {1};
  CHECK(b.clashes() == "");
  b.bay.necks[0].grows_out_of = {0};
  CHECK(holds(b.clashes(), "9.00 mm apart"));
  b.bay.necks[0].grows_out_of.clear();
  b.bay.obstacles[1].goes_along = 0;
  CHECK(b.clashes() == "");
  // With another neck it counts, moved or not, and once; unless that one grows out of what is moved.
  b.bay.obstacles[1].goes_along = 1;
  CHECK(b.clashes() == "body: root and body: bracket are 9.00 mm apart, 12 mm required\n");
  b.bay.necks[1].elsewhere = true;
  CHECK(b.clashes() == "body: root and body: bracket are 9.00 mm apart, 12 mm required\n");
  b.bay.necks[0].elsewhere = false;
  CHECK(holds(b.clashes(), "9.00 mm apart"));
  b.bay.necks[1].grows_out_of = {0};
  CHECK(b.clashes() == "");
}

TEST_CASE(
    "a moved neck's part keeps the larger of both gaps, and all of the engine's and vehicle's parts off") {
  Blocks wide;
  wide.add_root();
  wide.add_behind(recheck::Part::chassis, "loom", 25).own_gap_mm = 30;
  wide.bay.necks[0].elsewhere = true;
  CHECK(wide.clashes() == "body: root and body: loom are 25.00 mm apart, 30 mm required\n");
  wide.bay.obstacles[1].own_gap_mm = 24;
  CHECK(wide.clashes() == "");
  for (const recheck::Part part : {recheck::Part::hood, recheck::Part::fan, recheck::Part::on_engine,
                                   recheck::Part::block, recheck::Part::chassis}) {
    Blocks b;
    b.add_root();
    b.add_behind(part, "other", 5);
    CHECK(b.clashes() == "");
    b.bay.necks[0].elsewhere = true;
    CHECK(holds(b.clashes(), "body: root and body: other are 5.00 mm apart"));
  }
  // Parts that are chosen count wherever the neck stands.
  Blocks pump;
  pump.add_root();
  pump.add_behind(recheck::Part::pump, "arm", 5);
  CHECK(holds(pump.clashes(), "body: root and body: arm are 5.00 mm apart"));
}

// The tank's face is at x = 30; a straight of 35 mm is free of it to the end at x = 65.
TEST_CASE("a moved neck takes as much hose as where it is written, or the record is refuted") {
  Blocks b;
  b.add(recheck::Part::chassis, "tank", {-30, -50, 600}, {30, 250, 800});
  recheck::Job job;
  recheck::Neck neck;
  neck.name = "top";
  neck.end_mm = V3(65, 160, 700);
  neck.outward = V3::UnitX();
  neck.outside_mm = 38;
  neck.straight_mm = 35;
  job.chassis_necks = {neck};
  recheck::PlacedNeck& placed = b.bay.necks[0];
  placed.neck = neck;
  placed.grows_out_of = {0};
  placed.elsewhere = true;
  const auto faults = [&](const V3& end_mm, const V3& outward = V3::UnitX()) {
    placed.neck.end_mm = end_mm;
    placed.neck.outward = outward;
    return recheck::tube_faults(job, b.bay);
  };
  CHECK(faults({65, 100, 700}).empty());
  CHECK(faults({75, 100, 700}).empty());
  const std::vector<recheck::Fault> in = faults({55, 100, 700});
  REQUIRE(in.size() == 1);
  CHECK(in[0].text ==
        "hose goes 25.0 mm onto the neck top where the record puts it, and 35.0 mm where it is written: its "
        "tube "
        "runs into what it grows out of");
  CHECK_FALSE(in[0].undecided);
  CHECK(in[0].where_mm == V3(55, 100, 700));
  CHECK(holds(faults({20, 100, 700}).at(0).text, "hose goes 0.0 mm onto"));
  // Leaning by 45 deg the outside comes to the face first: the lower line begins 19 sin 45 deg nearer to it.
  const V3 leaning = V3(1, 1, 0).normalized();
  CHECK(faults({30 + 53.5 / std::sqrt(2.0), 100, 700}, leaning).size() == 1);  // 53.5 - 19 = 34.5 mm
  CHECK(faults({30 + 54.1 / std::sqrt(2.0), 100, 700}, leaning).empty());
  placed.elsewhere = false;
  CHECK(faults({55, 100, 700}).empty());
  placed.elsewhere = true;
  b.bay.obstacles[0].goes_along = 0;
  CHECK(faults({55, 100, 700}).empty());
}

// 8 mm sideways and nothing else: the block comes 8 mm nearer.
TEST_CASE("what goes along with a moved neck keeps its gap to the engine in motion, and only then") {
  recheck::MountsFigures figures;
  figures.sideways_mm = 8;
  const recheck::EngineWays ways = recheck::engine_ways({}, figures);
  const auto faults = [&](double apart_mm, bool elsewhere, recheck::Part part = recheck::Part::block) {
    Blocks b;
    b.add(part, "timing cover", {0, -20 - apart_mm, 0}, {20, -apart_mm, 20}).on_engine = true;
    b.add_root();
    b.bay.necks[0].elsewhere = elsewhere;
    recheck::MotionEffort effort;
    std::string out;
    for (const recheck::Fault& fault :
         recheck::parts_motion_faults({b.bay, b.gaps, ways}, part == recheck::Part::fan, effort))
      out += fault.text + "\n";
    return out;
  };
  for (const recheck::Part part : {recheck::Part::block, recheck::Part::on_engine, recheck::Part::fan}) {
    CHECK(faults(18.1, true, part) == "");
    const std::string told = faults(17.6, true, part);
    INFO(told);
    CHECK(holds(told, "body: timing cover and body: root are 9.60 mm apart"));
    CHECK(holds(told, "10 mm required after motion"));
    CHECK(faults(17.6, false, part) == "");
    CHECK(holds(faults(5, true, part), "touch or cross"));
  }
  CHECK(holds(faults(17.6, false, recheck::Part::pump), "9.60 mm apart"));
}

TEST_CASE("a set with a neck elsewhere is confirmed there and nowhere else, at rest and in motion",
          "[whole]") {
  const std::string on = "on: [top tank, top neck root]";
  const Copied pickup(HOSEFIT_ROOT_DIR "/vehicles/harrow_half_ton", "vehicle.yaml", on,
                      on + ", choose: {with: [top neck root], slide: [{along: [0, 1, 0], from: -350, to: 50, "
                           "step: 50}]}");
  JobPaths paths = bundled("harrow_half_ton");
  paths.vehicle_folder = pickup.folder;
  const Result<JobAndFiles> loaded = load_job_and_files(paths);
  REQUIRE(loaded);
  const Prepared prepared(loaded->job);
  Choice choice;
  choice.candidates.push_back(best_of(prepared, "low left", 318));
  REQUIRE(choice.candidates[0].verdict.fit == Fit::fits);
  REQUIRE_FALSE(choice.candidates[0].candidate.neck_places.empty());
  const json good = json::parse(proof_record(prepared, choice, loaded->files, folders_of(paths), "test"));
  const json& necks = good["candidates"][0]["necks"];
  REQUIRE(necks.size() == 1);
  const double slid_mm = necks[0]["slide_mm"][0];
  REQUIRE(slid_mm != 0);

  const auto record_of = [](const json& text) { return recheck::read_record("proof.json", text.dump()); };
  const auto read = recheck::read_job(
      {paths.vehicle_folder, paths.pumps_folder + "/" + loaded->job.family.name, paths.data_folder},
      *record_of(good));
  REQUIRE(read.job);
  const recheck::Report report = recheck::recheck_record(*read.job, *record_of(good));
  INFO(recheck::tell(report));
  CHECK(report.answer == recheck::Answer::confirmed);
  REQUIRE(report.candidates[0].moved_necks.size() == 1);
  CHECK((report.candidates[0].moved_necks[0].end_mm - V3(58, 150 + slid_mm, 640)).norm() < 1e-9);
  CHECK(holds(recheck::tell(report), "neck radiator.top: not where it is written"));

  const auto refuted = [&](const json& slides, const std::string& sentence) {
    json record = good;
    record["candidates"][0]["necks"][0]["slide_mm"] = slides;
    const recheck::Report other = recheck::recheck_record(*read.job, *record_of(record));
    INFO(recheck::tell(other));
    CHECK(other.answer == recheck::Answer::refuted);
    CHECK(holds(recheck::tell(other), sentence));
  };
  refuted({0.0}, "off the neck radiator.top");
  refuted({slid_mm - 50}, "the line ends 50.000 mm off the neck radiator.top");
  refuted({slid_mm + 1}, "the record slides the neck radiator.top by");

  // Five millimetres beside the moved root, whose radius is 21.
  recheck::Job crowded = *read.job;
  recheck::Frame middle;
  middle.at_mm = V3(16, 150 + slid_mm + 28, 640);
  crowded.chassis.push_back({"bracket", "smooth_metal", recheck::Block{middle, V3(4, 2, 2)}, std::nullopt});
  const recheck::Report crowd = recheck::recheck_record(crowded, *record_of(good));
  INFO(recheck::tell(crowd));
  CHECK(holds(recheck::tell(crowd), "chassis: top neck root and chassis: bracket are 5.00 mm apart"));

  json without = good;
  without["candidates"][0].erase("necks");
  REQUIRE_FALSE(record_of(without));
  CHECK(holds(record_of(without).problems().front().text, "is missing"));
  json odd = good;
  odd["candidates"][0]["necks"][0]["lean_deg"] = 1;
  REQUIRE_FALSE(record_of(odd));
  CHECK(holds(record_of(odd).problems().front().text, "this key is not known"));
  json old = good;
  old["format"] = 3;
  REQUIRE_FALSE(record_of(old));
  CHECK(holds(record_of(old).problems().front().text, "this program reads format 4, found 3"));
}
