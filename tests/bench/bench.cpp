// SPDX-License-Identifier: GPL-3.0-or-later
// Timings of the main job on the bundled vehicles, printed, never asserted. Ratios are against a peer
// measured in the same run: nearest-distance queries of the search's index against the same queries on the
// proof's closed forms and CGAL trees.
//   hosefit_bench [vehicle name | slider | scan | shapes | distances | all_distances ...]    all_distances:
//   up to 10 million triangles
#include <fmt/format.h>

#include <algorithm>
#include <cstdio>
#include <string>
#include <vector>

#include "solver/base/dice.h"
#include "solver/decide/decide.h"
#include "solver/field/line_field.h"
#include "solver/input/load_job.h"
#include "tests/bench/timing.h"

using namespace hosefit;

namespace {

JobPaths paths(const std::string& vehicle) {
  const std::string root = HOSEFIT_ROOT_DIR;
  JobPaths p;
  p.vehicle_folder = root + "/vehicles/" + vehicle;
  p.pumps_folder = root + "/pumps";
  p.data_folder = root + "/solver/data";
  return p;
}

std::vector<Vec3> points_in(const AxisBox& box, std::size_t n) {
  Dice dice(RunSeed{7}, 1);
  std::vector<Vec3> points(n);
  for (Vec3& p : points)
    for (int k = 0; k < 3; ++k) p[k] = dice.between(box.min()[k], box.max()[k]);
  return points;
}

// The peer answers for all obstacles of the bay by asking each; the field's index finds the nearest itself.
// Both answer "distance to the nearest surface less its required gap".
void distance_queries(const Job& job, const Bay& bay, FieldStore& store) {
  const LineField field(bay, store, job.gaps, Runner::hose, LineCarrier::both);
  const ProofBodies peer(bay);
  const std::vector<Vec3> points = points_in(field.bounds(), 2000);
  double checksum = 0;
  double worst = 0;
  std::vector<double> own(points.size());
  const Timed index = timed([&] {
    for (std::size_t i = 0; i < points.size(); ++i) own[i] = field.exact(points[i]).spare_mm;
  });
  const Timed every = timed([&] {
    for (std::size_t i = 0; i < points.size(); ++i) {
      double least = 1e300;
      for (std::size_t b = 0; b < bay.bodies.size(); ++b)
        for (std::size_t o = 0; o < bay.bodies[b].body->obstacles.size(); ++o) {
          const Obstacle& obstacle = bay.bodies[b].body->obstacles[o];
          const double gap =
              required_gap(job.gaps, Runner::hose, LineCarrier::both, obstacle, bay.bodies[b].body->carrier)
                  .gap.mm();
          least = std::min(least, peer.distance_mm({b, o}, points[i]) - gap);
        }
      worst = std::max(worst, std::abs(least - own[i]));
      checksum += least;
    }
  });
  const Timed bound = timed([&] {
    for (const Vec3& p : points) checksum += field.lower_bound_mm(p);
  });
  const double n = static_cast<double>(points.size());
  fmt::print(
      "  nearest spare gap: index {:.2f} us, lower bound {:.3f} us, closed forms and CGAL one by one {:.2f} "
      "us "
      "(ratio {:.1f}); largest difference {:.3f} mm{}\n",
      index.cpu * 1e3 / n, bound.cpu * 1e3 / n, every.cpu * 1e3 / n, every.cpu / index.cpu, worst,
      std::isfinite(checksum) ? "" : " (not finite)");
}

std::string fits_text(const Choice& choice) {
  int fits = 0;
  int undecided = 0;
  for (const PumpAnswer& answer : choice.ranking) {
    const Fit fit = choice.candidates[answer.best].verdict.fit;
    fits += fit == Fit::fits ? 1 : 0;
    undecided += fit == Fit::undecided ? 1 : 0;
  }
  return fmt::format("{} pumps: {} fit, {} undecided, {} candidates", choice.ranking.size(), fits, undecided,
                     choice.candidates.size());
}

void bench_vehicle(const std::string& vehicle) {
  fmt::print("\n{}\n", vehicle);
  std::optional<Result<Job>> loaded;
  row("load and check all files", timed([&] { loaded.emplace(load_job(paths(vehicle))); }));
  if (!*loaded) {
    fmt::print("{}", format_problems(loaded->problems()));
    return;
  }
  const Job& job = **loaded;
  const Query query = question_of(job);
  const Budget one_thread;

  std::optional<Prepared> prepared;
  row("prepare", timed([&] { prepared.emplace(job); }));
  Candidate candidate;
  candidate.intake = query.intake;
  candidate.height = query.height;
  for (std::size_t p = 0; p < job.family.pumps.size(); ++p)  // the first pump and housing that go together
    for (std::size_t h = 0; h < job.family.housings.size(); ++h) {
      const Housing& housing = job.family.housings[h];
      const Seat& seat = job.family.pumps[p].seat;
      if (housing.flange == seat.flange &&
          std::count(housing.places.begin(), housing.places.end(), seat.place) > 0) {
        candidate.pump = p;
        candidate.housing = h;
      }
    }
  const Bay bay = assemble(job, prepared->bodies(), candidate);
  row("index and grid of every body", timed([&] {
        const LineField field(bay, prepared->fields(), job.gaps, Runner::hose, LineCarrier::both);
        const AxisBox box = field.bounds();
        double sum = 0;
        for (const Vec3& p : points_in(box, 200)) sum += field.lower_bound_mm(p);
        if (!std::isfinite(sum)) fmt::print("  (not finite)\n");
      }));
  distance_queries(job, bay, prepared->fields());

  Bay one_line = bay;
  for (const BayLine& line : bay.lines) {
    one_line.lines = {line};
    std::vector<LineSearch> found;
    const Timed t = timed(
        [&] { found = route_lines(one_line, prepared->fields(), job.gaps, job.stock, RouteOptions{}); });
    row("one route, cold: " + line.line.name, t,
        found[0].route ? std::string(title(found[0].route->make)) : "none");
  }

  Choice choice;
  const Timed alone = timed([&] { choice = decide(*prepared, query, one_thread, {}, {}); });
  row("all variants at one height, 1 thread", alone, fits_text(choice));
  Budget all_threads = one_thread;
  all_threads.threads = Threads::of_machine();
  const Timed together = timed([&] { choice = decide(*prepared, query, all_threads, {}, {}); });
  row(fmt::format("all variants at one height, {} threads", all_threads.threads.count), together,
      fits_text(choice));

  const Intake& intake = job.family.intakes[query.intake];
  int fits = 0;
  const Timed sweep = timed([&] {
    for (int i = 0; i < 50; ++i) {
      Query step = query;
      step.height = intake.least_height + (intake.most_height - intake.least_height) * (i / 49.0);
      const Choice at = decide(*prepared, step, all_threads, {}, {});
      for (const PumpAnswer& answer : at.ranking)
        fits += at.candidates[answer.best].verdict.fit == Fit::fits ? 1 : 0;
    }
  });
  row("a sweep of 50 heights, all variants, all threads", sweep, fmt::format("{} fits in all", fits));
  fmt::print("  peak memory of the process {:.0f} MB\n", peak_memory_mb());
}

void bench_sliders() {
  for (const std::string vehicle : {"harrow_half_ton", "linnet_coupe"}) {
    fmt::print("\n{}\n", vehicle);
    const Result<Job> loaded = load_job(paths(vehicle));
    if (!loaded) continue;
    bench_slider(Prepared(*loaded), question_of(*loaded));
  }
}

}  // namespace

int main(int argc, char** argv) {
  fmt::print("{}\n", machine());
  std::vector<std::string> vehicles(argv + 1, argv + argc);
  if (vehicles.empty())
    vehicles = {"scan", "shapes", "distances", "slider", "harrow_half_ton", "linnet_coupe"};
  bool agree = true;
  for (const std::string& vehicle : vehicles) {
    if (vehicle == "scan")
      bench_scan();
    else if (vehicle == "shapes")
      bench_shapes();
    else if (vehicle == "slider")
      bench_sliders();
    else if (vehicle == "distances" || vehicle == "all_distances")
      agree = bench_distances(vehicle == "distances" ? 1'000'000 : 10'000'000) && agree;
    else
      bench_vehicle(vehicle);
  }
  return agree ? 0 : 1;
}
