// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/verify/shape_rules.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "solver/verify/refusal.h"

namespace hosefit {
namespace {

constexpr double kSame_mm = 0.01;   // moulds and saws are not truer; ten times more shows in no gap
constexpr double kSame_rad = 1e-6;  // rounding of angles found from directions

// The part of a shape between its two cuts, in the order of the line.
struct Part {
  double first_mm = 0, last_mm = 0;  // straight from each cut to the nearest bend
  std::vector<double> radii_mm, angles_rad, straights_mm, turns_rad;
};

struct PartOrRefusal {
  Part part;
  std::string refused;  // why there is none; empty when there is
};

// Walks the shape from A and keeps what lies between the cuts.
PartOrRefusal part_between(const MouldedShape& shape, const ShapeCut& cut) {
  PartOrRefusal out;
  if (!(cut.from_mm < cut.to_mm) || cut.from_mm < -kSame_mm ||
      cut.to_mm > whole_length(shape).mm() + kSame_mm)
    return {{}, "cut_off_the_shape"};
  Part& part = out.part;
  double at = 0, last_end = 0;
  for (std::size_t i = 0; i < shape.radii.size(); ++i) {
    const double begin = at + shape.straights[i].mm();
    const double end = begin + shape.radii[i].mm() * shape.angles[i].rad();
    const bool inside = begin >= cut.from_mm - kSame_mm && end <= cut.to_mm + kSame_mm;
    const bool outside = end <= cut.from_mm + kSame_mm || begin >= cut.to_mm - kSame_mm;
    if (!inside && !outside) return {{}, "bend_cut_through"};
    if (inside) {
      if (part.radii_mm.empty()) {
        part.first_mm = begin - cut.from_mm;
      } else {
        part.straights_mm.push_back(shape.straights[i].mm());
        part.turns_rad.push_back(shape.turns[i - 1].rad());
      }
      part.radii_mm.push_back(shape.radii[i].mm());
      part.angles_rad.push_back(shape.angles[i].rad());
      last_end = end;
    }
    at = end;
  }
  part.last_mm = cut.to_mm - last_end;
  if (!cut.reversed) return out;
  std::swap(part.first_mm, part.last_mm);
  for (std::vector<double>* list : {&part.radii_mm, &part.angles_rad, &part.straights_mm, &part.turns_rad})
    std::reverse(list->begin(), list->end());
  return out;
}

// Of each bend's plane against that of the bend before, right-handed about the straight between.
std::vector<double> plane_turns(const Centreline& centreline, std::size_t bends) {
  std::vector<double> out;
  const Arc* before = nullptr;
  for (const Piece& piece : centreline.pieces) {
    const auto* arc = std::get_if<Arc>(&piece);
    if (arc == nullptr) continue;
    if (before != nullptr) {
      const Vec3 travel = direction_at(piece, 0);
      out.push_back(
          std::atan2(before->normal.cross(arc->normal).dot(travel), before->normal.dot(arc->normal)));
    }
    before = arc;
  }
  if (out.size() + 1 != bends) out.clear();  // arcs that go on as one bend: no piece of a moulded shape
  return out;
}

class ShapeCheck {
 public:
  ShapeCheck(const std::string& line, const Route& route, const Stock& stock, const Bends& bends)
      : line_(line), route_(route), stock_(stock), bends_(bends) {}

  std::vector<Finding> findings() {
    check();
    for (Finding& finding : findings_) {
      finding.other = stock_.id;
      finding.provenance = stock_.provenance;
      if (!name_.empty()) finding.parameters["shape"] = name_;
    }
    return std::move(findings_);
  }

 private:
  void check() {
    if (route_.pieces.size() != 1 || route_.pieces[0].stock != stock_.id || !route_.pieces[0].shape)
      return refuse(RuleId::no_stock, "not_cut_from_a_shape");
    const StockPiece& piece = route_.pieces[0];
    name_ = piece.shape->name;
    const MouldedShape* shape = shape_named(stock_, name_);
    if (shape == nullptr) return refuse(RuleId::no_stock, "no_such_shape");
    const PartOrRefusal found = part_between(*shape, *piece.shape);
    if (!found.refused.empty()) return refuse(RuleId::length_on_sale, found.refused);
    check_lengths(piece, *shape);
    const Part& part = found.part;
    if (part.radii_mm.empty() || part.radii_mm.size() != bends_.bends.size())
      return count(static_cast<double>(bends_.bends.size()), static_cast<double>(part.radii_mm.size()));
    check_bends(part);
    check_straights(part);
    check_planes(part);
  }

  void check_lengths(const StockPiece& piece, const MouldedShape& shape) {
    const double total = length_mm(route_.centreline) + route_.engagement_from_mm + route_.engagement_to_mm;
    alike(RuleId::length_on_sale, piece.cut_length_mm, total, "cut_length_is_not_the_lines");
    alike(RuleId::length_on_sale, piece.bought_length_mm, whole_length(shape).mm(),
          "whole_length_is_not_the_shapes");
  }

  void check_bends(const Part& part) {
    for (std::size_t i = 0; i < bends_.bends.size(); ++i) {
      const Bend& bend = bends_.bends[i];
      alike(RuleId::bend_radius, bend.radius_mm, part.radii_mm[i], "radius_is_not_the_shapes", i);
      sprung(bend.angle_rad - part.angles_rad[i], "sprung_too_far", i);
    }
  }

  void check_straights(const Part& part) {
    const std::size_t last = bends_.bends.size() - 1;
    for (std::size_t i = 1; i <= last; ++i)
      alike(RuleId::straight_between_bends, bends_.bends[i].straight_before_mm, part.straights_mm[i - 1],
            "straight_is_not_the_shapes", i);
    alike(RuleId::length_on_sale, bends_.bends[0].straight_before_mm + route_.engagement_from_mm,
          part.first_mm, "end_straight_is_not_the_cuts", 0);
    alike(RuleId::length_on_sale, bends_.last_straight_mm + route_.engagement_to_mm, part.last_mm,
          "end_straight_is_not_the_cuts", last);
  }

  void check_planes(const Part& part) {
    const std::vector<double> turns = plane_turns(route_.centreline, bends_.bends.size());
    if (turns.size() != part.turns_rad.size()) return refuse(RuleId::no_stock, "bends_do_not_match_shape");
    for (std::size_t i = 0; i < turns.size(); ++i)
      sprung(std::remainder(turns[i] - part.turns_rad[i], 2 * std::numbers::pi), "plane_sprung_too_far",
             i + 1);
  }

  void add(Finding finding, const char* reason, std::optional<std::size_t> bend) {
    finding.parameters["reason"] = reason;
    if (bend) {
      finding.where_mm = bends_.bends[*bend].where_mm;
      finding.parameters["bend"] = std::to_string(*bend + 1);
      finding.parameters["s_mm"] = told(bends_.bends[*bend].s_mm);
    }
    findings_.push_back(std::move(finding));
  }

  void refuse(RuleId rule, std::string_view reason) { findings_.push_back(refused(rule, line_, reason)); }

  void count(double route, double shape) {
    add(below_limit(RuleId::no_stock, Severity::stop, line_, route, shape, FindingUnit::count),
        "bends_do_not_match_shape", std::nullopt);
  }

  // Not a number is not alike.
  void alike(RuleId rule, double measured_mm, double shape_mm, const char* reason,
             std::optional<std::size_t> bend = std::nullopt) {
    if (std::abs(measured_mm - shape_mm) <= kSame_mm) return;
    add(measured_mm < shape_mm
            ? below_limit(rule, Severity::stop, line_, measured_mm, shape_mm, FindingUnit::mm)
            : above_limit(rule, Severity::stop, line_, measured_mm, shape_mm, FindingUnit::mm),
        reason, bend);
  }

  void sprung(double by_rad, const char* reason, std::size_t bend) {
    if (std::abs(by_rad) <= Angle::deg(kMostSprung_deg).rad() + kSame_rad) return;
    add(above_limit(RuleId::bend_angle, Severity::stop, line_, Angle::rad(std::abs(by_rad)).deg(),
                    kMostSprung_deg, FindingUnit::deg),
        reason, bend);
  }

  const std::string& line_;
  const Route& route_;
  const Stock& stock_;
  const Bends& bends_;
  std::string name_;
  std::vector<Finding> findings_;
};

}  // namespace

std::vector<Finding> check_shape_rules(const std::string& line, const Route& route, const Stock& stock,
                                       const Bends& bends) {
  return ShapeCheck(line, route, stock, bends).findings();
}

}  // namespace hosefit
