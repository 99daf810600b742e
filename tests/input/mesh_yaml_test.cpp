// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/input/mesh_yaml.h"

#include <sys/stat.h>

#include <catch2/catch.hpp>

#include "solver/input/check_report.h"
#include "solver/model/bay.h"
#include "tests/input/edited_job.h"

namespace hosefit::test {
namespace {

constexpr const char* kVehicle = "vehicles/tiny/vehicle.yaml";
constexpr const char* kBracket = "{mesh: {file: bracket.stl, unit: cm, closed: true}}";

// A roof of two faces, one of them written twice and one with a corner twice.
const std::string kRoof =
    "v 0 0 0\nv 2 0 0\nv 2 1 1\nv 0 1 1\nv 2 2 0\nv 0 2 0\nf 1 2 3\nf 1 3 4\nf 4 3 5\nf 4 6 5\nf 4 3 5\nf 1 "
    "2 2\n";

// Roughly: the scan's x is the vehicle's y, its unit is 200 mm.
std::string roof_mesh(const std::string& more, const std::string& last_spot = "[100, 420.5, 500]") {
  return "{mesh: {file: roof.obj, unit: unknown, " + more +
         "align: [{name: ridge, in_scan: [0, 1, 1], at: [300, 100, 700]}, {name: gutter, in_scan: [0, 0, 0], "
         "at: [500, 100, 500]}, {name: end, in_scan: [2, 0, 0], at: {at: [500, 500, 500], accuracy: 12}}, "
         "{name: back, in_scan: [1.6, 2, 0], at: " +
         last_spot + "}]}}";
}
Files with_mesh(const std::string& mesh) {
  Files files = good_files();
  files["vehicles/tiny/roof.obj"] = kRoof;
  replace_once(files.at(kVehicle), kBracket, mesh);
  return files;
}
Job loaded(const Files& files) {
  const ScratchFolder scratch;
  auto job = load_from(scratch, files);
  if (!job) FAIL(format_problems(job.problems()));
  return *std::move(job);
}
const Obstacle& scan_of(const Job& job) {
  const auto& all = job.vehicle.chassis->obstacles;
  return *std::find_if(all.begin(), all.end(), [](const Obstacle& o) { return o.name == "scanned bracket"; });
}

}  // namespace

TEST_CASE("a scan without a scale stands where its spots were measured") {
  const Job job = loaded(with_mesh(roof_mesh("", "[100, 420, 500]")));
  const TriangleMesh& mesh = *std::get<MeshShape>(scan_of(job).shape).mesh;
  REQUIRE(mesh.triangles.size() == 4);
  const AxisBox box = bounds(mesh);
  CHECK((box.min() - Vec3(100, 100, 500)).norm() < 1e-6);
  CHECK((box.max() - Vec3(500, 500, 700)).norm() < 1e-6);
  CHECK(scan_of(job).accuracy.mm() == Approx(5));
  CHECK(scan_of(job).notes->alignment->scale_mm == Approx(200));
}

TEST_CASE("what the spots are off by goes into the scan's accuracy and is told by check, the worst named") {
  const Job job = loaded(with_mesh(roof_mesh("", "[100, 428, 500]")));
  const Obstacle& scan = scan_of(job);
  const Alignment& found = *scan.notes->alignment;
  const double worst = found.residuals[found.worst].off_mm;
  CHECK(worst > 2);
  CHECK(scan.accuracy.mm() == Approx(5 + std::max(worst, found.per_coordinate_mm)));
  const std::vector<std::string> said = review(job).scans;
  REQUIRE(said.size() == 2);  // the panel of the good job too
  CAPTURE(said[0]);
  for (const auto& residual : found.residuals)
    CHECK(said[0].find(" at " + residual.name) != std::string::npos);
  CHECK(said[0].find("at " + found.residuals[found.worst].name + " (the worst)") != std::string::npos);
  CHECK(said[0].find("1 without area, 1 duplicate left out, 1 the wrong way round, turned") !=
        std::string::npos);
  CHECK(said[0].find("open along 6 edges") != std::string::npos);
}

TEST_CASE("a scan is seen from its front, from its back or from both sides as the file says") {
  const auto normal_of = [](const Job& job) {
    const TriangleMesh& mesh = *std::get<MeshShape>(scan_of(job).shape).mesh;
    const auto& t = mesh.triangles.front();
    return Vec3((mesh.vertices_mm[t[1]] - mesh.vertices_mm[t[0]])
                    .cross(mesh.vertices_mm[t[2]] - mesh.vertices_mm[t[0]])
                    .normalized());
  };
  const Job front = loaded(with_mesh(roof_mesh("seen_from: front, ")));
  const Job back = loaded(with_mesh(roof_mesh("seen_from: back, ")));
  CHECK(scan_of(front).seen_from == SeenFrom::front);
  CHECK(scan_of(back).seen_from == SeenFrom::front);
  CHECK((normal_of(front) + normal_of(back)).norm() < 1e-9);
  CHECK(scan_of(loaded(with_mesh(roof_mesh("seen_from: both, ")))).seen_from == SeenFrom::both);
}

TEST_CASE("a closed mesh with a face turned round and one doubled is solid") {
  Files files = good_files();
  files["vehicles/tiny/roof.obj"] =
      "v 0 0 0\nv 9 0 0\nv 0 9 0\nv 0 0 9\nf 1 3 2\nf 1 2 4\nf 2 3 4\nf 1 3 4\nf 2 3 4\n";
  replace_once(files.at(kVehicle), kBracket, "{mesh: {file: roof.obj, unit: mm, closed: true}}");
  const Job job = loaded(files);
  CHECK(scan_of(job).closed);
  CHECK(review(job).scans.front().find("closed: solid") != std::string::npos);
}

TEST_CASE("a mesh that is reached through a symbolic link out of the folder, or is a pipe, is refused") {
  for (const bool pipe : {false, true}) {
    const ScratchFolder scratch;
    Files files = with_mesh("{mesh: {file: scan.obj, unit: mm}}");
    for (const auto& [name, bytes] : files) write_file(scratch.path() / name, bytes);
    const fs::path there = scratch.path() / "vehicles/tiny/scan.obj";
    if (pipe)
      REQUIRE(::mkfifo(there.c_str(), 0600) == 0);
    else
      fs::create_symlink("../../pumps/small/engine.yaml", there);
    const auto job = load_job(paths_in(scratch.path()));
    REQUIRE_FALSE(job);
    const std::string said = format_problems(job.problems());
    CHECK(said.find(pipe ? "want a plain file" : "leads out of the folder") != std::string::npos);
  }
}

TEST_CASE("known space that was looked into stands in the bay") {
  Files files = good_files();
  replace_once(
      files.at(kVehicle), "max: [1000, 600, 800]}, looked_behind: false}",
      "max: [1000, 600, 800]}}\n  - {looked_behind: true, box: {min: [0, 0, 0], max: [10, 10, 10]}}");
  const Job job = loaded(files);
  CHECK(job.vehicle.known_space.size() == 2);
  REQUIRE(job.vehicle.looked_behind.size() == 1);
  CHECK(job.vehicle.looked_behind[0].half_size_mm == Vec3(5, 5, 5));
  const Bay bay = assemble(job, BodyStore(job), {0, 0, 0, 0, 0, job.vehicle.question.height});
  CHECK(bay.looked_behind.size() == 1);
}

}  // namespace hosefit::test
