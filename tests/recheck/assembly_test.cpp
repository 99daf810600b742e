// SPDX-License-Identifier: GPL-3.0-or-later
// Two readers that share no code must see the same vehicle: every obstacle and neck of every set of parts.
#include <algorithm>
#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "solver/base/dice.h"
#include "solver/decide/part_gaps.h"
#include "solver/input/load_job.h"
#include "solver/model/bay.h"
#include "solver/model/bolts_together.h"
#include "solver/recheck/bay.h"
#include "solver/verify/proof_bodies.h"

using namespace hosefit;

namespace {

struct BothJobs {
  Job first;
  recheck::Job second;

  static BothJobs of(const JobPaths& paths) {
    Result<JobAndFiles> loaded = load_job_and_files(paths);
    INFO((loaded ? std::string() : format_problems(loaded.problems())));
    REQUIRE(loaded);
    recheck::Record record;
    record.family = loaded->job.family.name;
    for (const FileRead& file : loaded->files) record.files.push_back({file.name, file.sha256});
    recheck::JobRead read = recheck::read_job(
        {paths.vehicle_folder, paths.pumps_folder + "/" + record.family, paths.data_folder}, record);
    for (const Problems* list : {&read.missing, &read.changed, &read.not_understood})
      for (const Problem& p : *list)
        FAIL(p.place.file << ":" << p.place.line << " " << p.path << ": " << p.text);
    REQUIRE(read.job);
    return {loaded->job, *read.job};
  }
};

recheck::RecordedCandidate as_recorded(const Job& job, const BodyStore& store, const Candidate& c) {
  const Family& family = job.family;
  recheck::RecordedCandidate out;
  for (std::size_t i = 0; i < store.chosen_necks().size(); ++i) {
    const NeckPlace& place = place_of(store.chosen_necks()[i], c, i);
    out.necks.push_back({job.vehicle.necks[store.chosen_necks()[i].neck].name, {}, place.turned.deg()});
    for (const Length length : place.slid) out.necks.back().slide_mm.push_back(length.mm());
  }
  out.pump = family.pumps[c.pump].name;
  out.drive = family.drives[c.drive].name;
  out.housing = family.housings[c.housing].name;
  out.intake = family.intakes[c.intake].name;
  out.clock_deg = family.housings[c.housing].clocks[c.clock].deg();
  out.height_mm = c.height.mm();
  return out;
}

bool is_moved(const PlacedBody& placed) {
  return placed.pose.rotation != Mat3::Identity() || placed.pose.origin_mm != Vec3::Zero();
}

// Which rigid parts fall short of each other, by the first proof's triangles and by the recheck's convex
// parts.
int compare_clashes(const BothJobs& both, const Bay& first, ProofStore& store, const recheck::Bay& second) {
  const std::vector<recheck::Fault> faults =
      recheck::clashes(second, both.second.gaps, both.second.fan_on_engine);
  const auto label = [&](ObstacleRef ref) {
    return first.bodies[ref.body].body->name + ": " + obstacle(first, ref).name;
  };
  const std::vector<RigidGap> gaps = part_gaps(first, store, both.first.gaps);
  const auto told = [&](const RigidGap& gap) {
    return std::any_of(faults.begin(), faults.end(), [&](const recheck::Fault& fault) {
      for (const std::string& pair :
           {label(gap.a) + " and " + label(gap.b), label(gap.b) + " and " + label(gap.a)})
        if (fault.text.starts_with(pair + " are ") || fault.text.starts_with(pair + " touch "))
          return !fault.undecided;
      return false;
    });
  };
  std::size_t both_short = 0;
  for (const RigidGap& gap : gaps) {
    INFO(label(gap.a) << " and " << label(gap.b) << ": " << gap.distance_mm << " of " << gap.required_mm);
    if (gap.distance_mm < gap.required_mm - 0.1) CHECK(told(gap));
    if (told(gap)) CHECK(falls_short(gap));
    both_short += told(gap);
  }
  CHECK(both_short == faults.size());
  return static_cast<int>(faults.size());
}

int compare(const BothJobs& both, const BodyStore& store, ProofStore& proofs, const Candidate& candidate,
            Dice& dice) {
  const Bay first = assemble(both.first, store, candidate);
  const ProofBodies bodies(first);
  std::vector<recheck::Fault> faults;
  const auto recorded = as_recorded(both.first, store, candidate);
  const recheck::Chosen chosen = recheck::choose(both.second, recorded, faults);
  REQUIRE(chosen.pump != nullptr);
  faults.clear();
  const recheck::Bay second = recheck::place(both.second, chosen, recorded, faults);
  REQUIRE(faults.empty());

  // The first keeps what goes along with necks after all other bodies, the second where it is written.
  std::size_t of_chassis = 0, after_chassis = 0;
  for (const recheck::PlacedObstacle& o : second.obstacles) after_chassis += o.part == recheck::Part::chassis;
  for (std::size_t b = 0; b < first.bodies.size(); ++b)
    for (std::size_t o = 0; o < first.bodies[b].body->obstacles.size(); ++o) {
      const Obstacle& here = first.bodies[b].body->obstacles[o];
      const auto named = std::find_if(
          second.obstacles.begin(), second.obstacles.end(),
          [&](const recheck::PlacedObstacle& p) { return p.body == "chassis" && p.name == here.name; });
      of_chassis += is_of_chassis(b);
      const std::size_t at =
          is_of_chassis(b) ? static_cast<std::size_t>(named - second.obstacles.begin()) : after_chassis++;
      REQUIRE(at < second.obstacles.size());
      const recheck::PlacedObstacle& there = second.obstacles[at];
      REQUIRE(there.goes_along.has_value() == (b >= kFirstNeckBody));
      INFO(there.label());
      REQUIRE(there.body == first.bodies[b].body->name);
      REQUIRE(there.name == here.name);
      for (const Runner runner : {Runner::hose, Runner::clamp, Runner::rigid_part})
        for (const LineCarrier carrier : {LineCarrier::chassis, LineCarrier::engine, LineCarrier::both}) {
          const bool alike =
              carrier != LineCarrier::both && (carrier == LineCarrier::engine) == there.on_engine;
          const auto gap = there.own_gap_mm
                               ? there.own_gap_mm
                               : both.second.gaps.at(std::string(word(runner)), there.hazard, alike);
          REQUIRE(gap);
          REQUIRE(
              *gap ==
              required_gap(both.first.gaps, runner, carrier, here, first.bodies[b].body->carrier).gap.mm());
          const auto after = there.own_gap_mm ? there.own_gap_mm
                                              : both.second.gaps.after_motion(std::string(word(runner)),
                                                                              there.hazard, alike);
          REQUIRE(after);
          REQUIRE(*after == Approx(required_gap_after_motion(both.first.gaps, runner, carrier, here,
                                                             first.bodies[b].body->carrier)
                                       .gap.mm()));
        }
      const AxisBox box = bodies.box({b, o});
      for (int k = 0; k < 6; ++k) {
        const Vec3 p = box.center() +
                       (box.sizes() / 2 + Vec3::Constant(60))
                           .cwiseProduct(Vec3(dice.between(-1, 1), dice.between(-1, 1), dice.between(-1, 1)));
        const double wanted = bodies.distance_mm({b, o}, p);
        const double found = recheck::distance_mm(there.solid, p, 1e9);
        if (wanted > 0) REQUIRE(found == Approx(wanted).margin(1e-7));
        REQUIRE((wanted < -1e-9) == recheck::is_inside(there.solid, p));
      }
    }
  REQUIRE(after_chassis == second.obstacles.size());
  REQUIRE(static_cast<std::ptrdiff_t>(of_chassis) ==
          std::count_if(second.obstacles.begin(), second.obstacles.end(),
                        [](const auto& p) { return p.part == recheck::Part::chassis; }));

  const int clashes = compare_clashes(both, first, proofs, second);

  REQUIRE(first.necks.size() == second.necks.size());
  for (std::size_t i = 0; i < first.necks.size(); ++i) {
    const PlacedNeck& here = first.necks[i];
    const recheck::PlacedNeck& there = second.necks[i];
    INFO(here.name);
    REQUIRE(there.neck.name == here.name);
    REQUIRE((there.neck.end_mm - here.end_mm).norm() < 1e-9);
    REQUIRE((there.neck.outward - here.outward).norm() < 1e-12);
    REQUIRE(there.neck.outside_mm == here.outside_diameter.mm());
    REQUIRE(there.neck.bore_mm == here.bore.mm());
    REQUIRE(there.neck.straight_mm == here.straight.mm());
    REQUIRE(there.on_engine == (here.carrier == Carrier::engine));
    REQUIRE(there.grows_out_of.size() == here.own_part.size());
    REQUIRE(there.elsewhere == (here.goes_along && is_moved(first.bodies[*here.goes_along])));
  }
  REQUIRE(first.lines.size() == second.lines.size());
  for (std::size_t i = 0; i < first.lines.size(); ++i) {
    REQUIRE(second.lines[i].line->name == first.lines[i].line.name);
    REQUIRE(second.lines[i].from == first.lines[i].from);
    REQUIRE(second.lines[i].to == first.lines[i].to);
    REQUIRE(second.lines[i].moves == (first.lines[i].carrier == LineCarrier::both));
    REQUIRE(second.lines[i].line->grade == word(first.lines[i].line.grade));
  }
  return clashes;
}

void compare_shapes(const MouldedShape& here, const recheck::MouldedShape& there) {
  INFO(here.name);
  CHECK(there.name == here.name);
  const auto alike = [](const auto& second, const auto& first, auto as) {
    REQUIRE(second.size() == first.size());
    for (std::size_t k = 0; k < first.size(); ++k) CHECK(second[k] == Approx(as(first[k])));
  };
  alike(there.straights_mm, here.straights, [](Length l) { return l.mm(); });
  alike(there.radii_mm, here.radii, [](Length l) { return l.mm(); });
  alike(there.angles_deg, here.angles, [](Angle a) { return a.deg(); });
  alike(there.turns_deg, here.turns, [](Angle a) { return a.deg(); });
}

// `most`: of candidates, for bays that take long.
int compare_all(const JobPaths& paths, int most = 1000) {
  const BothJobs both = BothJobs::of(paths);
  const BodyStore store(both.first);
  Dice dice(RunSeed{11}, 0);
  const Family& family = both.first.family;
  int compared = 0, clashes = 0;
  ProofStore proofs;
  Candidate c;
  for (c.pump = 0; c.pump < family.pumps.size(); ++c.pump)
    for (c.housing = 0; c.housing < family.housings.size(); ++c.housing) {
      c.intake = (c.pump + c.housing) % family.intakes.size();
      c.drive = (c.pump + c.housing) % family.drives.size();
      for (c.clock = 0; c.clock < family.housings[c.housing].clocks.size(); ++c.clock) {
        const Intake& intake = family.intakes[c.intake];
        for (const double share : {0.0, 0.37, 1.0}) {
          c.height = intake.least_height + share * (intake.most_height - intake.least_height);
          c.neck_places.clear();
          if (dice.unit() < 0.8)
            for (const ChosenNeck& neck : store.chosen_necks())
              c.neck_places.push_back(dice.below(neck.places.size()));
          if (compared >= most || !bolts_together(both.first, c)) continue;
          clashes += compare(both, store, proofs, c, dice);
          ++compared;
        }
      }
    }
  CHECK(compared >= 3);
  REQUIRE(both.first.stock.size() == both.second.stock.size());
  for (std::size_t i = 0; i < both.first.stock.size(); ++i) {
    const Stock& here = both.first.stock[i];
    const recheck::Stock& there = both.second.stock[i];
    INFO(here.id);
    CHECK(there.id == here.id);
    CHECK(there.make == word(here.make));
    CHECK(there.outside_mm == here.outside_diameter.mm());
    CHECK(there.bore_mm == here.bore.mm());
    REQUIRE(there.radii_mm.size() == here.radii.size());
    for (std::size_t k = 0; k < here.radii.size(); ++k) CHECK(there.radii_mm[k] == here.radii[k].mm());
    REQUIRE(there.shapes.size() == here.shapes.size());
    for (std::size_t k = 0; k < here.shapes.size(); ++k) compare_shapes(here.shapes[k], there.shapes[k]);
    CHECK(there.most_bend_deg == Approx(here.most_bend.deg()));
    CHECK(there.leg_mm == here.leg.mm());
    CHECK(there.cuff_mm == here.cuff.mm());
    CHECK(there.cuff_trim_mm == here.cuff_trim.mm());
    CHECK(there.coupler_outside_mm == here.coupler_outside.mm());
    CHECK(there.coupler_gap_mm == here.coupler_gap.mm());
    CHECK(there.straight_between_mm == here.straight_between.mm());
    CHECK(there.lengths_mm.size() == here.lengths.size());
    CHECK(there.angles_deg.size() == here.angles.size());
  }
  REQUIRE(both.first.vehicle.known_space.size() == both.second.known_space.size());
  return clashes;
}

JobPaths bundled_paths(const std::string& vehicle) {
  const std::string root = HOSEFIT_ROOT_DIR;
  return {root + "/vehicles/" + vehicle, root + "/pumps", root + "/solver/data"};
}

}  // namespace

TEST_CASE("both readers place every part of the bundled vehicles alike, with the same gaps and clashes") {
  CHECK(compare_all(bundled_paths("harrow_half_ton")) > 20);
  CHECK(compare_all(bundled_paths("linnet_coupe")) > 20);
}

TEST_CASE("both readers put a scan of a quarter of a million faces in the same place", "[whole]") {
  const std::string root = HOSEFIT_ROOT_DIR;
  CHECK(compare_all(
            {std::string(HOSEFIT_MADE_VEHICLES) + "/whimbrel_van", root + "/pumps", root + "/solver/data"},
            4) > 0);
}

TEST_CASE("both readers read the job that holds every key, inches, a mesh and a shelf alike") {
  const std::string good = HOSEFIT_TEST_DIR "/input/good";
  compare_all({good + "/vehicles/tiny", good + "/pumps", good + "/data"});
}

TEST_CASE("both readers put a scan of a known unit in the same place") {
  namespace fs = std::filesystem;
  const std::string good = HOSEFIT_TEST_DIR "/input/good";
  const fs::path folder = fs::temp_directory_path() / "hosefit_scan_of_known_unit";
  fs::remove_all(folder);
  fs::copy(good + "/vehicles/tiny", folder, fs::copy_options::recursive);
  std::ostringstream text;
  text << std::ifstream(folder / "vehicle.yaml").rdbuf();
  std::string vehicle = text.str();
  // The spots lie ten times as far apart in the scan, so that a unit of it is a centimetre.
  for (const auto& [from, to] : {std::pair{"unit: unknown", "unit: cm"}, std::pair{"[4, 0, 0]", "[40, 0, 0]"},
                                 std::pair{"[4, 3, 0]", "[40, 30, 0]"}}) {
    const auto at = vehicle.find(from);
    REQUIRE(at != std::string::npos);
    vehicle.replace(at, std::string(from).size(), to);
  }
  std::ofstream(folder / "vehicle.yaml") << vehicle;
  compare_all({folder.string(), good + "/pumps", good + "/data"});
  fs::remove_all(folder);
}
