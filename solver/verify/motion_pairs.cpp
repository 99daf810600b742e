// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <cmath>
#include <limits>

#include "solver/geometry/closest.h"
#include "solver/verify/line_prover.h"
#include "solver/verify/refusal.h"

namespace hosefit {
namespace {

struct Pair {
  std::size_t a = 0, b = 0;  // links
  double spare_mm = std::numeric_limits<double>::infinity();
};

double required_mm(const GapTable& gaps, const LineLink& a, const LineLink& b, Provenance* from) {
  const bool same = a.carrier == b.carrier && a.carrier != LineCarrier::both;
  const GapRow& row = gaps.row(a.runner, Hazard::another_hose, same);
  if (from) *from = row.provenance;
  return row.after_motion.mm();
}

double distance_of(const std::vector<Vec3>& a, std::size_t i, const std::vector<Vec3>& b, std::size_t j) {
  return closest_segment_segment(a[i], a[i + 1], b[j], b[j + 1]).distance_mm();
}

// How far the four corners of two links can come towards each other over a box.
double sway_mm(const NodeMotion& a, std::size_t i, const NodeMotion& b, std::size_t j) {
  double most = 0;
  for (const std::size_t p : {i, i + 1})
    for (const std::size_t q : {j, j + 1}) {
      double sway = a.off[p] + b.off[q];
      for (std::size_t k = 0; k < 4; ++k) sway += (a.by[k][p] - b.by[k][q]).norm();
      most = std::max(most, sway);
    }
  return most;
}

double most_sway_mm(const NodeMotion& a, const NodeMotion& b) {
  double most = 0;
  for (const NodeMotion* motion : {&a, &b}) {
    double of_one = 0;
    for (std::size_t i = 0; i < motion->at.size(); ++i) {
      double sway = motion->off[i];
      for (const auto& way : motion->by) sway += way[i].norm();
      of_one = std::max(of_one, sway);
    }
    most += of_one;
  }
  return most;
}

struct Task {
  PlaceBox box;
  LineShape near_a, near_b;
};

Pair closest_pair(const GapTable& gaps, const LineInMotion& a, const LineInMotion& b,
                  const std::vector<Vec3>& at_a, const std::vector<Vec3>& at_b, std::int64_t& queries) {
  Pair least;
  for (std::size_t i = 0; i < a.links().size(); ++i)
    for (std::size_t j = 0; j < b.links().size(); ++j) {
      const double off = a.links()[i].radius_mm + b.links()[j].radius_mm +
                         required_mm(gaps, a.links()[i], b.links()[j], nullptr);
      const double spare = distance_of(at_a, i, at_b, j) - off;
      ++queries;
      if (spare < least.spare_mm) least = {i, j, spare};
    }
  return least;
}

MotionGap told_gap(const MotionQuestion& asked, const LineInMotion& a, const LineInMotion& b,
                   const Pair& pair, const LineShape& shape, const EnginePlace& place) {
  MotionGap gap;
  gap.other = asked.bay.lines[b.line()].line.name;
  gap.runner = a.links()[pair.a].runner;
  gap.required_mm = required_mm(asked.gaps, a.links()[pair.a], b.links()[pair.b], &gap.provenance);
  gap.found_mm = pair.spare_mm + gap.required_mm;
  gap.place = place;
  gap.s_mm = 0.5 * (a.links()[pair.a].from_s_mm + a.links()[pair.a].to_s_mm);
  gap.where_mm = 0.5 * (shape.nodes_mm[pair.a] + shape.nodes_mm[pair.a + 1]);
  return gap;
}

}  // namespace

void prove_pair(const MotionQuestion& asked, const LineInMotion& a, const LineInMotion& b, MotionLine& told_a,
                MotionLine& told_b) {
  constexpr double kNear_mm = 20.0;
  const double tolerance = asked.options.tolerance_mm;
  std::vector<Task> open{{{asked.places.centre, asked.places.half}, *a.at_rest(), *b.at_rest()}};
  std::optional<MotionGap> tightest_a, tightest_b;
  bool refuted = false;
  int boxes = 0;
  const auto note = [&](const LineShape& shape_a, const LineShape& shape_b, const EnginePlace& place) {
    const Pair pair =
        closest_pair(asked.gaps, a, b, shape_a.nodes_mm, shape_b.nodes_mm, told_a.distance_queries);
    if (tightest_a && pair.spare_mm >= tightest_a->found_mm - tightest_a->required_mm) return;
    tightest_a = told_gap(asked, a, b, pair, shape_a, place);
    tightest_b = told_gap(asked, b, a, {pair.b, pair.a, pair.spare_mm}, shape_b, place);
    refuted = refuted || pair.spare_mm < -tolerance;
  };
  while (!open.empty() && boxes < asked.options.most_boxes && !refuted) {
    const Task task = std::move(open.back());
    open.pop_back();
    EnginePlace lost;
    const auto over_a = line_over_box(a, asked.places, task.box, task.near_a, lost);
    const auto over_b = line_over_box(b, asked.places, task.box, task.near_b, lost);
    ++boxes;
    if (!over_a || !over_b) {  // these places may be none that the lines were looked at alone
      open.push_back(task);
      break;
    }
    std::array<double, 4> weight{};
    bool doubt = false, near = false;
    const double out_of_reach_mm = kNear_mm + most_sway_mm(over_a->on_chassis, over_b->on_chassis);
    for (std::size_t i = 0; i < a.links().size(); ++i)
      for (std::size_t j = 0; j < b.links().size(); ++j) {
        const double off = a.links()[i].radius_mm + b.links()[j].radius_mm +
                           required_mm(asked.gaps, a.links()[i], b.links()[j], nullptr);
        const double free = distance_of(over_a->on_chassis.at, i, over_b->on_chassis.at, j) - off;
        ++told_a.distance_queries;
        if (free > out_of_reach_mm) continue;
        const double bound = free - sway_mm(over_a->on_chassis, i, over_b->on_chassis, j);
        near = near || bound < kNear_mm;
        if (bound >= -tolerance) continue;
        doubt = true;
        for (std::size_t k = 0; k < 4; ++k)
          weight[k] = std::max(weight[k], (over_a->on_chassis.by[k][i] - over_b->on_chassis.by[k][j]).norm() +
                                              4 * (over_a->strongest_off[k] + over_b->strongest_off[k]));
      }
    if (near) note(over_a->centre, over_b->centre, task.box.centre);
    if (!doubt) continue;
    const auto way =
        static_cast<std::size_t>(std::max_element(weight.begin(), weight.end()) - weight.begin());
    for (const PlaceBox& half : halves(task.box, way)) open.push_back({half, over_a->centre, over_b->centre});
  }
  told_a.boxes += boxes;
  const std::string& name_a = asked.bay.lines[a.line()].line.name;
  const std::string& name_b = asked.bay.lines[b.line()].line.name;
  if (tightest_a) {
    told_a.gaps.push_back(*tightest_a);
    told_b.gaps.push_back(*tightest_b);
  }
  if (refuted) {
    told_a.findings.push_back(short_in_motion(*tightest_a, name_a));
    told_b.findings.push_back(short_in_motion(*tightest_b, name_b));
  } else if (!open.empty()) {
    Finding finding = refused(RuleId::motion_gap, name_a, "boxes_spent");
    finding.undecided = true;
    finding.other = name_b;
    told_a.findings.push_back(finding);
    std::swap(finding.subject, finding.other);
    told_b.findings.push_back(std::move(finding));
  }
}

}  // namespace hosefit
