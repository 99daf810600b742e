// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "solver/recheck/line_checks.h"

namespace hosefit::recheck {
namespace {

constexpr double kOnNeck_mm = 1e-4, kOnNeck_rad = 1e-5;
constexpr double kSame_mm = 1e-5, kSame_rad = 1e-5;
constexpr double kSawCut_mm = 0.01;
// Bore of the hose against the neck's outside: looser than this leaks, tighter cannot be pushed on (common
// practice, no source).
constexpr double kLoose_mm = 0.5, kTightShare = 0.08;
constexpr double kJoinerGap_mm = 4.0;  // between two hose ends on one joiner

struct Bend {
  double radius_mm, angle_rad, straight_before_mm;
  V3 where_mm;
};
struct Bends {
  std::vector<Bend> list;
  double last_straight_mm = 0;
};

// Arcs that go on about the same axis are one bend.
Bends bends_of(const std::vector<CurvePiece>& curve) {
  Bends out;
  const ArcPiece* open = nullptr;
  for (const CurvePiece& piece : curve) {
    const auto* arc = std::get_if<ArcPiece>(&piece);
    if (arc == nullptr) {
      out.last_straight_mm += length_mm(piece);
      continue;
    }
    const double radius = (arc->start_mm - arc->centre_mm).norm();
    const bool goes_on = open != nullptr && out.last_straight_mm <= kSame_mm &&
                         (open->centre_mm - arc->centre_mm).norm() <= kSame_mm &&
                         between_rad(open->normal, arc->normal) <= kSame_rad;
    if (goes_on)
      out.list.back().angle_rad += arc->angle_rad;
    else
      out.list.push_back({radius, arc->angle_rad, out.last_straight_mm, arc->start_mm});
    out.last_straight_mm = 0;
    open = arc;
  }
  return out;
}

template <class Allowed>
double nearest(const Allowed& allowed, double value) {
  return *std::min_element(allowed.begin(), allowed.end(),
                           [&](double a, double b) { return std::abs(a - value) < std::abs(b - value); });
}

class StockCheck {
 public:
  StockCheck(const Bay& bay, const Tube& tube)
      : tube_(tube),
        line_(*tube.recorded),
        stock_(*tube.stock),
        from_(bay.necks[bay.lines[tube.line].from].neck),
        to_(bay.necks[bay.lines[tube.line].to].neck),
        bends_(bends_of(tube.recorded->curve)) {}

  std::vector<Fault> faults() {
    const bool moulded = stock_.make == "moulded_shape";  // it holds each bend against its own
    if (moulded) faults_ = moulded_faults(tube_);
    for (std::size_t i = 0; i < bends_.list.size() && !moulded; ++i) check_bend(bends_.list[i], i);
    check_straights();
    check_sections();
    if (!moulded) check_pieces();
    return std::move(faults_);
  }

 private:
  void add(std::string text, const std::optional<V3>& where = std::nullopt) {
    faults_.push_back({std::move(text), where});
  }
  double total_mm() const { return tube_.length_mm + line_.engagement_from_mm + line_.engagement_to_mm; }
  bool is_elbow() const { return stock_.make == "elbows_and_straights"; }

  void check_bend(const Bend& bend, std::size_t i) {
    if (stock_.make == "bent_tube") {
      if (const double die = nearest(stock_.radii_mm, bend.radius_mm);
          std::abs(die - bend.radius_mm) > kSame_mm)
        add(fmt::format("bend {} has a radius of {:.3f} mm, the nearest die {:g} mm", i + 1, bend.radius_mm,
                        die),
            bend.where_mm);
    } else if (bend.radius_mm < stock_.radii_mm.front() - kSame_mm) {
      add(fmt::format("bend {} has a radius of {:.3f} mm, {} allows {:g} mm", i + 1, bend.radius_mm,
                      stock_.id, stock_.radii_mm.front()),
          bend.where_mm);
    }
    const double turn = degrees(bend.angle_rad);
    if (turn > stock_.most_bend_deg + degrees(kSame_rad))
      add(fmt::format("bend {} turns by {:.3f} deg, {} by {:g} deg at most", i + 1, turn, stock_.id,
                      stock_.most_bend_deg),
          bend.where_mm);
    if (!stock_.angles_deg.empty())
      if (const double sold = nearest(stock_.angles_deg, turn); std::abs(sold - turn) > degrees(kSame_rad))
        add(fmt::format("bend {} turns by {:.3f} deg, the nearest on sale by {:g} deg", i + 1, turn, sold),
            bend.where_mm);
    if (!is_elbow()) return;
    const double needed = bend.radius_mm * std::tan(bend.angle_rad / 2) + (stock_.bore_mm >= 25 ? 28 : 20);
    if (needed > stock_.leg_mm + kSame_mm)
      add(fmt::format("bend {} needs a leg of {:.1f} mm, sold is {:g} mm", i + 1, needed, stock_.leg_mm),
          bend.where_mm);
  }

  void check_lead(double straight, const Neck& neck, double told_mm) {
    const double least = least_lead_mm(stock_, neck);
    if (!bends_.list.empty() && straight < least - kSame_mm)
      add(fmt::format("the lead at {} is {:.3f} mm straight, {:.3f} mm required", neck.name, straight, least),
          neck.end_mm);
    if (std::abs(told_mm - least) > kSame_mm)
      add(fmt::format("the record tells a required lead of {:.3f} mm at {}, it is {:.3f} mm", told_mm,
                      neck.name, least));
  }
  void check_straights() {
    check_lead(bends_.list.empty() ? tube_.length_mm : bends_.list.front().straight_before_mm, from_,
               line_.lead_from_mm);
    check_lead(bends_.last_straight_mm, to_, line_.lead_to_mm);
    for (std::size_t i = 1; i < bends_.list.size(); ++i)
      if (bends_.list[i].straight_before_mm < stock_.straight_between_mm - kSame_mm)
        add(fmt::format("bends {} and {} are {:.3f} mm apart, {} asks for {:g} mm", i, i + 1,
                        bends_.list[i].straight_before_mm, stock_.id, stock_.straight_between_mm),
            bends_.list[i].where_mm);
  }

  // The recheck measures with the diameters of the stock, or with the record's where they are larger.
  void check_sections() {
    double reached = 0;
    const double coupler = stock_.make == "bent_tube" ? stock_.coupler_gap_mm + stock_.cuff_mm : 0;
    for (const RecordedSection& s : line_.sections) {
      if (std::abs(s.from_mm - reached) > kSame_mm || s.to_mm < s.from_mm)
        add(fmt::format("the diameters recorded leave a hole at {:.1f} mm along", reached));
      reached = s.to_mm;
      const bool in_coupler =
          s.from_mm < coupler - kSame_mm || s.to_mm > tube_.length_mm - coupler + kSame_mm;
      const double least =
          in_coupler ? std::max(stock_.outside_mm, stock_.coupler_outside_mm) : stock_.outside_mm;
      if (s.outside_mm < least - kSame_mm)
        add(fmt::format(
            "the record tells a diameter of {:.2f} mm from {:.1f} mm along, that of {} is {:g} mm",
            s.outside_mm, s.from_mm, stock_.id, least));
    }
    if (std::abs(reached - tube_.length_mm) > kSame_mm)
      add(fmt::format("the diameters recorded end at {:.3f} mm, the line at {:.3f} mm", reached,
                      tube_.length_mm));
  }

  void check_pieces() {
    if (line_.pieces.empty()) return add("the record names no piece to buy");
    if (stock_.make == "bent_tube") return check_tube();
    if (is_elbow()) return check_elbows();
    check_one_hose();
  }

  void check_one_hose() {
    if (line_.pieces.size() != 1 || line_.pieces[0].stock != stock_.id)
      return add(fmt::format("the line is one piece of {}, the record names {} pieces", stock_.id,
                             line_.pieces.size()));
    const RecordedPiece& piece = line_.pieces[0];
    if (std::abs(piece.cut_mm - total_mm()) > kSawCut_mm)
      add(fmt::format("the piece is cut to {:.2f} mm, the line takes {:.2f} mm", piece.cut_mm, total_mm()));
    if (stock_.lengths_mm.empty()) return;
    const double sold = nearest(stock_.lengths_mm, piece.bought_mm);
    const double trimmed = stock_.make == "corrugated_hose" ? 2 * stock_.cuff_trim_mm : sold;
    if (std::abs(sold - piece.bought_mm) > kSawCut_mm)
      add(fmt::format("{:g} mm of {} is not on sale", piece.bought_mm, stock_.id));
    else if (sold < total_mm() - kSame_mm || sold - trimmed > total_mm() + kSame_mm)
      add(fmt::format("{:g} mm of {} cannot be cut to {:.2f} mm", sold, stock_.id, total_mm()));
  }

  void check_elbows() {
    std::size_t elbows = 0, joiners = 0;
    double cut_mm = 0;
    for (const RecordedPiece& piece : line_.pieces) {
      if (piece.stock == "joiner") {
        ++joiners;
        continue;
      }
      if (piece.stock != stock_.id) add(fmt::format("a piece of {} in a line of {}", piece.stock, stock_.id));
      if (!(piece.cut_mm > 0)) add("a piece without length");
      cut_mm += piece.cut_mm;
      if (!piece.what.starts_with("elbow")) continue;
      if (elbows < bends_.list.size()) {
        const Bend& bend = bends_.list[elbows];
        const double sold = 2 * (stock_.leg_mm - bend.radius_mm * std::tan(bend.angle_rad / 2)) +
                            bend.radius_mm * bend.angle_rad;
        if (piece.cut_mm > sold + kSawCut_mm)
          add(fmt::format("elbow {} is cut to {:.1f} mm, sold it is {:.1f} mm long", elbows + 1, piece.cut_mm,
                          sold));
      }
      ++elbows;
    }
    if (elbows != bends_.list.size())
      add(fmt::format("the record names {} elbows for {} bends", elbows, bends_.list.size()));
    const double pieces_mm = cut_mm + kJoinerGap_mm * static_cast<double>(joiners);
    if (std::abs(pieces_mm - total_mm()) > kSawCut_mm * static_cast<double>(line_.pieces.size()))
      add(fmt::format("the pieces make {:.2f} mm, the line takes {:.2f} mm", pieces_mm, total_mm()));
  }

  void check_tube() {
    const double coupler = stock_.coupler_gap_mm + stock_.cuff_mm;
    if (line_.pieces.size() != 3) return add("a bent tube is a tube and two couplers");
    const double wanted[3] = {line_.engagement_from_mm + coupler, tube_.length_mm - 2 * stock_.coupler_gap_mm,
                              line_.engagement_to_mm + coupler};
    for (std::size_t i = 0; i < 3; ++i) {
      if (line_.pieces[i].stock != stock_.id)
        add(fmt::format("a piece of {} in a line of {}", line_.pieces[i].stock, stock_.id));
      if (std::abs(line_.pieces[i].cut_mm - wanted[i]) > kSawCut_mm)
        add(fmt::format("piece {} is cut to {:.2f} mm, the line takes {:.2f} mm", i + 1,
                        line_.pieces[i].cut_mm, wanted[i]));
    }
    if (tube_.length_mm < 2 * coupler - kSame_mm)
      add(fmt::format("the line is {:.1f} mm long, its couplers {:.1f} mm", tube_.length_mm, 2 * coupler));
  }

  const Tube& tube_;
  const RecordedLine& line_;
  const Stock& stock_;
  const Neck &from_, &to_;
  Bends bends_;
  std::vector<Fault> faults_;
};

void check_end(const Neck& neck, const V3& end_mm, const V3& outward, double engagement_mm, double bore_mm,
               std::vector<Fault>& faults) {
  const double off = (end_mm - neck.end_mm).norm();
  const double askew = between_rad(outward, neck.outward);
  if (!(off <= kOnNeck_mm))
    faults.push_back({fmt::format("the line ends {:.3f} mm off the neck {}", off, neck.name), end_mm});
  if (!(askew <= kOnNeck_rad))
    faults.push_back(
        {fmt::format("the line leaves the neck {} {:.3f} deg askew", neck.name, degrees(askew)), end_mm});
  const double least = std::min(least_engagement_mm(neck), neck.straight_mm);
  if (!(engagement_mm >= least - kSame_mm))
    faults.push_back({fmt::format("the hose is pushed {:.1f} mm over the neck {}, {:.1f} mm required",
                                  engagement_mm, neck.name, least),
                      end_mm});
  const double over = neck.outside_mm - bore_mm;
  if (over < -kLoose_mm - kSame_mm || over > kTightShare * bore_mm + kSame_mm)
    faults.push_back({fmt::format("a bore of {:g} mm does not go on the neck {} of {:g} mm", bore_mm,
                                  neck.name, neck.outside_mm),
                      end_mm});
}

}  // namespace

std::vector<Fault> end_faults(const Bay& bay, const Tube& tube) {
  std::vector<Fault> faults;
  const auto& curve = tube.recorded->curve;
  check_end(bay.necks[bay.lines[tube.line].from].neck, at(curve.front(), 0), direction(curve.front(), 0),
            tube.recorded->engagement_from_mm, tube.stock->bore_mm, faults);
  const double last = length_mm(curve.back());
  check_end(bay.necks[bay.lines[tube.line].to].neck, at(curve.back(), last), -direction(curve.back(), last),
            tube.recorded->engagement_to_mm, tube.stock->bore_mm, faults);
  return faults;
}

std::vector<Fault> stock_faults(const Bay& bay, const Tube& tube) {
  return StockCheck(bay, tube).faults();
}

}  // namespace hosefit::recheck
