// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/verify/line_prover.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "solver/verify/motion_box.h"
#include "solver/verify/piece_measure.h"
#include "solver/verify/refusal.h"
#include "solver/verify/unseen_space.h"

namespace hosefit {
namespace {

constexpr double kNear_mm = 20.0;         // gaps with more to spare are not told
constexpr double kLookedAtNear_mm = 5.0;  // about a link
constexpr double kBendRounding = 0.01;    // of a chain of links against a curve

struct Named {
  Foe foe;
  ObstacleRef ref;
  std::vector<double> required_mm;  // per link
  std::vector<Provenance> provenance;
  bool refuted = false;
  std::optional<MotionGap> tightest;
};

Named foe_of(const MotionQuestion& asked, const LineInMotion& line, ObstacleRef ref) {
  const Body& body = *asked.bay.bodies[ref.body].body;
  const Obstacle& past = body.obstacles[ref.obstacle];
  const BayLine& of = asked.bay.lines[line.line()];
  const bool own_from = is_own_part(asked.bay.necks[of.from], ref);
  const bool own_to = is_own_part(asked.bay.necks[of.to], ref);
  Named out;
  out.ref = ref;
  out.foe.distance_mm = [&bodies = asked.bodies, ref](const Vec3& p) { return bodies.distance_mm(ref, p); };
  out.foe.convex = asked.bodies.is_convex(ref);
  out.foe.on_engine = body.carrier == Carrier::engine;
  for (const LineLink& link : line.links()) {
    const RequiredGap row =
        required_gap_after_motion(asked.gaps, link.runner, link.carrier, past, body.carrier);
    const OwnPart rule =
        std::min(own_from ? link.own_from : OwnPart::full_gap, own_to ? link.own_to : OwnPart::full_gap);
    const double required =
        (rule == OwnPart::must_not_touch ? 0.0 : row.gap.mm()) + asked.options.more_of(ref.body);
    out.required_mm.push_back(required);
    out.provenance.push_back(row.provenance);
    out.foe.off_mm.push_back(rule == OwnPart::does_not_count ? std::numeric_limits<double>::quiet_NaN()
                                                             : link.radius_mm + required);
  }
  return out;
}

double most_off_mm(const Foe& foe) {
  double most = 0;
  for (const double off : foe.off_mm)
    if (!std::isnan(off)) most = std::max(most, off);
  return most;
}

class LineProver {
 public:
  LineProver(const MotionQuestion& asked, const LineInMotion& line, MotionLine& told)
      : asked_(asked), line_(line), told_(told) {}

  void prove(const LineShape& start) {
    look_at({{asked_.places.centre, asked_.places.half}, {}, start}, true);
    for (const Carrier carrier : {Carrier::chassis, Carrier::engine})
      if (asked_.options.ask_scans && !lost_ && has_scan(asked_.bay, asked_.bodies, carrier))
        look_for_unseen(start, carrier);
    while (!open_.empty() && boxes_ < asked_.options.most_boxes && !lost_) {
      const Task task = std::move(open_.back());
      open_.pop_back();
      look_at(task, false);
    }
    told_.boxes += boxes_;
  }

  void conclude() {
    const std::string& name = asked_.bay.lines[line_.line()].line.name;
    if (lost_)
      told_.findings.push_back(in_motion(undecided(RuleId::motion_shape, "no_stable_shape"), *lost_));
    for (const Named& foe : foes_) {
      if (foe.tightest) told_.gaps.push_back(*foe.tightest);
      if (foe.refuted) told_.findings.push_back(short_in_motion(*foe.tightest, name));
    }
    if (bent_) told_.findings.push_back(too_bent(name));
    std::vector<bool> open(foes_.size(), false);
    bool bend_open = false;
    if (!lost_)
      for (const Task& task : open_) {
        for (const std::size_t i : task.foes) open[i] = true;
        bend_open = bend_open || task.bend;
      }
    for (std::size_t i = 0; i < foes_.size(); ++i) {
      if (!open[i] || foes_[i].refuted) continue;
      Finding finding = undecided(RuleId::motion_gap, "boxes_spent");
      finding.other = asked_.bay.bodies[foes_[i].ref.body].body->obstacles[foes_[i].ref.obstacle].name;
      told_.findings.push_back(std::move(finding));
    }
    if (bend_open && !bent_) told_.findings.push_back(undecided(RuleId::motion_bend, "boxes_spent"));
  }

 private:
  struct Task {
    PlaceBox box;
    std::vector<std::size_t> foes;
    LineShape near;
    bool bend = false;
  };

  Finding undecided(RuleId rule, std::string_view reason) const {
    Finding finding = refused(rule, asked_.bay.lines[line_.line()].line.name, reason);
    finding.undecided = true;
    return finding;
  }

  void look_at(const Task& task, bool whole) {
    EnginePlace lost;
    auto over = line_over_box(line_, asked_.places, task.box, task.near, lost);
    ++boxes_;
    if (!over || (whole && !include_corners(line_, asked_.places, task.box, *over, lost))) {
      lost_ = lost;
      return;
    }
    told_.shapes += over->shapes;
    if (whole) gather(*over);
    Task left{task.box, {}, over->centre, false};
    std::array<double, 4> weight{};
    if (whole) {
      for (std::size_t i = 0; i < foes_.size(); ++i) ask(i, *over, left, weight, true);
    } else {
      for (const std::size_t i : task.foes) ask(i, *over, left, weight, false);
    }
    if (whole || task.bend) ask_bend(*over, left);
    if (left.foes.empty() && !left.bend) return;
    if (left.foes.empty())
      for (std::size_t k = 0; k < 4; ++k) {
        const auto way = static_cast<Eigen::Index>(k);
        weight[k] = task.box.half[way] / std::max(1e-12, asked_.places.half[way]);
      }
    const auto way =
        static_cast<std::size_t>(std::max_element(weight.begin(), weight.end()) - weight.begin());
    for (const PlaceBox& half : halves(task.box, way)) {
      open_.push_back(left);
      open_.back().box = half;
    }
  }

  // At the centre and all corners of the engine's places; the first unseen one is told.
  void look_for_unseen(const LineShape& start, Carrier carrier) {
    std::vector<TubeStretch> seen;
    std::vector<EnginePlace> places{asked_.places.centre};
    for (const EnginePlace& corner : corners({asked_.places.centre, asked_.places.half}))
      places.push_back(corner);
    for (const EnginePlace& place : places) {
      const auto shape = line_.at(place, start);
      if (!shape) {
        lost_ = place;
        return;
      }
      std::vector<TubeStretch> looked_at = stretches_of(*shape, carrier);
      std::erase_if(looked_at, [&](const TubeStretch& stretch) { return lies_near(stretch, seen); });
      seen.insert(seen.end(), looked_at.begin(), looked_at.end());
      auto found = unseen_along(asked_.bay, asked_.bodies, carrier, looked_at, line_.line());
      if (found.empty()) continue;
      told_.findings.push_back(in_motion(std::move(found.front()), place));
      return;
    }
  }

  // Both ends of the same link where they were looked at already: nothing new is told there.
  static bool lies_near(const TubeStretch& stretch, const std::vector<TubeStretch>& seen) {
    const auto& here = std::get<Straight>(stretch.piece);
    return std::any_of(seen.begin(), seen.end(), [&](const TubeStretch& other) {
      const auto& there = std::get<Straight>(other.piece);
      return other.from_s_mm == stretch.from_s_mm &&
             (there.from_mm - here.from_mm).norm() < kLookedAtNear_mm &&
             (there.to_mm - here.to_mm).norm() < kLookedAtNear_mm;
    });
  }

  std::vector<TubeStretch> stretches_of(const LineShape& shape, Carrier carrier) const {
    std::vector<Vec3> nodes = shape.nodes_mm;
    if (carrier == Carrier::engine)
      for (Vec3& node : nodes) node = asked_.places.moved(shape.place).point_inverse(node);
    std::vector<TubeStretch> out;
    for (std::size_t i = 0; i < line_.links().size(); ++i) {
      const LineLink& link = line_.links()[i];
      TubeStretch stretch;
      stretch.piece = Straight{nodes[i], nodes[i + 1]};
      stretch.from_s_mm = link.from_s_mm;
      stretch.to_s_mm = link.from_s_mm + length_mm(stretch.piece);
      stretch.radius_mm = link.radius_mm;
      stretch.box = bounds(stretch.piece);
      out.push_back(std::move(stretch));
    }
    return out;
  }

  void gather(const LineOverBox& over) {
    const AxisBox on_chassis = swept(over.on_chassis), on_engine = swept(over.on_engine);
    for (std::size_t b = 0; b < asked_.bay.bodies.size(); ++b) {
      const Body& body = *asked_.bay.bodies[b].body;
      const AxisBox& line_box = body.carrier == Carrier::engine ? on_engine : on_chassis;
      for (std::size_t o = 0; o < body.obstacles.size(); ++o) {
        Named foe = foe_of(asked_, line_, {b, o});
        if (line_box.exteriorDistance(asked_.bodies.box({b, o})) <= most_off_mm(foe.foe) + kNear_mm)
          foes_.push_back(std::move(foe));
      }
    }
  }

  void ask(std::size_t i, const LineOverBox& over, Task& left, std::array<double, 4>& weight, bool whole) {
    Named& named = foes_[i];
    if (named.refuted) return;
    const NodeMotion& motion = named.foe.on_engine ? over.on_engine : over.on_chassis;
    const double tolerance = asked_.options.tolerance_mm;
    if (whole) {  // what comes near is told, whether or not it is in doubt
      const auto near = doubt_over_box(line_, motion, named.foe, -kNear_mm, told_.distance_queries);
      if (!near) return;
      measure(named, place_of(*near, left.box), over.centre);
      if (named.refuted) return;
    }
    const auto doubt = doubt_over_box(line_, motion, named.foe, tolerance, told_.distance_queries);
    if (!doubt) return;
    measure(named, place_of(*doubt, left.box), over.centre);
    if (named.refuted) return;
    left.foes.push_back(i);
    for (std::size_t k = 0; k < 4; ++k)
      weight[k] = std::max(weight[k], std::abs(doubt->pull[k]) + 4 * over.strongest_off[k]);
  }

  // Where the bound is least the gap itself is measured: too small refutes, otherwise it is the tightest
  // known.
  void measure(Named& named, const EnginePlace& place, const LineShape& near) {
    const auto shape = line_.at(place, near);
    if (!shape) return;  // told when the box around it is looked at
    ++told_.shapes;
    std::vector<Vec3> nodes = shape->nodes_mm;
    const Pose moved = asked_.places.moved(place);
    if (named.foe.on_engine)
      for (Vec3& node : nodes) node = moved.point_inverse(node);
    const LeastSpareAt least = least_spare_at(line_, nodes, named.foe, 0.01, told_.distance_queries);
    if (!std::isfinite(least.spare_mm)) return;
    if (named.tightest && least.spare_mm >= named.tightest->found_mm - named.tightest->required_mm) return;
    MotionGap gap;
    gap.other = asked_.bay.bodies[named.ref.body].body->obstacles[named.ref.obstacle].name;
    gap.ref = named.ref;
    gap.runner = line_.links()[least.link].runner;
    gap.required_mm = named.required_mm[least.link];
    gap.found_mm = least.spare_mm + gap.required_mm;
    gap.place = place;
    gap.s_mm = least.s_mm;
    gap.where_mm = named.foe.on_engine ? moved.point(least.where_mm) : least.where_mm;
    gap.provenance = named.provenance[least.link];
    named.tightest = gap;
    named.refuted = least.spare_mm < -asked_.options.tolerance_mm;
  }

  void ask_bend(const LineOverBox& over, Task& left) {
    for (const LineShape* shape : {&over.centre, &over.most_bent_shape})
      if (shape->tightest_bend_mm &&
          (!told_.tightest_bend_mm || *shape->tightest_bend_mm < *told_.tightest_bend_mm))
        told_.tightest_bend_mm = shape->tightest_bend_mm;
    if (over.centre.bent.empty() || bent_ || over.most_bent <= 1 + kBendRounding) return;
    const auto& bent = over.most_bent_shape.bent;
    if (*std::max_element(bent.begin(), bent.end()) > 1 + kBendRounding) {
      bent_ = over.most_bent_shape;
    } else {
      left.bend = true;
    }
  }

  Finding too_bent(const std::string& name) const {
    const LineInMotion::BendLimit& limit = *line_.bend_limit();
    const double most = *std::max_element(bent_->bent.begin(), bent_->bent.end());
    Finding finding =
        limit.least_radius_mm
            ? below_limit(RuleId::motion_bend, Severity::stop, name, *limit.least_radius_mm / most,
                          *limit.least_radius_mm, FindingUnit::mm)
            : above_limit(RuleId::motion_coupler, Severity::stop, name,
                          Angle::rad(*limit.most_turn_rad * most).deg(),
                          Angle::rad(*limit.most_turn_rad).deg(), FindingUnit::deg);
    finding.provenance = limit.provenance;
    return in_motion(std::move(finding), bent_->place);
  }

  const MotionQuestion& asked_;
  const LineInMotion& line_;
  MotionLine& told_;
  std::vector<Named> foes_;
  std::vector<Task> open_;
  int boxes_ = 0;
  std::optional<EnginePlace> lost_;
  std::optional<LineShape> bent_;
};

}  // namespace

Finding in_motion(Finding finding, const EnginePlace& place) {
  finding.parameters["roll_deg"] = told(Angle::rad(place[roll_way]).deg());
  finding.parameters["up_mm"] = told(place[lift_way]);
  finding.parameters["rearward_mm"] = told(place[rearward_way]);
  finding.parameters["right_mm"] = told(place[right_way]);
  return finding;
}

Finding short_in_motion(const MotionGap& gap, const std::string& line) {
  Finding finding =
      below_limit(RuleId::motion_gap, Severity::stop, line, gap.found_mm, gap.required_mm, FindingUnit::mm);
  finding.other = gap.other;
  finding.where_mm = gap.where_mm;
  finding.provenance = gap.provenance;
  finding.parameters["s_mm"] = told(gap.s_mm);
  finding.parameters["runner"] = std::string(word(gap.runner));
  finding.parameters["against"] = gap.ref ? "obstacle" : "line";
  return in_motion(std::move(finding), gap.place);
}

void prove_line(const MotionQuestion& asked, const LineInMotion& line, const LineShape& start,
                MotionLine& told) {
  LineProver prover(asked, line, told);
  prover.prove(start);
  prover.conclude();
}

}  // namespace hosefit
