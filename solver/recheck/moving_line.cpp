// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/recheck/moving_line.h"

#include <algorithm>
#include <cmath>

namespace hosefit::recheck {
namespace {

constexpr double kWay = 8, kLeastOfWay = 1.0 / 64;  // steps to a place that one does not lead to
constexpr double kShortest_mm = 1e-6;
constexpr double kStiff = 1e4;             // metal against rubber
constexpr double kMostTurn_deg = 5;        // of a coupler (common practice, no source)
constexpr double kLeastLetGo = 1.0 / 512;  // share of the bends let go in one step

bool is_flexed(const Stock& stock) {
  return stock.make == "straight_hose" || stock.make == "corrugated_hose";
}

}  // namespace

Frame MovingLine::from_at(const EngineAt& at) const {
  return from_moves_ ? ways_.moved(at) * from_ : from_;
}
Frame MovingLine::to_at(const EngineAt& at) const {
  return to_moves_ ? ways_.moved(at) * to_ : to_;
}
double MovingLine::chord_mm(const EngineAt& at) const {
  return (to_at(at).at_mm - from_at(at).at_mm).norm();
}

std::vector<double> MovingLine::bent(const RodState& rod) const {
  std::vector<double> out;
  if (!bend || rod.ends.empty()) return out;
  if (bend->least_radius_mm > 0) {
    for (std::size_t k = 0; k < rod.ends.size(); ++k) out.push_back(rod.curvature(k) * bend->least_radius_mm);
    return out;
  }
  out.assign(2, 0.0);
  const auto& along = rod_.steps_mm();
  for (std::size_t k = 0; k + 1 < along.size(); ++k)
    if (in_coupler_[k] > 0)
      out[in_coupler_[k] - 1] +=
          (along[k + 1] - along[k]) * (rod.curvature(k) + rod.curvature(k + 1)) / 2 / bend->most_turn_rad;
  return out;
}

LineAt MovingLine::laid(const EngineAt& at, RodState rod) const {
  LineAt out;
  out.at = at;
  const Frame moved = ways_.moved(at), from = from_at(at);
  for (const Node& node : nodes_) {
    const bool goes = node.on == Node::On::from_end ? from_moves_ : to_moves_;
    out.nodes_mm.push_back(node.on == Node::On::rod ? (from * rod.ends[node.step]).point(node.own_mm)
                           : goes                   ? moved.point(node.own_mm)
                                                    : node.own_mm);
  }
  out.bent = bent(rod);
  out.rod = std::move(rod);
  return out;
}

std::optional<LineAt> MovingLine::step_to(const EngineAt& at, const LineAt& near) const {
  const Frame from = from_at(at), to = to_at(at);
  const Frame far{from.turn.transpose() * to.turn, from.back(to.at_mm)};
  auto rod = rod_.clamped(far, near.rod);
  if (!rod || !rod->minimum) return std::nullopt;
  return laid(at, *std::move(rod));
}

std::optional<LineAt> MovingLine::at(const EngineAt& at, const LineAt& near) const {
  if (near.at == at) return near;
  if (!between()) return laid(at, near.rod);
  if (auto there = step_to(at, near)) return there;
  LineAt here = near;
  double share = 0, by = 1.0 / kWay;
  while (share < 1) {
    const double next = std::min(1.0, share + by);
    if (auto there = step_to((1 - next) * near.at + next * at, here)) {
      here = *std::move(there);
      share = next;
    } else if ((by /= 2) < kLeastOfWay) {
      return std::nullopt;
    }
  }
  return here;
}

/// Makes the moving parts of one line.
class LineMaker {
 public:
  LineMaker(const Bay& bay, const Tube& tube, const EngineWays& ways)
      : bay_(bay), tube_(tube), ways_(ways), line_(bay.lines[tube.line]), clamps_(clamp_places(bay, tube)) {}

  std::vector<MovingLine> parts() const {
    std::vector<MovingLine> out;
    Hold before{0, bay_.necks[line_.from].on_engine, true};
    for (const RecordedClip& clip : tube_.recorded->clips) {
      const Hold hold{clip.at_mm, clip.carrier == "engine", false};
      out.push_back(part(before, hold));
      before = hold;
    }
    out.push_back(part(before, {tube_.length_mm, bay_.necks[line_.to].on_engine, true}));
    for (const ClampPlace& place : clamps_.list)
      if (place.neck) out.push_back(on_neck(place));
    return out;
  }

 private:
  struct Hold {
    double at_mm;
    bool on_engine, neck;
  };
  struct Planned {
    bool bends;
    RodState state;  // free of load, as recorded
  };

  static Carried carried(bool on_engine) { return on_engine ? Carried::engine : Carried::chassis; }
  MovingLine begun(bool from_moves, bool to_moves) const {
    MovingLine out;
    out.line = tube_.line;
    out.ways_ = ways_;
    out.from_moves_ = from_moves;
    out.to_moves_ = to_moves;
    return out;
  }
  std::optional<StraightPiece> housing(const ClampPlace& place) const {
    const RecordedClamp* told = recorded_for(bay_, *tube_.recorded, place);
    if (told == nullptr) return std::nullopt;  // told where clamps are measured at rest
    return housing_at(place, told->clock_rad);
  }

  MovingLine on_neck(const ClampPlace& place) const {
    const bool moves = bay_.necks[*place.neck].on_engine;
    MovingLine out = begun(moves, moves);
    out.what = "the clamp " + place.where;
    MovingLink link{0, 1, place.s_mm, place.s_mm, kHousingRadius_mm, true, carried(moves)};
    (*place.neck == line_.from ? link.own_from : link.own_to) = OwnPart::must_not_touch;
    if (const auto along = housing(place)) {
      out.links = {link};
      out.nodes_ = {{MovingLine::Node::On::from_end, 0, along->from_mm},
                    {MovingLine::Node::On::from_end, 0, along->to_mm}};
    }
    out.at_rest = out.laid(EngineAt::Zero(), {});
    return out;
  }

  MovingLine part(const Hold& from, const Hold& to) const {
    MovingLine out = begun(from.on_engine, to.on_engine);
    out.length_mm_ = to.at_mm - from.at_mm;
    const Carried by = out.between() ? Carried::both : carried(from.on_engine);
    const Planned planned = make_rod(out, from.at_mm, to.at_mm);
    settle(out, planned);
    add_over_neck(out, from.neck, true);
    add_links(out, from.at_mm, by);
    add_clamps(out, planned, from.at_mm, to.at_mm, by);
    add_over_neck(out, to.neck, false);
    if (out.at_rest) out.at_rest = out.laid(EngineAt::Zero(), out.at_rest->rod);
    return out;
  }

  // Where a step has to end besides the curve's own pieces.
  std::vector<double> marks(double from, double to) const {
    std::vector<double> out{from, to, tube_.stock->coupler_gap_mm,
                            tube_.length_mm - tube_.stock->coupler_gap_mm};
    for (const Stretch& stretch : tube_.stretches) out.insert(out.end(), {stretch.from_mm, stretch.to_mm});
    for (const ClampPlace& place : clamps_.list) out.push_back(place.s_mm);
    std::erase_if(out, [&](double s) { return !(s >= from && s <= to); });
    std::sort(out.begin(), out.end());
    return out;
  }
  std::size_t coupler(double s_mm) const {
    if (tube_.stock->make != "bent_tube") return 0;
    return s_mm < tube_.stock->coupler_gap_mm                     ? 1
           : s_mm > tube_.length_mm - tube_.stock->coupler_gap_mm ? 2
                                                                  : 0;
  }

  // Parts of the record's curve in the frame that goes along it without twist.
  Planned make_rod(MovingLine& out, double from, double to) const {
    const std::vector<double> cuts = marks(from, to);
    std::vector<RodPart> parts;
    const V3 start = direction(tube_.recorded->curve, from);
    out.from_ = axes(at(tube_.recorded->curve, from), start.unitOrthogonal(), start);
    M3 frame = out.from_.turn;
    double begin = 0;
    for (const CurvePiece& piece : tube_.recorded->curve) {
      const double end = begin + recheck::length_mm(piece);
      const auto* arc = std::get_if<ArcPiece>(&piece);
      for (std::size_t i = 0; i + 1 < cuts.size(); ++i) {
        const double a = std::max(begin, cuts[i]), b = std::min(end, cuts[i + 1]);
        if (!(b - a > kShortest_mm)) continue;
        const bool stiff = tube_.stock->make == "bent_tube" && coupler((a + b) / 2) == 0;
        RodPart part{b - a, stiff ? kStiff : 1.0, V3::Zero()};
        if (arc != nullptr) {
          const double radius = (arc->start_mm - arc->centre_mm).norm();
          part.rest_bend = frame.transpose() * arc->normal / radius;
          for (Eigen::Index k = 0; k < 3; ++k)
            frame.col(k) = turned(V3(frame.col(k)), arc->normal, (b - a) / radius);
        }
        parts.push_back(part);
      }
      begin = end;
    }
    out.rod_ = ElasticRod(parts);
    out.to_ = Frame{frame, at(tube_.recorded->curve, to)};
    const auto& along = out.rod_.steps_mm();
    for (std::size_t k = 0; k + 1 < along.size(); ++k)
      out.in_coupler_.push_back(coupler(from + (along[k] + along[k + 1]) / 2));
    return {
        std::any_of(parts.begin(), parts.end(), [](const RodPart& p) { return p.rest_bend.norm() > 1e-9; }),
        out.rod_.under(RodLoad::Zero())};
  }

  void settle(MovingLine& out, const Planned& planned) const {
    const bool flexed = is_flexed(*tube_.stock);
    if (flexed) out.bend = BendAllowed{tube_.stock->radii_mm.front(), 0};
    if (tube_.stock->make == "bent_tube" && out.between()) out.bend = BendAllowed{0, radians(kMostTurn_deg)};
    if (!planned.bends || !(flexed || out.between())) {
      out.at_rest = LineAt{};
      out.at_rest->rod = planned.state;
      if (flexed && !planned.bends) out.rod_ = out.rod_.straightened(0);
      return;
    }
    const Frame far{out.from_.turn.transpose() * out.to_.turn, out.from_.back(out.to_.at_mm)};
    std::optional<RodState> rod = flexed ? let_go(out.rod_, far) : out.rod_.clamped(far, planned.state);
    if (!rod || !rod->minimum) return;
    if (flexed) {
      out.rod_ = out.rod_.straightened(0);
      out.to_.turn = out.from_.turn * rod->ends.back().turn;
    }
    out.at_rest = LineAt{};
    out.at_rest->rod = *std::move(rod);
  }

  // From the record's curve on, its bends are let go little by little until it is straight when free.
  static std::optional<RodState> let_go(const ElasticRod& rod, const Frame& far) {
    RodState state = rod.under(RodLoad::Zero());
    double left = 1, by = 1.0 / 8;
    while (left > 0) {
      const double next = std::max(0.0, left - by);
      if (auto found = rod.straightened(next).turning_freely(far, state)) {
        state = *std::move(found);
        left = next;
        by = std::min(2 * by, 1.0 / 8);
      } else if ((by /= 2) < kLeastLetGo) {
        return std::nullopt;
      }
    }
    return state;
  }

  void add_over_neck(MovingLine& out, bool neck, bool first) const {
    if (!neck) return;
    for (const Stretch& stretch : tube_.stretches) {
      if (!(first ? stretch.over_from : stretch.over_to)) continue;
      const auto on = first ? MovingLine::Node::On::from_end : MovingLine::Node::On::to_end;
      const auto& along = std::get<StraightPiece>(stretch.piece);
      out.links.push_back({out.nodes_.size(), out.nodes_.size() + 1, stretch.from_mm, stretch.to_mm,
                           stretch.radius_mm, false, carried(first ? out.from_moves_ : out.to_moves_),
                           stretch.own_from, stretch.own_to, stretch.on_tee});
      out.nodes_.push_back({on, 0, along.from_mm});
      out.nodes_.push_back({on, 0, along.to_mm});
    }
  }

  void add_links(MovingLine& out, double from, Carried by) const {
    const auto& along = out.rod_.steps_mm();
    const std::size_t first = out.nodes_.size();
    for (std::size_t k = 0; k < along.size(); ++k)
      out.nodes_.push_back({MovingLine::Node::On::rod, k, V3::Zero()});
    for (std::size_t k = 0; k + 1 < along.size(); ++k) {
      const double middle = from + (along[k] + along[k + 1]) / 2;
      for (const Stretch& stretch : tube_.stretches)
        if (!stretch.over_from && !stretch.over_to && stretch.from_mm <= middle && middle <= stretch.to_mm) {
          out.links.push_back({first + k, first + k + 1, from + along[k], from + along[k + 1],
                               stretch.radius_mm, false, by, stretch.own_from, stretch.own_to, false,
                               stretch.beside_tee});
          break;
        }
    }
  }

  void add_clamps(MovingLine& out, const Planned& planned, double from, double to, Carried by) const {
    const double lead_from = least_lead_mm(*tube_.stock, bay_.necks[line_.from].neck),
                 lead_to = least_lead_mm(*tube_.stock, bay_.necks[line_.to].neck);
    for (const ClampPlace& place : clamps_.list) {
      if (place.neck || place.s_mm < from || place.s_mm >= to) continue;
      const auto straight = housing(place);
      if (!straight) continue;
      const auto& along = out.rod_.steps_mm();
      const auto step = static_cast<std::size_t>(std::min_element(along.begin(), along.end(),
                                                                  [&](double a, double b) {
                                                                    return std::abs(from + a - place.s_mm) <
                                                                           std::abs(from + b - place.s_mm);
                                                                  }) -
                                                 along.begin());
      const Frame there = out.from_ * planned.state.ends[step];
      MovingLink link{
          out.nodes_.size(), out.nodes_.size() + 1, place.s_mm, place.s_mm, kHousingRadius_mm, true, by};
      if (place.s_mm < lead_from) link.own_from = OwnPart::must_not_touch;
      if (place.s_mm > tube_.length_mm - lead_to) link.own_to = OwnPart::must_not_touch;
      out.links.push_back(link);
      for (const V3& end : {straight->from_mm, straight->to_mm})
        out.nodes_.push_back({MovingLine::Node::On::rod, step, there.back(end)});
    }
  }

  const Bay& bay_;
  const Tube& tube_;
  const EngineWays& ways_;
  const PlacedLine& line_;
  ClampPlaces clamps_;
};

std::vector<MovingLine> moving_parts(const Bay& bay, const Tube& tube, const EngineWays& ways) {
  return LineMaker(bay, tube, ways).parts();
}

}  // namespace hosefit::recheck
