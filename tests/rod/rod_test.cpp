// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/rod/rod.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>
#include <optional>

#include "solver/base/dice.h"
#include "tests/support/check_table.h"
#include "tests/support/random_shapes.h"

using namespace hosefit;
using namespace hosefit::test;

namespace {

constexpr double kDegree = std::numbers::pi / 180;

struct Clamped {
  std::string id;
  double length = 0;
  RodEnd from, to;
  std::optional<double> from_deg, to_deg;  ///< headings, of planar rows: which way round the rod turns
};

Mat3 heading(double degrees) {
  return Eigen::AngleAxisd(degrees * kDegree, Vec3::UnitZ()).toRotationMatrix();
}
Vec3 vec(const CheckRow& row, const std::string& name) {
  return {row.number(name + "x"), row.number(name + "y"), row.number(name + "z")};
}
Mat3 frame_of(const Vec3& along, const Vec3& director) {
  Mat3 out;
  out.col(0) = along;
  out.col(1) = director;
  out.col(2) = along.cross(director);
  return out;
}

Clamped clamped(const CheckRow& row, const std::vector<CheckRow>& frames) {
  Clamped out{row.text("id"), row.number("length"), {}, {}, {}, {}};
  const bool planar = row.text("group") != "d";
  out.to.at_mm = {row.number("x1"), row.number("y1"), planar ? 0.0 : row.number("z1")};
  if (planar) {
    out.from_deg = row.number("angle0_deg");
    out.to_deg = row.number("angle1_deg");
    out.from.frame = heading(*out.from_deg);
    out.to.frame = heading(*out.to_deg);
    return out;
  }
  const auto frame =
      std::find_if(frames.begin(), frames.end(), [&](const CheckRow& f) { return f.text("id") == out.id; });
  REQUIRE(frame != frames.end());
  out.from.frame = frame_of(vec(row, "t0"), vec(*frame, "d0"));
  out.to.frame = frame_of(vec(row, "t1"), vec(*frame, "d1"));
  return out;
}

// A start that turns evenly from one end's frame to the other's, with a swing of `bulge` rad out and back
// about `axis`.
RodShape start_shape(const Clamped& problem, std::size_t links, const Vec3& axis, double bulge) {
  const Eigen::Quaterniond a(problem.from.frame), b(problem.to.frame);
  RodShape shape;
  for (std::size_t i = 0; i < links; ++i) {
    const double t = (static_cast<double>(i) + 0.5) / static_cast<double>(links);
    const double out_and_back = 2 * std::cos(std::numbers::pi * t) * std::sin(std::numbers::pi * t);
    const Eigen::AngleAxisd swing(bulge * out_and_back, axis);
    const Mat3 between = problem.from_deg
                             ? heading(*problem.from_deg + t * (*problem.to_deg - *problem.from_deg))
                             : Mat3(a.slerp(t, b).toRotationMatrix());
    shape.frames.push_back(swing.toRotationMatrix() * between);
  }
  return shape;
}

// The stable shape of least energy out of a few starts.
std::optional<Settled> least_energy(const Clamped& problem, const Rod& rod) {
  std::optional<Settled> best;
  for (const Vec3& axis : {Vec3(0, 0, 1), Vec3(0, 1, 0), Vec3(1, 2, 1).normalized()})
    for (const double bulge : {0.0, 0.7, -0.7, 1.4, -1.4}) {
      Settled settled =
          settle(rod, problem.from, problem.to, start_shape(problem, rod.links_mm.size(), axis, bulge));
      if (settled.settling != Settling::stable && settled.settling != Settling::neutral) continue;
      if (!best || energy(rod, problem.from, problem.to, settled.shape) <
                       energy(rod, problem.from, problem.to, best->shape) - 1e-9)
        best = std::move(settled);
    }
  return best;
}

std::vector<CheckRow> rows() {
  return check_table(HOSEFIT_TEST_DIR "/rod/data/elastica.csv");
}
std::vector<CheckRow> frames() {
  return check_table(HOSEFIT_TEST_DIR "/rod/data/elastica_spatial_frames.csv");
}

}  // namespace

TEST_CASE("a clamped rod takes the shape of least energy that the check values give") {
  const auto directors = frames();
  int seen = 0;
  for (const CheckRow& row : rows()) {
    // Row EL_C17 lies in a plane that a rod in space leaves; EL_D07 is the shape it leaves for.
    if (row.text("group") == "a" || row.text("group") == "b" || row.text("id") == "EL_C17") continue;
    CAPTURE(row.text("id"));
    const Clamped problem = clamped(row, directors);
    const Rod rod = even_rod(problem.length, 64);
    const auto settled = least_energy(problem, rod);
    REQUIRE(settled);
    ++seen;
    const bool swings = row.text("stable_3d") == "neutral";
    CHECK(settled->settling == (swings ? Settling::neutral : Settling::stable));
    CHECK(energy(rod, problem.from, problem.to, settled->shape) ==
          Approx(row.number("energy")).epsilon(0.002));
    const auto k = curvatures(rod, problem.from, problem.to, settled->shape);
    CHECK(*std::max_element(k.begin(), k.end()) == Approx(row.number("kappa_max")).epsilon(0.005));
    const Vec3 middle = nodes(rod, problem.from, settled->shape)[32];
    const Vec3 wanted(row.number("mid_x"), row.number("mid_y"), row.has("mid_z") ? row.number("mid_z") : 0);
    if (swings) {  // about the x axis, on which both ends lie
      CHECK(std::hypot(middle.y(), middle.z()) ==
            Approx(wanted.norm() > 0 ? wanted.tail<2>().norm() : 0).margin(3e-4 * problem.length));
    } else if (row.text("id") == "EL_D07") {  // its mirror image in z = 0 holds as well
      CHECK((Vec3(middle.x(), middle.y(), std::abs(middle.z())) - wanted).norm() < 3e-4 * problem.length);
    } else {
      CHECK((middle - wanted).norm() < 3e-4 * problem.length);
    }
  }
  CHECK(seen == 29);
}

TEST_CASE("what a loaded cantilever and a buckled column need at their ends is what the check values give") {
  int seen = 0;
  for (const CheckRow& row : rows()) {
    if (row.text("group") != "a" && row.text("group") != "b") continue;
    CAPTURE(row.text("id"));
    // Held where the check values put its free or pinned end, the rod must ask for the load alone.
    const Clamped problem = clamped(row, {});
    const Rod rod = even_rod(problem.length, 128);
    const Settled settled =
        settle(rod, problem.from, problem.to, start_shape(problem, 128, Vec3::UnitZ(), 0.0));
    REQUIRE(settled.settling == Settling::stable);
    ++seen;
    const bool cantilever = row.text("group") == "a";
    const Vec3 load = cantilever ? Vec3(0, row.number("load"), 0)
                                 : Vec3(-row.number("load") * std::numbers::pi * std::numbers::pi, 0, 0);
    CHECK(std::abs(settled.shape.force.y() - load.y()) < 0.003 * load.norm());
    // Along itself a nearly straight rod hardly gives: a length right to 1e-6 leaves this much of a force.
    CHECK(std::abs(settled.shape.force.x() - load.x()) < 0.001 * load.norm() + 0.005);
    CHECK(curvatures(rod, problem.from, problem.to, settled.shape).back() < 0.01 * row.number("kappa_max"));
  }
  CHECK(seen == 22);
}

TEST_CASE("the S that lies in a plane is told to be unstable in space, and left when pushed out of it") {
  const auto all = rows();
  const auto by_id = [&](const std::string& id) {
    return *std::find_if(all.begin(), all.end(), [&](const CheckRow& r) { return r.text("id") == id; });
  };
  const CheckRow flat_row = by_id("EL_C17"), spatial_row = by_id("EL_D07");
  const Clamped problem = clamped(flat_row, {});
  const Rod rod = even_rod(problem.length, 64);
  Settled flat;
  for (const double bulge : {0.3, 0.6, 0.9, 1.2, -0.3, -0.6, -0.9, -1.2}) {
    flat = settle(rod, problem.from, problem.to, start_shape(problem, 64, Vec3::UnitZ(), bulge));
    if (flat.settling == Settling::unstable) break;
  }
  REQUIRE(flat.settling == Settling::unstable);
  CHECK(energy(rod, problem.from, problem.to, flat.shape) ==
        Approx(flat_row.number("energy")).epsilon(0.002));
  const auto settled = least_energy(problem, rod);
  REQUIRE(settled);
  CHECK(settled->settling == Settling::stable);
  CHECK(energy(rod, problem.from, problem.to, settled->shape) ==
        Approx(spatial_row.number("energy") * 300).epsilon(0.002));
}

TEST_CASE("halving the links quarters the error") {
  const auto all = rows();
  const auto row =
      *std::find_if(all.begin(), all.end(), [](const CheckRow& r) { return r.text("id") == "EL_D02"; });
  const Clamped problem = clamped(row, frames());
  const auto error = [&](int links) {
    const Rod rod = even_rod(problem.length, links);
    const Settled s = settle(rod, problem.from, problem.to,
                             start_shape(problem, static_cast<std::size_t>(links), Vec3::UnitZ(), 0));
    return (nodes(rod, problem.from, s.shape)[static_cast<std::size_t>(links) / 2] - vec(row, "mid_")).norm();
  };
  const double coarse = error(16), fine = error(32), finest = error(64);
  CHECK(coarse / fine == Approx(4).margin(0.4));
  CHECK(fine / finest == Approx(4).margin(0.4));
}

TEST_CASE(
    "a rod made to a shape rests in it without force, and a straight one given the same ends does not") {
  Dice dice(RunSeed{31}, 0);
  for (int round = 0; round < 20; ++round) {
    Rod rod = even_rod(400, 40);
    RodEnd from, to;
    from.at_mm = random_point(dice, 100);
    RodShape made;
    Mat3 frame = Mat3::Identity();
    for (std::size_t i = 0; i < 40; ++i) {
      const Vec3 turn = Vec3(0.02, 0.05, -0.04) + 0.02 * random_direction(dice);
      const Mat3 rest = Eigen::AngleAxisd(turn.norm(), turn.normalized()).toRotationMatrix();
      if (i > 0) rod.joints[i].rest = rest;
      if (i > 0) frame = frame * rest;
      made.frames.push_back(frame);
    }
    from.frame = made.frames.front();
    to.frame = made.frames.back();
    to.at_mm = nodes(rod, from, made).back();
    const Settled settled = settle(rod, from, to, made);
    REQUIRE(settled.settling == Settling::stable);
    CHECK(settled.rounds <= 1);
    CHECK(settled.shape.force.norm() < 1e-9);
    CHECK(energy(rod, from, to, settled.shape) < 1e-12);
    Rod straight = even_rod(400, 40);
    const Settled forced = settle(straight, from, to, made);
    if (forced.settling == Settling::stable) CHECK(forced.shape.force.norm() > 1e-6);
  }
}

TEST_CASE("a small change of an end changes the shape as told, and the world may be moved") {
  const auto all = rows();
  const auto row =
      *std::find_if(all.begin(), all.end(), [](const CheckRow& r) { return r.text("id") == "EL_D05"; });
  const Clamped problem = clamped(row, frames());
  const Rod rod = even_rod(problem.length, 40);
  const Settled settled = settle(rod, problem.from, problem.to, start_shape(problem, 40, Vec3::UnitZ(), 0));
  REQUIRE(settled.settling == Settling::stable);
  const auto before = nodes(rod, problem.from, settled.shape);
  const auto told = change_with_far_end(rod, problem.from, problem.to, settled.shape);
  for (int k = 0; k < 6; ++k) {
    CAPTURE(k);
    const double step = k < 3 ? 1e-3 : 1e-5;
    const auto moved_nodes = [&](double by) {
      RodEnd moved = problem.to;
      if (k < 3) {
        moved.at_mm += by * Vec3::Unit(k);
      } else {
        moved.frame = Eigen::AngleAxisd(by, Vec3::Unit(k - 3)).toRotationMatrix() * moved.frame;
      }
      return nodes(rod, problem.from, settle(rod, problem.from, moved, settled.shape).shape);
    };
    const auto up = moved_nodes(step), down = moved_nodes(-step);
    for (std::size_t i = 0; i < up.size(); ++i) {
      const Vec3 measured = (up[i] - down[i]) / (2 * step);
      CHECK((measured - told[i].col(k)).norm() < 1e-4 * (1 + measured.norm()));
    }
  }
  const Mat3 turn = Eigen::AngleAxisd(1.1, Vec3(1, -2, 0.5).normalized()).toRotationMatrix();
  const Vec3 shift(1000, -200, 40);
  RodEnd from{turn * problem.from.at_mm + shift, turn * problem.from.frame};
  RodEnd to{turn * problem.to.at_mm + shift, turn * problem.to.frame};
  RodShape start = start_shape(problem, 40, Vec3::UnitZ(), 0);
  for (Mat3& frame : start.frames) frame = turn * frame;
  const auto elsewhere = nodes(rod, from, settle(rod, from, to, start).shape);
  for (std::size_t i = 0; i < before.size(); ++i)
    CHECK((turn * before[i] + shift - elsewhere[i]).norm() < 1e-6);
}

TEST_CASE("a rod shorter than the way between its ends finds no shape") {
  Clamped problem;
  problem.length = 290;
  problem.to.at_mm = {300, 0, 0};
  problem.to.frame = heading(20);
  const Rod rod = even_rod(problem.length, 30);
  CHECK(settle(rod, problem.from, problem.to, start_shape(problem, 30, Vec3::UnitZ(), 0.2)).settling ==
        Settling::not_found);
}
