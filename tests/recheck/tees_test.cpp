// SPDX-License-Identifier: GPL-3.0-or-later
// A tee: where the record puts it, what must keep clear of it there, and the parts of the line that carries
// it.
#include "solver/recheck/tees.h"

#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <functional>

#include "tests/recheck/read_again.h"
#include "tests/recheck/recorded.h"

using namespace hosefit;
using recheck::V3;

namespace {

namespace fs = std::filesystem;

bool holds(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

using test::bytes_of;

void replace(std::string& text, const std::string& from, const std::string& to) {
  const auto at = text.find(from);
  REQUIRE(at != std::string::npos);
  text.replace(at, from.size(), to);
}

// A copy of a folder with its vehicle file changed.
struct Copied {
  fs::path folder = fs::temp_directory_path() / ("hosefit_tees_" + std::to_string(::getpid()));

  Copied(const fs::path& of, const std::vector<std::pair<std::string, std::string>>& changes) {
    fs::remove_all(folder);
    fs::copy(of, folder, fs::copy_options::recursive);
    std::string text = bytes_of(folder / "vehicle.yaml");
    for (const auto& [from, to] : changes) replace(text, from, to);
    std::ofstream(folder / "vehicle.yaml", std::ios::binary) << text;
  }
  ~Copied() { fs::remove_all(folder); }
  Copied(const Copied&) = delete;
  Copied& operator=(const Copied&) = delete;
};

recheck::JobRead teed(const std::string& from = "side", const std::string& to = "side") {
  const fs::path good = HOSEFIT_TEST_DIR "/input/good";
  const Copied copied(good / "vehicles/teed", {{from, to}});
  const Result<JobAndFiles> loaded =
      load_job_and_files({good / "vehicles/teed", good / "pumps", good / "data"});
  REQUIRE(loaded);
  const recheck::JobFolders folders{copied.folder, good / "pumps" / loaded->job.family.name, good / "data"};
  return test::read_again(*loaded, folders);
}
recheck::Job job_with_tee(const std::string& from = "side", const std::string& to = "side") {
  const recheck::JobRead read = teed(from, to);
  for (const Problem& p : read.not_understood) INFO(p.path << ": " << p.text);
  REQUIRE(read.job);
  return *read.job;
}
std::string not_understood(const std::string& from, const std::string& to) {
  std::string out;
  for (const Problem& p : teed(from, to).not_understood) out += p.path + ": " + p.text + "\n";
  return out;
}

struct Placed {
  recheck::Bay bay;
  std::string faults;
};
Placed placed(const recheck::Job& job, const std::vector<recheck::RecordedTee>& tees) {
  recheck::RecordedCandidate candidate;
  candidate.height_mm = job.intakes[0].drawn_mm;
  candidate.tees = tees;
  std::vector<recheck::Fault> faults;
  const recheck::Chosen chosen{&job.pumps[0], &job.drives[0], &job.housings[0], &job.intakes[0]};
  Placed out{recheck::place(job, chosen, candidate, faults), {}};
  for (const recheck::Fault& fault : faults) out.faults += fault.text + "\n";
  return out;
}
recheck::RecordedTee there(double clock_deg = 270) {
  return {"side tee", V3(450, 600, 500), V3(1, 0, 0), clock_deg};
}
const recheck::PlacedNeck& neck_of(const recheck::Bay& bay, const std::string& name) {
  const auto found = std::find_if(bay.necks.begin(), bay.necks.end(),
                                  [&](const recheck::PlacedNeck& n) { return n.neck.name == name; });
  REQUIRE(found != bay.necks.end());
  return *found;
}

}  // namespace

TEST_CASE("a tee stands where the record puts it, its tube ends and solids with it") {
  const recheck::Job job = job_with_tee();
  const Placed at = placed(job, {there()});
  CHECK(at.faults == "");
  CHECK_FALSE(at.bay.tee_floats);
  // Half of 2 in and 36 mm to either side; the branch 80 mm to the right.
  const auto& start = neck_of(at.bay, "side tee.run start");
  const auto& end = neck_of(at.bay, "side tee.run end");
  const auto& branch = neck_of(at.bay, "side tee.branch");
  CHECK((start.neck.end_mm - V3(450 - 61.4, 600, 500)).norm() < 1e-9);
  CHECK((start.neck.outward - V3(-1, 0, 0)).norm() < 1e-12);
  CHECK((end.neck.end_mm - V3(450 + 61.4, 600, 500)).norm() < 1e-9);
  CHECK((branch.neck.end_mm - V3(450, 680, 500)).norm() < 1e-9);
  CHECK((branch.neck.outward - V3(0, 1, 0)).norm() < 1e-12);
  CHECK(branch.on_tee);
  CHECK(branch.grows_out_of.size() == 2);
  CHECK(at.bay.lines.size() == 5);
  // Up at 0.
  CHECK((neck_of(placed(job, {there(0)}).bay, "side tee.branch").neck.outward - V3(0, 0, 1)).norm() < 1e-12);
}

TEST_CASE("both readers put the same tee to the same place, whichever way its line goes") {
  const recheck::Job theirs = job_with_tee("clock_deg: [0, 270]", "clock_deg: free");
  const fs::path good = HOSEFIT_TEST_DIR "/input/good";
  const Result<Job> ours = load_job({good / "vehicles/teed", good / "pumps", good / "data"});
  REQUIRE(ours);
  for (const V3& along :
       {V3(1, 0, 0), V3(-0.6, 0.8, 0), V3(0.1, 0.2, -0.97), V3(0.5, 0.3, 0.85), V3(0, 0, 1)})
    for (const double clock : {0.0, 15.0, 105.0, 345.0}) {
      recheck::RecordedTee tee = there(clock);
      tee.along = along.normalized();
      const Placed at = placed(theirs, {tee});
      CHECK(at.faults == "");
      Candidate candidate{0, 0, 0, 0, 0, ours->family.intakes[0].drawn_height};
      candidate.tees = {{tee.middle_mm, tee.along, Angle::deg(clock)}};
      const Bay bay = assemble(*ours, BodyStore(*ours), candidate);
      for (std::size_t i = 0; i < 3; ++i) {
        const PlacedNeck& here = bay.necks[bay.tee->neck + i];
        const auto& neck = neck_of(at.bay, here.name).neck;
        CHECK((here.end_mm - neck.end_mm).norm() < 1e-9);
        CHECK((here.outward - neck.outward).norm() < 1e-12);
        CHECK(here.outside_diameter.mm() == neck.outside_mm);
      }
      const auto& drawn = bay.bodies[bay.tee->body].body->obstacles;
      for (const Obstacle& o : drawn) {
        const auto same = std::find_if(at.bay.obstacles.begin(), at.bay.obstacles.end(),
                                       [&](const auto& other) { return other.name == o.name; });
        REQUIRE(same != at.bay.obstacles.end());
        CHECK(same->hazard == word(o.hazard));
        const Pose& pose = bay.bodies[bay.tee->body].pose;
        for (const Vec3& p : {Vec3(500, 700, 480), Vec3(450, 600, 560), Vec3(380, 560, 500)})
          CHECK(recheck::distance_mm(same->solid, p, 1e3) ==
                Approx(signed_distance_mm(o.shape, pose.point_inverse(p))).margin(1e-9));
      }
    }
}

TEST_CASE(
    "a tee that is missing, told twice, of another name, at another angle or without a way is refuted") {
  const recheck::Job job = job_with_tee();
  CHECK(holds(placed(job, {}).faults, "the record does not say where the tee side tee stands"));
  CHECK(holds(placed(job, {}).faults, "these parts have no neck side tee.branch"));
  CHECK(holds(placed(job, {there(), there()}).faults, "the record says twice where the tee side tee stands"));
  recheck::RecordedTee other = there();
  other.name = "ghost";
  CHECK(holds(placed(job, {there(), other}).faults,
              "places the tee ghost, and the input has none of that name"));
  for (const double clock : {15.0, 90.0, 269.999, -90.0, 360.0, 630.0})
    CHECK(holds(placed(job, {there(clock)}).faults, "and the input does not offer that"));
  recheck::RecordedTee lost = there();
  lost.along = V3(0.5, 0, 0);
  CHECK(holds(placed(job, {lost}).faults, "gives the tee side tee no direction"));
  const recheck::Job free = job_with_tee("clock_deg: [0, 270]", "clock_deg: free");
  CHECK(placed(free, {there(345)}).faults == "");
  for (const double clock : {7.5, 360.0, -15.0})
    CHECK(holds(placed(free, {there(clock)}).faults, "does not offer"));
}

TEST_CASE("a tee between engine and chassis leaves the recheck without an answer") {
  recheck::Job job = job_with_tee();
  job.tee->starts_at = "pump.outlet";
  const Placed at = placed(job, {there()});
  CHECK(at.bay.tee_floats);
  const auto faults = recheck::tee_faults(job, at.bay, {});
  REQUIRE(faults.size() == 2);  // and the job states no known space
  CHECK(faults[0].undecided);
  CHECK(holds(faults[1].text, "leaves the known space"));
}

TEST_CASE("a tee whose branch alone leads to the engine leaves the recheck without an answer too") {
  recheck::Job job = job_with_tee();
  CHECK_FALSE(placed(job, {there()}).bay.tee_floats);
  for (recheck::Line& line : job.lines)
    if (line.from == "bottle") line.from = "pump.outlet";
  const Placed at = placed(job, {there()});
  CHECK(at.bay.tee_floats);
  const auto faults = recheck::tee_faults(job, at.bay, {});
  REQUIRE_FALSE(faults.empty());
  CHECK(faults[0].undecided);
}

TEST_CASE("hoses that meet on a tee are refuted, by their flat ends and outsides") {
  const recheck::Job job = job_with_tee();
  const Placed at = placed(job, {there()});
  recheck::RecordedLine run, branch;
  run.name = "run";
  branch.name = "branch";
  const auto meet = [&](double end_mm, double begin_mm) {
    recheck::Stretch over_run, over_branch;
    over_run.piece = recheck::StraightPiece{V3(-60, 0, 0), V3(-end_mm, 0, 0)};
    over_run.radius_mm = 24;
    over_branch.piece = recheck::StraightPiece{V3(0, begin_mm, 0), V3(0, 80, 0)};
    over_branch.radius_mm = 12;
    over_run.on_tee = over_branch.on_tee = true;
    std::vector<recheck::Tube> tubes(2);
    tubes[0].recorded = &run;
    tubes[0].stretches = {over_run};
    tubes[1].recorded = &branch;
    tubes[1].stretches = {over_branch};
    const auto faults = recheck::tee_faults(job, at.bay, tubes);
    return std::any_of(faults.begin(), faults.end(), [](const recheck::Fault& fault) {
      return fault.undecided && holds(fault.text, "the hoses of run and branch meet on the tee, or nearly");
    });
  };
  CHECK(meet(-10, 0));
  CHECK(meet(11.9, 23.9));  // by 0.1 mm, at a corner
  CHECK_FALSE(meet(12.1, 23.9));
  CHECK_FALSE(meet(11.9, 24.1));
}

TEST_CASE("everything must be clear of a tee but the tee itself") {
  const Placed at = placed(job_with_tee(), {there()});
  std::vector<std::size_t> of_tee, others;
  for (std::size_t i = 0; i < at.bay.obstacles.size(); ++i)
    (at.bay.obstacles[i].part == recheck::Part::tee ? of_tee : others).push_back(i);
  REQUIRE(of_tee.size() == 2);
  CHECK_FALSE(recheck::must_be_clear(at.bay, of_tee[0], of_tee[1], false));
  for (const std::size_t other : others)
    for (const std::size_t tee : of_tee) CHECK(recheck::must_be_clear(at.bay, tee, other, false));
}

TEST_CASE("what is not known of a tee is told, and never passed over") {
  REQUIRE(not_understood("side", "side") == "");
  CHECK(holds(not_understood("off_axis: 80", "off_axis: 80, lean: 3"), "lean: this key is not known"));
  CHECK(holds(not_understood("clock_deg: [0, 270]", "clock_deg: any"), "clock_deg"));
  CHECK(holds(not_understood("place: {from: cooler.high, least: 120, most: 260}", "place: there"), "place"));
  CHECK(holds(not_understood("    on: side", "    on: upper"), "a tee in a line of make"));
  CHECK(holds(not_understood("    on: side", "    on: ghost"), "want one line that the tee is in"));
  CHECK(
      holds(not_understood("to: side tee, duty", "to: tank.low, duty"), "want one line that the tee is in"));
  CHECK(holds(not_understood("to: cooler.high, duty: vent", "to: cooler.high, duty: vent, grade: rise"),
              "must rise or fall"));
  CHECK(holds(not_understood("off_axis: 80", "off_axis: 50"), "does not stand out of its body"));
  CHECK(holds(not_understood("place: {from: cooler.high", "place: {from: radiator.top"),
              "a range from a neck"));
}

namespace {

// The pickup with a small hose on the chassis at the right, a tee in it and a hose from the tee to a bottle.
const std::vector<std::pair<std::string, std::string>> kSideLines{
    {"necks:\n  - {name: tank.vent",
     "necks:\n"
     "  - {name: side.front, at: [250, 400, 700], outward: [1, 0, 0], od: 15.9, bore: 13, straight: 27}\n"
     "  - {name: side.rear, at: [590, 400, 700], outward: [-1, 0, 0], od: 15.9, bore: 13, straight: 27}\n"
     "  - {name: bottle, at: [420, 490, 700], outward: [0, -1, 0], od: 15.9, bore: 13, straight: 27}\n"
     "  - {name: tank.vent"},
    {"lines:\n",
     "tees:\n"
     "  - {name: side tee, on: side, run: {od: 15.9, bore: 13, straight: 22}, body: {length: 30, od: 20}, "
     "branch: {od: 15.9, bore: 13, straight: 22, off_axis: 45}, place: {from: side.front, least: 120, most: "
     "220}, "
     "clock_deg: free}\n"
     "lines:\n"
     "  - {name: side, from: side.front, to: side.rear, duty: vent, makes: [straight_hose]}\n"
     "  - {name: fill, from: side tee, to: bottle, duty: vent, makes: [straight_hose]}\n"}};

struct TeedPickup {
  Copied copied{bundled("harrow_half_ton").vehicle_folder, kSideLines};
  JobPaths paths = bundled("harrow_half_ton");
  std::unique_ptr<Prepared> prepared;
  CandidateResult result;
  recheck::Job job;
  recheck::Record record;

  TeedPickup() {
    paths.vehicle_folder = copied.folder.string();
    const Result<JobAndFiles> loaded = load_job_and_files(paths);
    INFO((loaded ? std::string() : format_problems(loaded.problems())));
    REQUIRE(loaded);
    prepared = std::make_unique<Prepared>(loaded->job);
    result = best_of(*prepared, "long left", 316);
    std::string stops;
    for (const Finding& f : result.findings)
      if (f.severity == Severity::stop)
        stops += std::string(word(f.rule)) + " " + f.subject + " " + f.other + "; ";
    INFO(stops);
    REQUIRE(result.verdict.fit == Fit::fits);
    Choice choice;
    choice.candidates.push_back(result);
    const auto read = recheck::read_record(
        "proof.json", proof_record(*prepared, choice, loaded->files, folders_of(paths), "test"));
    REQUIRE(read);
    record = *read;
    const recheck::JobRead job_read = recheck::read_job(
        {paths.vehicle_folder, paths.pumps_folder + "/" + prepared->job().family.name, paths.data_folder},
        record);
    REQUIRE(job_read.job);
    job = *job_read.job;
  }
  std::string told(const recheck::Record& changed, recheck::Answer answer, recheck::Asked asked) const {
    const recheck::Report report = recheck::recheck_record(job, changed, asked);
    CHECK(report.answer == answer);
    return recheck::tell(report);
  }
};

}  // namespace

TEST_CASE("in the pickup a line with a tee is proved and rechecked, and no other place of the tee is",
          "[whole]") {
  const TeedPickup pickup;
  using recheck::Answer;
  using recheck::Asked;
  REQUIRE(pickup.result.candidate.tees.size() == 1);
  const std::string confirmed = pickup.told(pickup.record, Answer::confirmed, Asked::in_motion_too);
  INFO(confirmed);
  CHECK(holds(confirmed, "tee side tee: its middle at (420.0, 400.0, 700.0), the branch at 270 deg"));

  const auto refuted = [&](const std::function<void(recheck::RecordedCandidate&)>& change,
                           const std::string& part) {
    recheck::Record changed = pickup.record;
    change(changed.candidates[0]);
    const std::string said = pickup.told(changed, Answer::refuted, Asked::at_rest);
    INFO(said);
    CHECK(holds(said, part));
  };
  // Off its line, beside the hoses' ends, the other way round.
  refuted([](auto& c) { c.tees[0].middle_mm.z() += 1; }, "side to side tee: differs");
  refuted([](auto& c) { c.tees[0].middle_mm.x() -= 1; }, "side from side tee: differs");
  refuted([](auto& c) { c.tees[0].along = -c.tees[0].along; }, "side to side tee: differs");
  refuted([](auto& c) { c.tees[0].along = V3(0.999, std::sqrt(1 - 0.999 * 0.999), 0); },
          "side to side tee: differs");
  refuted([](auto& c) { c.tees[0].clock_deg = 255; }, "fill: differs");
  refuted([](auto& c) { c.tees[0].clock_deg = 271; }, "does not offer that");
  refuted([](auto& c) { c.tees.clear(); }, "does not say where the tee side tee stands");
  refuted([](auto& c) { c.tees.push_back(c.tees[0]); }, "says twice");
  refuted([](auto& c) { std::erase_if(c.lines, [](const auto& l) { return l.name == "fill"; }); },
          "the record does not hold this line");
  refuted(
      [](auto& c) { std::erase_if(c.obstacles, [](const auto& o) { return o.name == "side tee branch"; }); },
      "did not consider side tee: side tee branch");

  // With the branch beyond what is known, and out of its range, as the input would have it.
  recheck::Job less = pickup.job;
  for (recheck::Solid& solid : less.known_space) {
    recheck::Block& block = std::get<recheck::Block>(solid);
    const double from = block.frame.at_mm.y() - block.half_mm.y(),
                 to = std::min(420.0, block.frame.at_mm.y() + block.half_mm.y());
    block.frame.at_mm.y() = (from + to) / 2;
    block.half_mm.y() = (to - from) / 2;
  }
  CHECK(holds(recheck::tell(recheck::recheck_record(less, pickup.record, Asked::at_rest)),
              "the tee side tee leaves the known space"));
  recheck::Job changed = pickup.job;
  changed.tee->range->least_mm = 170.2;
  const recheck::Report far = recheck::recheck_record(changed, pickup.record, Asked::at_rest);
  CHECK(far.answer == Answer::refuted);
  CHECK(holds(recheck::tell(far), "sits 170.00 mm along its line from side.front"));
}
