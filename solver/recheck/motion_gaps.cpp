// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "solver/recheck/motion_checks.h"

namespace hosefit::recheck {
namespace {

constexpr double kTolerance_mm = kMotionHeld_mm + kShapesDiffer_mm;
constexpr double kSlopeStep_mm = 1e-3;
constexpr double kOutside_mm = 0.1;  // nearer than this a solid's slope is not asked for
constexpr double kShortestPart_mm = 0.02;
constexpr double kStaysStraight_mm = 1e-6;

bool is_convex(const Solid& solid) {
  struct Asker {
    bool operator()(const Block&) const { return true; }
    bool operator()(const Round&) const { return true; }
    bool operator()(const Ball&) const { return true; }
    bool operator()(const Prism& s) const {
      const std::size_t n = s.outline_mm.size();
      for (std::size_t i = 0; i < n; ++i) {
        const V2 a = s.outline_mm[(i + 1) % n] - s.outline_mm[i],
                 b = s.outline_mm[(i + 2) % n] - s.outline_mm[(i + 1) % n];
        if (a.x() * b.y() - a.y() * b.x() < 0) return false;
      }
      return true;
    }
    bool operator()(const Pieces& s) const { return s.pieces.size() == 1; }
    bool operator()(const Surface&) const { return false; }
  };
  return std::visit(Asker{}, solid);
}

/// What a line must keep clear of.
struct Foe {
  const PlacedObstacle* obstacle = nullptr;
  bool convex = false;
  std::vector<double> required_mm;  // per link; not a number where it does not count
  double most_off_mm = 0;
  bool refuted = false;
};

struct Doubt {
  double bound_mm = std::numeric_limits<double>::infinity();
  std::array<double, 4> pull{};  // how much each way may take off, with the sign of the side that does
};

V3 between(const std::vector<V3>& nodes, const MovingLink& link, double share) {
  return (1 - share) * nodes[link.a] + share * nodes[link.b];
}

class LineCover {
 public:
  LineCover(const Moving& moving, const MovingLine& line, LineInMotionFound& found, MotionEffort& effort)
      : moving_(moving), line_(line), found_(found), effort_(effort) {}

  void cover() {
    std::vector<Task> open;
    look({moving_.ways.all, {}, *line_.at_rest, true}, true, open);
    int boxes = 1;
    while (!open.empty() && boxes < effort_.most_boxes && !effort_.spent() && !lost_) {
      const Task task = std::move(open.back());
      open.pop_back();
      look(task, false, open);
      ++boxes;
    }
    conclude(open);
  }

 private:
  struct Task {
    PlaceBox box;
    std::vector<std::size_t> foes;
    LineAt near;
    bool bend = false;
  };

  void fault(std::string text, std::optional<V3> where = std::nullopt, bool undecided = false) {
    const std::string of = line_.what.empty() ? "" : line_.what + ": ";
    found_.faults.push_back({of + std::move(text), where, undecided});
  }

  void look(const Task& task, bool whole, std::vector<Task>& open) {
    const std::int64_t before = line_.steps_made();
    Overs overs = line_over(line_, moving_.ways, task.box, task.near, whole);
    effort_.left -= 10 * (line_.steps_made() - before) + 100;
    if (!overs.over) {
      lost_ = overs.lost;
      return;
    }
    const LineOver& over = *overs.over;
    if (whole) gather(over);
    Task left{task.box, {}, over.centre, false};
    std::array<double, 4> weight{};
    const auto ask_one = [&](std::size_t i) {
      if (!foes_[i].refuted && in_doubt(foes_[i], over, whole, weight)) left.foes.push_back(i);
    };
    if (whole)
      for (std::size_t i = 0; i < foes_.size(); ++i) ask_one(i);
    else
      for (const std::size_t i : task.foes) ask_one(i);
    if (task.bend) left.bend = bend_in_doubt(over);
    if (left.foes.empty() && !left.bend) return;
    if (left.foes.empty())
      for (std::size_t k = 0; k < 4; ++k) {
        const auto way = static_cast<Eigen::Index>(k);
        weight[k] = task.box.half[way] / std::max(1e-12, moving_.ways.all.half[way]);
      }
    const auto widest = std::max_element(weight.begin(), weight.end()) - weight.begin();
    for (const PlaceBox& half : halved(task.box, widest)) {
      open.push_back(left);
      open.back().box = half;
    }
  }

  // Obstacles that come near anywhere.
  void gather(const LineOver& over) {
    Box3 on_chassis, on_engine;
    for (const MovingLink& link : line_.links) {
      on_chassis.extend(box_over(over.on_chassis, link));
      on_engine.extend(box_over(over.on_engine, link));
    }
    for (const PlacedObstacle& o : moving_.bay.obstacles) {
      Foe foe = foe_of(o);
      const Box3& around = o.on_engine ? on_engine : on_chassis;
      if (!(around.exteriorDistance(o.box) > foe.most_off_mm + kMotionLooked_mm))
        foes_.push_back(std::move(foe));
    }
  }

  Foe foe_of(const PlacedObstacle& o) {
    Foe foe{&o, is_convex(o.solid), {}, 0, false};
    const auto index = static_cast<std::size_t>(&o - moving_.bay.obstacles.data());
    const PlacedLine& line = moving_.bay.lines[line_.line];
    const bool of_from = grows(moving_.bay.necks[line.from], index),
               of_to = grows(moving_.bay.necks[line.to], index);
    for (const MovingLink& link : line_.links) {
      const OwnPart from = of_from ? link.own_from : OwnPart::counts,
                    to = of_to ? link.own_to : OwnPart::counts;
      double required = std::numeric_limits<double>::quiet_NaN();
      if (from == OwnPart::must_not_touch || to == OwnPart::must_not_touch)
        required = 0;
      else if (o.own_gap_mm)
        required = *o.own_gap_mm;
      else {
        const bool alike = link.carried == (o.on_engine ? Carried::engine : Carried::chassis);
        const auto row = moving_.gaps.after_motion(link.clamp ? "clamp" : "hose", o.hazard, alike);
        if (row)
          required = *row;
        else if (!told_no_row_) {
          told_no_row_ = true;
          fault(fmt::format("the input holds no gap after motion past {} ({})", o.label(), o.hazard), {},
                true);
        }
      }
      if (from == OwnPart::does_not_count || to == OwnPart::does_not_count)
        required = std::numeric_limits<double>::quiet_NaN();
      foe.required_mm.push_back(required);
      if (!std::isnan(required)) foe.most_off_mm = std::max(foe.most_off_mm, link.radius_mm + required);
    }
    return foe;
  }

  // Is the gap held at every place of the box? Whatever is in doubt is measured where the bound is least.
  bool in_doubt(Foe& foe, const LineOver& over, bool whole, std::array<double, 4>& weight) {
    if (whole) {  // what comes near is told, in doubt or not
      const Doubt near = least_bound(foe, over, kMotionLooked_mm);
      if (!std::isfinite(near.bound_mm)) return false;
      measure(foe, side_of(near, over.box), over.centre);
    }
    const Doubt doubt = least_bound(foe, over, -kTolerance_mm);
    if (foe.refuted || !std::isfinite(doubt.bound_mm)) return false;
    measure(foe, side_of(doubt, over.box), over.centre);
    if (foe.refuted) return false;
    for (std::size_t k = 0; k < 4; ++k)
      weight[k] = std::max(weight[k], std::abs(doubt.pull[k]) + 4 * over.strongest_off[k]);
    return true;
  }
  static EngineAt side_of(const Doubt& doubt, const PlaceBox& box) {
    EngineAt at = box.centre;
    for (Eigen::Index k = 0; k < 4; ++k)
      if (const double pull = doubt.pull[static_cast<std::size_t>(k)]; pull != 0)
        at[k] += std::copysign(box.half[k], pull);
    return at;
  }

  // The least bound on the spare gap that lies below `below`; infinite when none does.
  Doubt least_bound(const Foe& foe, const LineOver& over, double below) {
    const Sway& sway = foe.obstacle->on_engine ? over.on_engine : over.on_chassis;
    Doubt worst;
    for (std::size_t i = 0; i < line_.links.size(); ++i) {
      if (std::isnan(foe.required_mm[i])) continue;
      const MovingLink& link = line_.links[i];
      const double off = link.radius_mm + foe.required_mm[i];
      const double apart = box_over(sway, link).exteriorDistance(foe.obstacle->box);
      if (apart > 0 && apart - off >= below) continue;
      part_bound(foe, sway, link, off, {0, 1}, below, worst);
    }
    return worst;
  }
  struct Shares {
    double from, to;
  };
  void part_bound(const Foe& foe, const Sway& sway, const MovingLink& link, double off, Shares part,
                  double below, Doubt& worst) {
    const double half = (part.to - part.from) / 2 * (sway.at[link.b] - sway.at[link.a]).norm();
    const Doubt here = point_bound(foe, sway, link, off, (part.from + part.to) / 2, below + half);
    if (here.bound_mm >= below + half) return;
    if (here.bound_mm < below || half < kShortestPart_mm) {
      if (here.bound_mm < worst.bound_mm) worst = here;
      return;
    }
    const double middle = (part.from + part.to) / 2;
    part_bound(foe, sway, link, off, {part.from, middle}, below, worst);
    part_bound(foe, sway, link, off, {middle, part.to}, below, worst);
  }
  // A convex obstacle's distance lies above its slope; any other's changes by no more than one moves.
  Doubt point_bound(const Foe& foe, const Sway& sway, const MovingLink& link, double off, double share,
                    double enough) {
    const V3 p = between(sway.at, link, share);
    const double unsure = std::max(sway.off[link.a], sway.off[link.b]);
    std::array<V3, 4> by;
    double taken = unsure;
    Doubt out;
    for (std::size_t k = 0; k < 4; ++k) {
      by[k] = between(sway.by[k], link, share);
      out.pull[k] = by[k].norm();
      taken += out.pull[k];
    }
    const double within = off + taken + enough + kMotionLooked_mm;
    const double distance = distance_at(foe, p, within);
    out.bound_mm = distance - off - taken;
    if (out.bound_mm >= enough) return out;
    V3 slope;
    for (Eigen::Index k = 0; k < 3; ++k) {
      const V3 step = kSlopeStep_mm * V3::Unit(k);
      slope[k] =
          (distance_at(foe, p + step, within) - distance_at(foe, p - step, within)) / (2 * kSlopeStep_mm);
    }
    double along = distance - off - unsure;
    const bool use = foe.convex && distance > kOutside_mm;
    for (std::size_t k = 0; k < 4; ++k) {
      const double way = slope.dot(by[k]);
      along -= std::abs(way);
      out.pull[k] = std::copysign(use ? std::abs(way) : out.pull[k], -way);
    }
    if (use) out.bound_mm = std::max(out.bound_mm, along);
    return out;
  }
  double distance_at(const Foe& foe, const V3& p, double within) {
    effort_.left -= std::holds_alternative<Surface>(foe.obstacle->solid) ? 20 : 1;
    return distance_mm(foe.obstacle->solid, p, within);
  }

  void measure(Foe& foe, const EngineAt& at, const LineAt& near) {
    const std::int64_t before = line_.steps_made();
    const auto shape = line_.at(at, near);
    effort_.left -= 10 * (line_.steps_made() - before);
    if (!shape) return;  // told when a box around it is looked at
    const Frame moved = moving_.ways.moved(at);
    std::vector<V3> nodes = shape->nodes_mm;
    if (foe.obstacle->on_engine)
      for (V3& node : nodes) node = moved.back(node);
    TightestGap least{foe.obstacle->label(), 1e9, 0, 0, V3::Zero()};
    Effort distances;
    for (std::size_t i = 0; i < line_.links.size(); ++i) {
      if (std::isnan(foe.required_mm[i])) continue;
      const MovingLink& link = line_.links[i];
      const double off = link.radius_mm + foe.required_mm[i], length = (nodes[link.b] - nodes[link.a]).norm();
      const double best = least.found_mm - least.required_mm;
      Box3 around(nodes[link.a]);
      around.extend(nodes[link.b]);
      const double apart = around.exteriorDistance(foe.obstacle->box);
      if (apart > 0 && apart - off >= best) continue;
      const auto spare = [&](double s) {
        return distance_at(foe, between(nodes, link, length > 0 ? s / length : 0), off + kLooked_mm) - off;
      };
      const Least found = least_along(spare, length, best, distances);
      if (found.spare_mm >= best) continue;
      least.found_mm = found.spare_mm + foe.required_mm[i];
      least.required_mm = foe.required_mm[i];
      least.s_mm = std::min(link.from_mm + found.s_mm, link.to_mm);
      const V3 where = between(nodes, link, length > 0 ? found.s_mm / length : 0);
      least.where_mm = foe.obstacle->on_engine ? moved.point(where) : where;
    }
    take(foe, least, at);
  }
  void take(Foe& foe, const TightestGap& gap, const EngineAt& at) {
    const double spare = gap.found_mm - gap.required_mm;
    if (spare < kMotionLooked_mm && line_.what.empty() &&
        (!found_.tightest || spare < found_.tightest->found_mm - found_.tightest->required_mm)) {
      found_.tightest = gap;
      found_.tightest_at = at;
    }
    if (spare >= -kTolerance_mm) return;
    foe.refuted = true;
    fault(fmt::format("{:.2f} mm to {} at {:.1f} mm along {}, {:g} mm required after motion", gap.found_mm,
                      gap.other, gap.s_mm, place_words(at), gap.required_mm),
          gap.where_mm);
  }

  bool bend_in_doubt(const LineOver& over) {
    if (!line_.bend || bent_ || over.most_bent <= 1 + kBendHeld) return false;
    if (over.most_bent_found <= 1 + kBendHeld) return true;
    bent_ = true;
    if (line_.bend->least_radius_mm > 0)
      fault(fmt::format("the hose is bent to a radius of {:.1f} mm {}, {:g} mm is the least",
                        line_.bend->least_radius_mm / over.most_bent_found, place_words(over.most_bent_at),
                        line_.bend->least_radius_mm));
    else
      fault(fmt::format("a coupler is turned by {:.1f} deg {}, {:.0f} deg is the most",
                        degrees(line_.bend->most_turn_rad) * over.most_bent_found,
                        place_words(over.most_bent_at), degrees(line_.bend->most_turn_rad)));
    return false;
  }

  void conclude(const std::vector<Task>& open) {
    if (lost_)
      return fault(fmt::format("no stable shape of the line was found {}", place_words(*lost_)), {}, true);
    std::vector<bool> doubtful(foes_.size(), false);
    bool bend = false;
    for (const Task& task : open) {
      for (const std::size_t i : task.foes) doubtful[i] = true;
      bend = bend || task.bend;
    }
    for (std::size_t i = 0; i < foes_.size(); ++i)
      if (doubtful[i] && !foes_[i].refuted)
        fault(fmt::format("the gap to {} in motion was not bounded within the recheck's limits",
                          foes_[i].obstacle->label()),
              {}, true);
    if (bend && !bent_) fault("its bends in motion were not bounded within the recheck's limits", {}, true);
  }

  const Moving& moving_;
  const MovingLine& line_;
  LineInMotionFound& found_;
  MotionEffort& effort_;
  std::vector<Foe> foes_;
  std::optional<EngineAt> lost_;
  bool bent_ = false, told_no_row_ = false;
};

// Nothing reaches further than it is long; what lies straight stays so where its ends come no further apart.
std::optional<Fault> drawn_tight(const Moving& moving, const MovingLine& line) {
  if (!line.between()) return std::nullopt;
  const double at_rest = line.chord_mm(EngineAt::Zero());
  double widest = at_rest;
  EngineAt where = EngineAt::Zero();
  for (const EngineAt& at : corners(moving.ways.all))
    if (const double chord = line.chord_mm(at); chord > widest) {
      widest = chord;
      where = at;
    }
  if (line.length_mm() > widest || widest <= at_rest + kStaysStraight_mm) return std::nullopt;
  return Fault{fmt::format("a part {:.1f} mm long is drawn tight: its ends are {:.1f} mm apart {}",
                           line.length_mm(), widest, place_words(where))};
}

}  // namespace

LineInMotionFound line_motion_faults(const Moving& moving, std::span<const MovingLine> parts,
                                     MotionEffort& effort) {
  LineInMotionFound out;
  for (const MovingLine& part : parts) {
    if (auto fault = drawn_tight(moving, part)) {
      out.faults.push_back(*std::move(fault));
    } else if (!part.at_rest) {
      out.faults.push_back({"no stable shape of the line was found with the engine at rest", {}, true});
    } else {
      LineCover(moving, part, out, effort).cover();
    }
  }
  return out;
}

}  // namespace hosefit::recheck
