// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "solver/recheck/motion_checks.h"

namespace hosefit::recheck {
namespace {

constexpr double kTolerance_mm = kMotionHeld_mm + kShapesDiffer_mm;
constexpr double kAnywhere_mm = 1e6;
constexpr std::size_t kBundle = 8;  // links that are left out together

std::optional<double> required_between(const Gaps& gaps, const MovingLink& a, const MovingLink& b) {
  const bool alike = a.carried == b.carried && a.carried != Carried::both;
  const auto by_a = gaps.after_motion(a.clamp ? "clamp" : "hose", "another_hose", alike);
  const auto by_b = gaps.after_motion(b.clamp ? "clamp" : "hose", "another_hose", alike);
  if (!by_a || !by_b) return std::nullopt;
  if ((a.on_tee && b.beside_tee) || (a.beside_tee && b.on_tee)) return 0;
  return std::max(*by_a, *by_b);
}

/// Boxes around links, and around bundles of them.
struct Boxes {
  std::vector<Box3> links, bundles;
  Boxes(const MovingLine& line, const Sway& sway) {
    for (std::size_t i = 0; i < line.links.size(); ++i) {
      Box3 box = box_over(sway, line.links[i]);
      box.min().array() -= line.links[i].radius_mm;
      box.max().array() += line.links[i].radius_mm;
      if (i % kBundle == 0) bundles.emplace_back();
      bundles.back().extend(box);
      links.push_back(box);
    }
  }
};

struct Nearest {
  double spare_mm = std::numeric_limits<double>::infinity(), required_mm = 0, s_mm = 0;
  V3 where_mm = V3::Zero();
};

/// Two moving parts of two lines.
class TwoCover {
 public:
  TwoCover(const Moving& moving, const SweptLine& a, const SweptLine& b, MotionEffort& effort)
      : moving_(moving),
        a_(*a.line),
        b_(*b.line),
        apart_mm_(a.box.exteriorDistance(b.box)),
        effort_(effort),
        most_(most_required()) {}

  std::optional<Fault> cover() {
    if (!most_) return Fault{"the input holds no gap after motion between two lines", {}, true};
    if (apart_mm_ > *most_) return std::nullopt;
    std::vector<Task> open{{moving_.ways.all, *a_.at_rest, *b_.at_rest}};
    for (int boxes = 0; !open.empty(); ++boxes) {
      if (boxes == effort_.most_boxes || effort_.spent())
        return Fault{
            "the gap to " + name() + " in motion was not bounded within the recheck's limits", {}, true};
      const Task task = std::move(open.back());
      open.pop_back();
      if (auto fault = look(task, open)) return fault;
    }
    return std::nullopt;
  }

 private:
  struct Task {
    PlaceBox box;
    LineAt near_a, near_b;
  };
  std::string name() const {
    return (b_.what.empty() ? "" : b_.what + " on ") + "line " + moving_.bay.lines[b_.line].line->name;
  }
  std::optional<double> most_required() const {
    double most = 0;
    for (const char* runner : {"hose", "clamp"})
      for (const bool alike : {false, true}) {
        const auto required = moving_.gaps.after_motion(runner, "another_hose", alike);
        if (!required) return std::nullopt;
        most = std::max(most, *required);
      }
    return most;
  }

  template <class Each>
  void each_near(const Boxes& in_a, const Boxes& in_b, double within, const Each& each) {
    for (std::size_t p = 0; p < in_a.bundles.size(); ++p)
      for (std::size_t q = 0; q < in_b.bundles.size(); ++q) {
        if (in_a.bundles[p].exteriorDistance(in_b.bundles[q]) > within) continue;
        for (std::size_t i = p * kBundle; i < std::min((p + 1) * kBundle, a_.links.size()); ++i)
          for (std::size_t j = q * kBundle; j < std::min((q + 1) * kBundle, b_.links.size()); ++j) {
            if (a_.links[i].on_tee && b_.links[j].on_tee) continue;
            --effort_.left;
            if (in_a.links[i].exteriorDistance(in_b.links[j]) <= within) each(i, j);
          }
      }
  }

  std::optional<Fault> look(const Task& task, std::vector<Task>& open) {
    const std::int64_t before = a_.steps_made() + b_.steps_made();
    const Overs over_a = line_over(a_, moving_.ways, task.box, task.near_a, false);
    const Overs over_b = line_over(b_, moving_.ways, task.box, task.near_b, false);
    effort_.left -= 10 * (a_.steps_made() + b_.steps_made() - before) + 100;
    if (!over_a.over || !over_b.over) return no_shape(over_a.over ? over_b.lost : over_a.lost);
    const LineOver &one = *over_a.over, &other = *over_b.over;
    std::array<double, 4> weight{};
    Bound worst;
    each_near(
        Boxes(a_, one.on_chassis), Boxes(b_, other.on_chassis), *most_, [&](std::size_t i, std::size_t j) {
          const Bound bound = bound_over(a_.links[i], b_.links[j], one.on_chassis, other.on_chassis);
          if (bound.spare_mm >= -kTolerance_mm) return;
          for (std::size_t k = 0; k < 4; ++k)
            weight[k] = std::max(
                weight[k], std::abs(bound.pull[k]) + 4 * (one.strongest_off[k] + other.strongest_off[k]));
          if (bound.spare_mm < worst.spare_mm) worst = bound;
        });
    if (!std::isfinite(worst.spare_mm)) return std::nullopt;
    EngineAt at = task.box.centre;
    for (Eigen::Index k = 0; k < 4; ++k)
      at[k] += std::copysign(task.box.half[k], worst.pull[static_cast<std::size_t>(k)]);
    const auto there_a = a_.at(at, one.centre), there_b = b_.at(at, other.centre);
    if (!there_a || !there_b) return no_shape(at);
    for (const auto& [shape_a, shape_b] : {std::pair(&one.centre, &other.centre), {&*there_a, &*there_b}})
      if (auto fault = short_at(*shape_a, *shape_b)) return fault;
    const auto widest = std::max_element(weight.begin(), weight.end()) - weight.begin();
    for (const PlaceBox& half : halved(task.box, widest)) open.push_back({half, one.centre, other.centre});
    return std::nullopt;
  }
  Fault no_shape(const EngineAt& at) const {
    return {fmt::format("no stable shape was found {}, so its gap to {} in motion is not known",
                        place_words(at), name()),
            {},
            true};
  }

  double spare(const MovingLink& p, const MovingLink& q, const std::vector<V3>& at_a,
               const std::vector<V3>& at_b) {
    --effort_.left;
    return between_segments(at_a[p.a], at_a[p.b], at_b[q.a], at_b[q.b]) - off_mm(p, q);
  }
  double off_mm(const MovingLink& p, const MovingLink& q) const {
    return p.radius_mm + q.radius_mm + *required_between(moving_.gaps, p, q);
  }

  struct Bound {
    double spare_mm = std::numeric_limits<double>::infinity();
    std::array<double, 4> pull{};  // what each way may take off, with the sign of the side that does
  };
  // No two points of both come nearer than their ends move against each other, all ways together; and a plane
  // square to the shortest way between them parts them as long as all four ends keep to their sides.
  Bound bound_over(const MovingLink& p, const MovingLink& q, const Sway& a, const Sway& b) {
    --effort_.left;
    const V3 across = across_segments(a.at[p.a], a.at[p.b], b.at[q.a], b.at[q.b]);
    const double distance = across.norm();
    const V3 n = distance > 0 ? V3(across / distance) : V3(V3::Zero());
    double moves = 0, kept = std::numeric_limits<double>::infinity();
    Bound out;
    for (const std::size_t i : {p.a, p.b})
      for (const std::size_t j : {q.a, q.b}) {
        double any = a.off[i] + b.off[j], along = n.dot(a.at[i] - b.at[j]) - a.off[i] - b.off[j];
        std::array<double, 4> pull{};
        for (std::size_t k = 0; k < 4; ++k) {
          const V3 by = a.by[k][i] - b.by[k][j];
          any += by.norm();
          pull[k] = -n.dot(by);
          along -= std::abs(pull[k]);
        }
        moves = std::max(moves, any);
        if (along < kept) {
          kept = along;
          out.pull = pull;
        }
      }
    out.spare_mm = std::max(distance - moves, kept) - off_mm(p, q);
    return out;
  }

  std::optional<Fault> short_at(const LineAt& at_a, const LineAt& at_b) {
    Sway still_a, still_b;
    still_a.at = at_a.nodes_mm;
    still_b.at = at_b.nodes_mm;
    for (Sway* sway : {&still_a, &still_b}) {
      sway->off.assign(sway->at.size(), 0.0);
      for (auto& way : sway->by) way.assign(sway->at.size(), V3::Zero());
    }
    Nearest least;
    each_near(Boxes(a_, still_a), Boxes(b_, still_b), *most_, [&](std::size_t i, std::size_t j) {
      const double found = spare(a_.links[i], b_.links[j], still_a.at, still_b.at);
      if (found >= least.spare_mm) return;
      least = {found, *required_between(moving_.gaps, a_.links[i], b_.links[j]), a_.links[i].from_mm,
               still_a.at[a_.links[i].a]};
    });
    if (least.spare_mm >= -kTolerance_mm) return std::nullopt;
    const std::string of = a_.what.empty() ? "" : a_.what + ": ";
    return Fault{fmt::format("{}{:.2f} mm to {} at {:.1f} mm along {}, {:g} mm required after motion", of,
                             least.spare_mm + least.required_mm, name(), least.s_mm, place_words(at_a.at),
                             least.required_mm),
                 least.where_mm};
  }

  const Moving& moving_;
  const MovingLine &a_, &b_;
  double apart_mm_;
  MotionEffort& effort_;
  std::optional<double> most_;
};

}  // namespace

Box3 swept_mm(const MovingLine& line, const EngineWays& ways) {
  Box3 box(V3::Constant(-kAnywhere_mm), V3::Constant(kAnywhere_mm));
  if (!line.at_rest) return box;
  const Overs all = line_over(line, ways, ways.all, *line.at_rest, true);
  if (!all.over) return box;
  box.setEmpty();
  for (const Box3& bundle : Boxes(line, all.over->on_chassis).bundles) box.extend(bundle);
  return box;
}

std::vector<Fault> lines_motion_faults(const Moving& moving, std::span<const SweptLine> a,
                                       std::span<const SweptLine> b, MotionEffort& effort) {
  std::vector<Fault> faults;
  for (const SweptLine& one : a)
    for (const SweptLine& other : b) {
      if (!one.line->at_rest || !other.line->at_rest) continue;  // told of the line itself
      if (auto fault = TwoCover(moving, one, other, effort).cover()) faults.push_back(*std::move(fault));
    }
  return faults;
}

}  // namespace hosefit::recheck
