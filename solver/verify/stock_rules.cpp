// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/verify/stock_rules.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "solver/verify/refusal.h"
#include "solver/verify/shape_rules.h"
#include "solver/verify/tube.h"

namespace hosefit {
namespace {

constexpr double kSlack_mm = 1e-6;  // rounding of a radius found from three points
constexpr double kSlack_rad = 1e-6;
constexpr double kCutSlack_mm = 0.01;  // piece lengths are told to the tenth; ten times more is a saw cut

bool same_bend(const Arc& a, const Arc& b) {
  return (a.centre_mm - b.centre_mm).norm() <= kSlack_mm && angle_between(a.normal, b.normal) <= kSlack_rad;
}

double tangent_mm(const Bend& bend) {
  return bend.radius_mm * std::tan(bend.angle_rad / 2);
}

// Collects findings about bends of one line.
struct BendFindings {
  const std::string& line;
  const Stock& stock;
  std::vector<Finding> findings;

  void add(Finding finding, const Bend& bend, std::size_t index) {
    finding.other = stock.id;
    finding.where_mm = bend.where_mm;
    finding.provenance = stock.provenance;
    finding.parameters["bend"] = std::to_string(index + 1);
    finding.parameters["s_mm"] = told(bend.s_mm);
    findings.push_back(std::move(finding));
  }

  void check_radius(const Bend& bend, std::size_t index) {
    if (stock.radii.empty())
      return add(refused(RuleId::bend_radius, line, "stock_has_no_radius"), bend, index);
    if (stock.make != Make::bent_tube) {
      const double least = stock.radii.front().mm();
      if (bend.radius_mm < least - kSlack_mm)
        add(below_limit(RuleId::bend_radius, Severity::stop, line, bend.radius_mm, least, FindingUnit::mm),
            bend, index);
      return;
    }
    const auto off = [&](Length die) { return std::abs(die.mm() - bend.radius_mm); };
    const Length die = *std::min_element(stock.radii.begin(), stock.radii.end(),
                                         [&](Length a, Length b) { return off(a) < off(b); });
    if (off(die) <= kSlack_mm) return;
    Finding finding =
        below_limit(RuleId::bend_radius, Severity::stop, line, bend.radius_mm, die.mm(), FindingUnit::mm);
    finding.parameters["reason"] = "no_such_die";
    add(std::move(finding), bend, index);
  }

  void check_angle(const Bend& bend, std::size_t index) {
    const double deg = Angle::rad(bend.angle_rad).deg();
    if (bend.angle_rad > stock.most_bend.rad() + kSlack_rad)
      add(above_limit(RuleId::bend_angle, Severity::stop, line, deg, stock.most_bend.deg(), FindingUnit::deg),
          bend, index);
    if (stock.angles.empty()) return;
    const auto off = [&](Angle sold) { return std::abs(sold.rad() - bend.angle_rad); };
    const Angle sold = *std::min_element(stock.angles.begin(), stock.angles.end(),
                                         [&](Angle a, Angle b) { return off(a) < off(b); });
    if (off(sold) <= kSlack_rad) return;
    Finding finding =
        below_limit(RuleId::bend_angle, Severity::stop, line, deg, sold.deg(), FindingUnit::deg);
    finding.parameters["reason"] = "angle_not_on_sale";
    add(std::move(finding), bend, index);
  }

  void check_legs(const Bend& bend, std::size_t index) {
    if (stock.make != Make::elbows_and_straights) return;
    const double needed = tangent_mm(bend) + least_engagement_mm(stock.bore);
    if (needed <= stock.leg.mm() + kSlack_mm) return;
    Finding finding =
        below_limit(RuleId::length_on_sale, Severity::stop, line, stock.leg.mm(), needed, FindingUnit::mm);
    finding.parameters["reason"] = "elbow_leg_short";
    add(std::move(finding), bend, index);
  }
};

void check_straights(BendFindings& out, const Bends& bends, const PlacedNeck& from, const PlacedNeck& to) {
  const auto lead = [&](double measured, const PlacedNeck& neck, const Bend& bend, std::size_t index) {
    const double least = least_lead_mm(out.stock, neck.outside_diameter);
    if (measured >= least - kSlack_mm) return;
    Finding finding = below_limit(RuleId::lead, Severity::stop, out.line, measured, least, FindingUnit::mm);
    finding.parameters["neck"] = neck.name;
    out.add(std::move(finding), bend, index);
  };
  lead(bends.bends.front().straight_before_mm, from, bends.bends.front(), 0);
  lead(bends.last_straight_mm, to, bends.bends.back(), bends.bends.size() - 1);
  const double least = out.stock.straight_between.mm();
  for (std::size_t i = 1; i < bends.bends.size(); ++i) {
    const double straight = bends.bends[i].straight_before_mm;
    if (straight < least - kSlack_mm)
      out.add(below_limit(RuleId::straight_between_bends, Severity::stop, out.line, straight, least,
                          FindingUnit::mm),
              bends.bends[i], i);
  }
}

Finding length_finding(const std::string& line, const Stock& stock, double length_mm, double nearest_mm,
                       const char* reason) {
  Finding finding =
      below_limit(RuleId::length_on_sale, Severity::stop, line, length_mm, nearest_mm, FindingUnit::mm);
  finding.other = stock.id;
  finding.parameters["reason"] = reason;
  return finding;
}

// One piece over the whole line, hose over the necks included.
std::vector<Finding> check_one_piece(const std::string& line, const Stock& stock, const Route& route) {
  const double total = length_mm(route.centreline) + route.engagement_from_mm + route.engagement_to_mm;
  const double trim = stock.make == Make::corrugated_hose ? 2 * stock.cuff_trim.mm()
                                                          : std::numeric_limits<double>::infinity();
  const auto serves = [&](Length sold) {
    return sold.mm() >= total - kSlack_mm && sold.mm() - trim <= total + kSlack_mm;
  };
  std::vector<Finding> findings;
  if (!stock.lengths.empty() && std::none_of(stock.lengths.begin(), stock.lengths.end(), serves)) {
    const auto off = [&](Length sold) { return std::abs(sold.mm() - total); };
    const Length nearest = *std::min_element(stock.lengths.begin(), stock.lengths.end(),
                                             [&](Length a, Length b) { return off(a) < off(b); });
    findings.push_back(length_finding(line, stock, total, nearest.mm(), "length_not_on_sale"));
  }
  for (const StockPiece& piece : route.pieces) {
    if (piece.stock != stock.id) continue;
    if (std::abs(piece.cut_length_mm - total) > kCutSlack_mm)
      findings.push_back(
          length_finding(line, stock, piece.cut_length_mm, total, "cut_length_is_not_the_lines"));
    const bool sold =
        stock.lengths.empty() || std::any_of(stock.lengths.begin(), stock.lengths.end(), [&](Length l) {
          return std::abs(l.mm() - piece.bought_length_mm) <= kCutSlack_mm && serves(l);
        });
    if (!sold)
      findings.push_back(
          length_finding(line, stock, piece.bought_length_mm, total, "bought_length_not_on_sale"));
  }
  return findings;
}

// Elbow pieces in order are the bends in order; none may be longer than it is sold.
std::vector<Finding> check_elbow_pieces(const std::string& line, const Stock& stock, const Route& route,
                                        const Bends& bends) {
  std::vector<Finding> findings;
  if (route.pieces.empty()) return findings;
  std::size_t bend = 0;
  for (const StockPiece& piece : route.pieces) {
    if (!piece.what.starts_with("elbow")) continue;
    if (bend < bends.bends.size()) {
      const Bend& b = bends.bends[bend];
      const double sold = 2 * (stock.leg.mm() - tangent_mm(b)) + b.radius_mm * b.angle_rad;
      if (piece.cut_length_mm > sold + kCutSlack_mm)
        findings.push_back(length_finding(line, stock, sold, piece.cut_length_mm, "elbow_longer_than_sold"));
    }
    ++bend;
  }
  if (bend == bends.bends.size()) return findings;
  Finding finding = below_limit(RuleId::no_stock, Severity::stop, line, static_cast<double>(bend),
                                static_cast<double>(bends.bends.size()), FindingUnit::count);
  finding.other = stock.id;
  finding.parameters["reason"] = "elbows_do_not_match_bends";
  findings.push_back(std::move(finding));
  return findings;
}

std::vector<Finding> check_lengths(const Bay& bay, const std::string& line, const Stock& stock,
                                   const Route& route, const Bends& bends) {
  switch (stock.make) {
    case Make::straight_hose:
    case Make::corrugated_hose:
      return check_one_piece(line, stock, route);
    case Make::elbows_and_straights:
      return check_elbow_pieces(line, stock, route, bends);
    case Make::moulded_shape:
      return check_shape_rules(line, route, stock, bends);
    case Make::bent_tube:
      break;
  }
  std::vector<Finding> findings;
  const double couplers = least_lead_mm(stock, from_neck(bay, route).outside_diameter) +
                          least_lead_mm(stock, to_neck(bay, route).outside_diameter);
  if (length_mm(route.centreline) < couplers - kSlack_mm)
    findings.push_back(
        length_finding(line, stock, length_mm(route.centreline), couplers, "shorter_than_its_couplers"));
  return findings;
}

}  // namespace

Bends bends_of(const Centreline& centreline) {
  Bends out;
  double straight = 0;
  double s = 0;
  const Arc* before = nullptr;
  for (const Piece& piece : centreline.pieces) {
    const auto* arc = std::get_if<Arc>(&piece);
    if (!arc) {
      straight += length_mm(piece);
    } else if (before && straight <= kSlack_mm && same_bend(*before, *arc)) {
      out.bends.back().angle_rad += arc->angle_rad;
    } else {
      out.bends.push_back({arc->radius_mm(), arc->angle_rad, straight, s, arc->start_mm});
      straight = 0;
    }
    if (arc) before = arc;
    s += length_mm(piece);
  }
  out.last_straight_mm = straight;
  return out;
}

std::vector<Finding> check_stock_rules(const Bay& bay, const Route& route, const Stock& stock) {
  const std::string& line = bay.lines[route.line].line.name;
  if (stock.make != route.make) return {refused(RuleId::no_stock, line, "stock_is_of_another_make")};
  const Bends bends = bends_of(route.centreline);
  BendFindings out{line, stock, {}};
  const bool moulded = stock.make == Make::moulded_shape;  // each bend by its shape: shape_rules.h
  for (std::size_t i = 0; i < bends.bends.size() && !moulded; ++i) {
    out.check_radius(bends.bends[i], i);
    out.check_angle(bends.bends[i], i);
    out.check_legs(bends.bends[i], i);
  }
  if (!bends.bends.empty()) check_straights(out, bends, from_neck(bay, route), to_neck(bay, route));
  for (Finding& finding : check_lengths(bay, line, stock, route, bends))
    out.findings.push_back(std::move(finding));
  return std::move(out.findings);
}

}  // namespace hosefit
