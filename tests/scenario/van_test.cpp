// SPDX-License-Identifier: GPL-3.0-or-later
// The van whose bay is a scan: the build makes it. What the scan shows decides, and what it does not show
// never reads as a fit.
#include <algorithm>

#include "solver/model/mesh_notes.h"
#include "tests/scenario/bundled.h"

using namespace hosefit;

namespace {

Job van() {
  JobPaths paths = bundled("");
  paths.vehicle_folder = HOSEFIT_MADE_VEHICLES "/whimbrel_van";
  Result<Job> job = load_job(paths);
  INFO((job ? std::string() : format_problems(job.problems())));
  REQUIRE(job);
  return *job;
}

const Obstacle& scan_of(const Job& job) {
  const auto& all = job.vehicle.chassis->obstacles;
  const auto scan =
      std::find_if(all.begin(), all.end(), [](const Obstacle& o) { return o.name == "bay scan"; });
  REQUIRE(scan != all.end());
  return *scan;
}

// The van with something done to its scan.
template <class Change>
Job van_with(const Change& change) {
  Job job = van();
  Body chassis = *job.vehicle.chassis;
  for (Obstacle& o : chassis.obstacles) {
    if (o.name != "bay scan") continue;
    TriangleMesh mesh = *std::get<MeshShape>(o.shape).mesh;
    change(mesh);
    o.shape = MeshShape{"changed", std::make_shared<const TriangleMesh>(std::move(mesh))};
  }
  job.vehicle.chassis = std::make_shared<const Body>(std::move(chassis));
  return job;
}

bool names_unseen_space(const CandidateResult& result) {
  return std::any_of(result.findings.begin(), result.findings.end(), [](const Finding& f) {
    return f.rule == RuleId::unseen_space && f.other == "bay scan" && f.undecided &&
           f.parameters.contains("from_s_mm");
  });
}

}  // namespace

TEST_CASE("the van's scan is large, noisy and holed, and stands where its spots were taped") {
  const Job job = van();
  const MeshNotes& notes = *scan_of(job).notes;
  CHECK(notes.triangles > 250000);
  CHECK(notes.faults.duplicates == 40);
  CHECK(notes.faults.zero_area == 12);
  CHECK(notes.faults.turned == 25);
  CHECK(notes.faults.open_edges > 1000);
  REQUIRE(notes.alignment);
  CHECK(notes.alignment->scale_mm == Approx(412.7).epsilon(0.002));  // as it was made
  CHECK(notes.alignment->residuals[notes.alignment->worst].off_mm < 5);
  const AxisBox box = bounds(scan_of(job).shape);
  CHECK(box.min().z() == Approx(-60).margin(6));  // floor of the bay
  CHECK(box.max().x() == Approx(1930).margin(12));
}

TEST_CASE("in the scanned van a pump fits, and no line runs where nobody looked") {
  const Prepared prepared(van());
  const CandidateResult result = best_of(prepared, "low right", 290);
  CHECK(result.verdict.fit == Fit::fits);
  CHECK_FALSE(names_unseen_space(result));
}

TEST_CASE("what the scan of the van does not show never reads as a fit") {
  const auto undecided = [](const Job& job) {
    const Prepared prepared{Job(job)};
    const CandidateResult result = best_of(prepared, "low right", 290);
    CHECK(result.verdict.fit == Fit::undecided);
    CHECK(names_unseen_space(result));
  };
  SECTION("scanned no farther forward than the middle of the tunnel") {
    undecided(van_with([](TriangleMesh& mesh) {
      std::erase_if(mesh.triangles, [&](const auto& t) { return mesh.vertices_mm[t[0]].x() < 650; });
    }));
  }
  SECTION("a patch of the tunnel's right wall and floor missing") {
    undecided(van_with([](TriangleMesh& mesh) {
      std::erase_if(mesh.triangles, [&](const auto& t) {
        const Vec3& p = mesh.vertices_mm[t[0]];
        return p.x() > 300 && p.x() < 800 && p.y() > 100;
      });
    }));
  }
  SECTION("seen from behind") {
    undecided(van_with([](TriangleMesh& mesh) {
      for (auto& t : mesh.triangles) std::swap(t[1], t[2]);
    }));
  }
}
