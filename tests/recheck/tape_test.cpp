// SPDX-License-Identifier: GPL-3.0-or-later
// Two solvers that share no code must put taped points at the same places.
#include "solver/recheck/tape.h"

#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <iostream>

#include "solver/base/dice.h"
#include "solver/input/load_job.h"
#include "solver/recheck/job.h"

using namespace hosefit;

namespace {

struct Sheet {
  TapeNetwork net;
  std::string text;
};

Vec3 thrown(Dice& dice, double reach) {
  return {dice.between(-reach, reach), dice.between(-reach, reach), dice.between(-reach / 2, reach / 2)};
}
std::string yaml(const Vec3& p) {
  return fmt::format("[{:.4f}, {:.4f}, {:.4f}]", p.x(), p.y(), p.z());
}
Vec3 rounded(const Vec3& p) {
  return (p * 1e4).array().round() / 1e4;
}

// Six datums and three points, the second measured from the first too, the third apart.
Sheet thrown_sheet(std::uint64_t task) {
  Dice dice({11}, task);
  Sheet sheet;
  sheet.text = "hosefit: vehicle\nformat: 1\ntape:\n  accuracy: 3\n  datums:\n";
  for (std::size_t i = 0; i < 6; ++i) {
    const double accuracy = 1 + static_cast<double>(dice.below(3));
    sheet.net.datums.push_back({fmt::format("D{}", i), rounded(thrown(dice, 600)), accuracy});
    sheet.text += fmt::format("    - {{name: D{}, at: {}, accuracy: {}}}\n", i,
                              yaml(sheet.net.datums[i].at_mm), accuracy);
  }
  sheet.text += "  points:\n";
  std::vector<Vec3> truth;
  for (std::size_t p = 0; p < 3; ++p) {
    truth.push_back(thrown(dice, 300));
    const Vec3 about = rounded(truth[p] + thrown(dice, 40));
    sheet.net.points.push_back({fmt::format("P{}", p), about});
    sheet.text += fmt::format("    - name: P{}\n      near: {}\n      tapes:\n", p, yaml(about));
    const auto add = [&](const Vec3& end, TapeEnd to, const std::string& name) {
      const double reads = std::round(10 * ((truth[p] - end).norm() + dice.between(-2, 2))) / 10;
      sheet.net.readings.push_back({TapeKind::distance, p, to, reads, 3});
      sheet.text += fmt::format("        - {{to: {}, reads: {:.1f}}}\n", name, reads);
    };
    for (std::size_t d = p; d < p + 4; ++d) add(sheet.net.datums[d].at_mm, {true, d}, fmt::format("D{}", d));
    if (p == 1) add(truth[0], {false, 0}, "P0");
    if (p == 2) {
      const double reads = std::round(10 * (truth[p].z() - sheet.net.datums[0].at_mm.z())) / 10;
      sheet.net.readings.push_back({TapeKind::drop, p, {true, 0}, reads, 2});
      sheet.text += fmt::format("      drops: [{{to: D0, reads: {:.1f}, accuracy: 2}}]\n", reads);
    }
  }
  return sheet;
}

struct SecondReading {
  recheck::YamlFile file;
  recheck::Refusals refusals;
};
SecondReading read_second(const std::string& text) {
  SecondReading out;
  out.file.path = "vehicle.yaml";
  out.file.root = recheck::read_yaml("vehicle.yaml", text, out.refusals);
  recheck::work_out_tape(out.file, out.refusals);
  return out;
}

std::string tripod(const std::string& near, const std::string& last) {
  return "hosefit: vehicle\nformat: 1\ntape:\n  datums:\n    - {name: A, at: [0, 0, 0]}\n"
         "    - {name: B, at: [600, 0, 0]}\n    - {name: C, at: [0, 500, 0]}\n  points:\n    - name: P\n" +
         near + "      tapes: [{to: A, reads: 400}, {to: B, reads: 450}, {to: C, reads: " + last + "}]\n";
}

}  // namespace

TEST_CASE("both solvers put taped points at the same places") {
  std::size_t compared = 0;
  double farthest = 0;
  for (std::uint64_t task = 0; task < 300; ++task) {
    CAPTURE(task);
    const Sheet sheet = thrown_sheet(task);
    const TapeSolution first = solve(sheet.net);
    if (!first.refusals.empty()) continue;
    SecondReading second = read_second(sheet.text);
    for (const Problem& p : second.refusals.list()) FAIL(p.path << ": " << p.text);
    for (std::size_t p = 0; p < 3; ++p)
      farthest =
          std::max(farthest, (first.places[p].at_mm - second.file.taped.at(fmt::format("P{}", p))).norm());
    ++compared;
  }
  std::cout << "recheck: taped points of " << compared << " of 300 sheets compared, at most " << farthest
            << " mm apart\n";
  CHECK(compared > 200);
  CHECK(farthest < 0.003);
}

TEST_CASE("the recheck takes no taped point that two places fit, and none whose tapes do not meet") {
  const SecondReading fine = read_second(tripod("      near: [150, 150, 300]\n", "380"));
  CHECK(!fine.refusals.any());
  // x = (400^2 - 450^2 + 600^2) / 1200, y = (400^2 - 380^2 + 500^2) / 1000, z^2 = 400^2 - x^2 - y^2
  CHECK((fine.file.taped.at("P") - recheck::V3(264.5833, 265.6, 139.4722)).norm() < 0.002);
  const SecondReading open = read_second(tripod("", "380"));
  CHECK(open.refusals.any());
  const SecondReading apart = read_second(tripod("      near: [150, 150, 300]\n", "100"));
  CHECK(apart.refusals.any());
}

TEST_CASE("the recheck refuses a taped point that was not worked out") {
  SecondReading read = read_second(tripod("      near: [150, 150, 300]\n", "380") + "at: {taped: Q}\n");
  recheck::Table in(read.file, read.file.root, "", read.refusals);
  (void)in.point_mm("at");
  REQUIRE(read.refusals.any());
  CHECK(read.refusals.list()[0].text == "no point of that name was worked out");
}

TEST_CASE("both readers see taped necks and obstacles of a whole vehicle alike") {
  const std::string good = std::string(HOSEFIT_TEST_DIR) + "/input/good";
  const JobPaths paths{good + "/vehicles/tiny", good + "/pumps", good + "/data"};
  const Result<JobAndFiles> loaded = load_job_and_files(paths);
  REQUIRE(loaded);
  recheck::Record record;
  record.family = loaded->job.family.name;
  for (const FileRead& file : loaded->files) record.files.push_back({file.name, file.sha256});
  const recheck::JobRead second =
      recheck::read_job({paths.vehicle_folder, paths.pumps_folder + "/small", paths.data_folder}, record);
  for (const Problems* list : {&second.missing, &second.changed, &second.not_understood})
    for (const Problem& p : *list)
      FAIL(p.place.file << ":" << p.place.line << " " << p.path << ": " << p.text);
  REQUIRE(second.job);
  REQUIRE(second.job->chassis_necks.size() == loaded->job.vehicle.necks.size());
  for (std::size_t i = 0; i < second.job->chassis_necks.size(); ++i)
    CHECK((second.job->chassis_necks[i].end_mm - loaded->job.vehicle.necks[i].end_mm.value).norm() < 0.003);
}
