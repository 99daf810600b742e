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

// The one that wants more decides, as a clamp does beside a hose.
double required_between(const GapTable& gaps, const LineLink& a, const LineLink& b, Provenance* from) {
  const bool same = a.carrier == b.carrier && a.carrier != LineCarrier::both;
  const GapRow& by_a = gaps.row(a.runner, Hazard::another_hose, same);
  const GapRow& by_b = gaps.row(b.runner, Hazard::another_hose, same);
  const GapRow& row = by_b.after_motion.mm() > by_a.after_motion.mm() ? by_b : by_a;
  if (from) *from = row.provenance;
  return row.after_motion.mm();
}

// Two stretches and which of their links are held against each other: all of two lines; of one line those
// that are more than `apart_s_mm` from each other along it, which may come near and not touch.
struct TwoStretches {
  const GapTable& gaps;
  const LineInMotion& a;
  const LineInMotion& b;
  std::optional<double> apart_s_mm;

  double required_mm(std::size_t i, std::size_t j, Provenance* from = nullptr) const;
  double off_mm(std::size_t i, std::size_t j) const {
    return a.links()[i].radius_mm + b.links()[j].radius_mm + required_mm(i, j);
  }
  bool counts(std::size_t i, std::size_t j) const {
    if (!apart_s_mm)
      return between_on_tee(a.links()[i].on_tee, b.links()[j].on_tee) != OwnPart::does_not_count;
    const LineLink &p = a.links()[i], &q = b.links()[j];
    return std::max(q.from_s_mm - p.to_s_mm, p.from_s_mm - q.to_s_mm) > *apart_s_mm;
  }
};

double TwoStretches::required_mm(std::size_t i, std::size_t j, Provenance* from) const {
  if (apart_s_mm) return 0;
  if (between_on_tee(a.links()[i].on_tee, b.links()[j].on_tee) == OwnPart::must_not_touch) return 0;
  return required_between(gaps, a.links()[i], b.links()[j], from);
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

// Links that follow each other, with a ball that holds them.
struct Run {
  std::size_t first = 0, past = 0;
  Vec3 middle_mm = Vec3::Zero();
  double radius_mm = 0;
};

std::vector<Run> runs_of(const std::vector<Vec3>& nodes) {
  constexpr std::size_t kLinks = 8;
  std::vector<Run> out;
  for (std::size_t first = 0; first + 1 < nodes.size(); first += kLinks) {
    Run run{first, std::min(first + kLinks, nodes.size() - 1)};
    for (std::size_t i = run.first; i <= run.past; ++i) run.middle_mm += nodes[i];
    run.middle_mm /= static_cast<double>(run.past - run.first + 1);
    for (std::size_t i = run.first; i <= run.past; ++i)
      run.radius_mm = std::max(run.radius_mm, (nodes[i] - run.middle_mm).norm());
    out.push_back(run);
  }
  return out;
}

double most_off_mm(const TwoStretches& two) {
  const auto most_radius = [](const LineInMotion& line) {
    double most = 0;
    for (const LineLink& link : line.links()) most = std::max(most, link.radius_mm);
    return most;
  };
  double required = 0;
  if (!two.apart_s_mm)
    for (const Runner runner : {Runner::hose, Runner::clamp, Runner::rigid_part})
      for (const bool same : {false, true})
        required = std::max(required, two.gaps.row(runner, Hazard::another_hose, same).after_motion.mm());
  return most_radius(two.a) + most_radius(two.b) + required;
}

// Every pair of links that counts and may have less to spare than `less_than_mm`, which may fall on the way.
template <class Visit>
void each_near_pair(const TwoStretches& two, const std::vector<Vec3>& at_a, const std::vector<Vec3>& at_b,
                    const double& less_than_mm, std::int64_t& queries, const Visit& visit) {
  const double off = most_off_mm(two);
  const std::vector<Run> runs_b = runs_of(at_b);
  for (const Run& a : runs_of(at_a))
    for (const Run& b : runs_b) {
      const double most_apart = less_than_mm + off + a.radius_mm + b.radius_mm;
      if (most_apart < 0 || (a.middle_mm - b.middle_mm).squaredNorm() > most_apart * most_apart) continue;
      for (std::size_t i = a.first; i < a.past; ++i)
        for (std::size_t j = b.first; j < b.past; ++j) {
          if (!two.counts(i, j)) continue;
          ++queries;
          visit(i, j, distance_of(at_a, i, at_b, j) - two.off_mm(i, j));
        }
    }
}

Pair closest_pair(const TwoStretches& two, const std::vector<Vec3>& at_a, const std::vector<Vec3>& at_b,
                  std::int64_t& queries) {
  Pair least;
  each_near_pair(two, at_a, at_b, least.spare_mm, queries, [&](std::size_t i, std::size_t j, double spare) {
    if (spare < least.spare_mm) least = {i, j, spare};
  });
  return least;
}

MotionGap told_gap(const MotionQuestion& asked, const TwoStretches& two, const Pair& pair,
                   const LineShape& shape, const EnginePlace& place) {
  MotionGap gap;
  const LineLink& link = two.a.links()[pair.a];
  gap.other = two.apart_s_mm ? "itself" : asked.bay.lines[two.b.line()].line.name;
  gap.runner = link.runner;
  gap.required_mm = two.required_mm(pair.a, pair.b, &gap.provenance);
  gap.found_mm = pair.spare_mm + gap.required_mm;
  gap.place = place;
  gap.s_mm = 0.5 * (link.from_s_mm + link.to_s_mm);
  gap.where_mm = 0.5 * (shape.nodes_mm[pair.a] + shape.nodes_mm[pair.a + 1]);
  return gap;
}

class PairProver {
 public:
  PairProver(const MotionQuestion& asked, const LineInMotion& a, const LineInMotion& b,
             std::optional<double> apart_s_mm)
      : asked_(asked), two_{asked.gaps, a, b, apart_s_mm} {}

  void prove(std::int64_t& queries) {
    std::vector<Task> open{
        {{asked_.places.centre, asked_.places.half}, *two_.a.at_rest(), *two_.b.at_rest()}};
    while (!open.empty() && boxes_ < asked_.options.most_boxes && !refuted_ && !lost_) {
      const Task task = std::move(open.back());
      open.pop_back();
      look_at(task, open, queries);
    }
    left_ = !open.empty();
  }

  int boxes() const { return boxes_; }
  bool refuted() const { return refuted_; }
  /// Neither proved nor refuted.
  bool undecided() const { return !refuted_ && (left_ || lost_); }
  /// That is why: one of the two took no stable shape.
  bool lost() const { return lost_; }
  /// The tightest place worked out, as seen from each.
  const std::optional<MotionGap>& gap_of_a() const { return tightest_a_; }
  const std::optional<MotionGap>& gap_of_b() const { return tightest_b_; }

 private:
  void note(const LineShape& shape_a, const LineShape& shape_b, const EnginePlace& place,
            std::int64_t& queries) {
    const Pair pair = closest_pair(two_, shape_a.nodes_mm, shape_b.nodes_mm, queries);
    if (tightest_a_ && pair.spare_mm >= tightest_a_->found_mm - tightest_a_->required_mm) return;
    tightest_a_ = told_gap(asked_, two_, pair, shape_a, place);
    const TwoStretches turned{two_.gaps, two_.b, two_.a, two_.apart_s_mm};
    tightest_b_ = told_gap(asked_, turned, {pair.b, pair.a, pair.spare_mm}, shape_b, place);
    refuted_ = refuted_ || pair.spare_mm < -asked_.options.tolerance_mm;
  }

  void look_at(const Task& task, std::vector<Task>& open, std::int64_t& queries) {
    constexpr double kNear_mm = 20.0;
    EnginePlace lost;
    const auto over_a = line_over_box(two_.a, asked_.places, task.box, task.near_a, lost);
    const auto over_b = line_over_box(two_.b, asked_.places, task.box, task.near_b, lost);
    ++boxes_;
    if (!over_a || !over_b) {  // these places may be none that the lines were looked at alone
      lost_ = true;
      return;
    }
    std::array<double, 4> weight{};
    bool doubt = false, near = false;
    const double out_of_reach_mm = kNear_mm + most_sway_mm(over_a->on_chassis, over_b->on_chassis);
    const auto hold = [&](std::size_t i, std::size_t j, double free) {
      if (free > out_of_reach_mm) return;
      const double bound = free - sway_mm(over_a->on_chassis, i, over_b->on_chassis, j);
      near = near || bound < kNear_mm;
      if (bound >= -asked_.options.tolerance_mm) return;
      doubt = true;
      for (std::size_t k = 0; k < 4; ++k)
        weight[k] = std::max(weight[k], (over_a->on_chassis.by[k][i] - over_b->on_chassis.by[k][j]).norm() +
                                            4 * (over_a->strongest_off[k] + over_b->strongest_off[k]));
    };
    each_near_pair(two_, over_a->on_chassis.at, over_b->on_chassis.at, out_of_reach_mm, queries, hold);
    if (near) note(over_a->centre, over_b->centre, task.box.centre, queries);
    if (!doubt) return;
    const auto way =
        static_cast<std::size_t>(std::max_element(weight.begin(), weight.end()) - weight.begin());
    for (const PlaceBox& half : halves(task.box, way)) open.push_back({half, over_a->centre, over_b->centre});
  }

  const MotionQuestion& asked_;
  TwoStretches two_;
  std::optional<MotionGap> tightest_a_, tightest_b_;
  bool refuted_ = false, lost_ = false, left_ = false;
  int boxes_ = 0;
};

Finding not_known(const std::string& line, const std::string& other, std::string_view reason) {
  Finding finding = refused(RuleId::motion_gap, line, reason);
  finding.undecided = true;
  finding.other = other;
  return finding;
}

}  // namespace

void prove_pair(const MotionQuestion& asked, const LineInMotion& a, const LineInMotion& b, MotionLine& told_a,
                MotionLine& told_b) {
  const std::string& name_a = asked.bay.lines[a.line()].line.name;
  const std::string& name_b = asked.bay.lines[b.line()].line.name;
  if (!a.at_rest() || !b.at_rest()) {
    told_a.findings.push_back(not_known(name_a, name_b, "takes_no_shape"));
    told_b.findings.push_back(not_known(name_b, name_a, "takes_no_shape"));
    return;
  }
  PairProver prover(asked, a, b, std::nullopt);
  prover.prove(told_a.distance_queries);
  told_a.boxes += prover.boxes();
  if (prover.gap_of_a()) {
    told_a.gaps.push_back(*prover.gap_of_a());
    told_b.gaps.push_back(*prover.gap_of_b());
  }
  if (prover.refuted()) {
    told_a.findings.push_back(short_in_motion(*prover.gap_of_a(), name_a));
    told_b.findings.push_back(short_in_motion(*prover.gap_of_b(), name_b));
  } else if (prover.undecided()) {
    const std::string_view reason = prover.lost() ? "takes_no_shape" : "boxes_spent";
    told_a.findings.push_back(not_known(name_a, name_b, reason));
    told_b.findings.push_back(not_known(name_b, name_a, reason));
  }
}

void prove_against_itself(const MotionQuestion& asked, const LineInMotion& a, const LineInMotion& b,
                          double apart_s_mm, MotionLine& told) {
  if (!a.at_rest() || !b.at_rest()) return;  // said of the stretch itself
  const std::string& name = asked.bay.lines[a.line()].line.name;
  PairProver prover(asked, a, b, apart_s_mm);
  prover.prove(told.distance_queries);
  told.boxes += prover.boxes();
  if (prover.gap_of_a()) told.gaps.push_back(*prover.gap_of_a());
  if (prover.refuted()) {
    told.findings.push_back(short_in_motion(*prover.gap_of_a(), name));
  } else if (prover.undecided()) {
    told.findings.push_back(not_known(name, "itself", prover.lost() ? "takes_no_shape" : "boxes_spent"));
  }
}

}  // namespace hosefit
