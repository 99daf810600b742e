// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <cmath>
#include <numbers>

#include "solver/recheck/line_checks.h"

namespace hosefit::recheck {
namespace {

constexpr double kSame_mm = 0.01;  // no mould and no saw is truer; ten times more shows in no gap
// A moulded bend gives so much, and its plane against that of the bend before (common practice, no source).
constexpr double kGives_deg = 5, kRounding_rad = 1e-6;

struct Elbow {
  double radius_mm = 0, angle_rad = 0;
  double straight_before_mm = 0;  // behind the cut or behind the bend before
  double plane_rad = 0;           // against that of the bend before; of the first 0
  V3 where_mm = V3::Zero();
};
struct Bent {
  std::vector<Elbow> elbows;
  double straight_behind_mm = 0;
};

// The line as it runs; every arc is a bend.
Bent along(const std::vector<CurvePiece>& curve) {
  Bent out;
  const ArcPiece* last = nullptr;
  for (const CurvePiece& piece : curve) {
    if (const auto* arc = std::get_if<ArcPiece>(&piece)) {
      Elbow elbow{(arc->start_mm - arc->centre_mm).norm(), arc->angle_rad, out.straight_behind_mm, 0,
                  arc->start_mm};
      if (last != nullptr) {
        // About the way the line goes there, the last axis turned by this lies on the next.
        const V3 way = arc->normal.cross(arc->start_mm - arc->centre_mm).normalized();
        const V3 square = way.cross(last->normal);
        elbow.plane_rad = std::atan2(arc->normal.dot(square), arc->normal.dot(last->normal));
      }
      out.elbows.push_back(elbow);
      out.straight_behind_mm = 0;
      last = arc;
    } else {
      out.straight_behind_mm += length_mm(piece);
    }
  }
  return out;
}

double whole_mm(const MouldedShape& shape) {
  double sum = 0;
  for (const double straight : shape.straights_mm) sum += straight;
  for (std::size_t i = 0; i < shape.radii_mm.size(); ++i)
    sum += shape.radii_mm[i] * radians(shape.angles_deg[i]);
  return sum;
}

// The same hose taken up at its other end: what was before a bend is behind it.
MouldedShape turned_round(const MouldedShape& shape) {
  MouldedShape out{shape.name, {}, {}, {}, {}};
  for (std::size_t i = shape.straights_mm.size(); i-- > 0;) out.straights_mm.push_back(shape.straights_mm[i]);
  for (std::size_t i = shape.radii_mm.size(); i-- > 0;) {
    out.radii_mm.push_back(shape.radii_mm[i]);
    out.angles_deg.push_back(shape.angles_deg[i]);
  }
  for (std::size_t i = shape.turns_deg.size(); i-- > 0;) out.turns_deg.push_back(shape.turns_deg[i]);
  return out;
}

class MouldedCheck {
 public:
  explicit MouldedCheck(const Tube& tube)
      : tube_(tube), line_(*tube.recorded), stock_(*tube.stock), runs_(along(tube.recorded->curve)) {}

  std::vector<Fault> faults() {
    check();
    return std::move(faults_);
  }

 private:
  void add(std::string text, const std::optional<V3>& where = std::nullopt) {
    faults_.push_back({std::move(text), where});
  }

  void check() {
    if (line_.pieces.size() != 1 || line_.pieces[0].stock != stock_.id)
      return add(fmt::format("the line is one piece of {}, the record names {} pieces", stock_.id,
                             line_.pieces.size()));
    const RecordedPiece& piece = line_.pieces[0];
    if (!piece.shape) return add("the record does not say which moulded shape the line is cut from");
    const MouldedShape* sold = nullptr;
    for (const MouldedShape& shape : stock_.shapes)
      if (shape.name == piece.shape->name) sold = &shape;
    if (sold == nullptr) return add(fmt::format("{} holds no shape {}", stock_.id, piece.shape->name));
    const double whole = whole_mm(*sold);
    const double wanted = tube_.length_mm + line_.engagement_from_mm + line_.engagement_to_mm;
    if (!(std::abs(piece.cut_mm - wanted) <= kSame_mm))
      add(fmt::format("the piece is cut to {:.2f} mm, the line takes {:.2f} mm", piece.cut_mm, wanted));
    if (!(std::abs(piece.bought_mm - whole) <= kSame_mm))
      add(fmt::format("the shape {} is {:.2f} mm long, the record says {:.2f} mm", sold->name, whole,
                      piece.bought_mm));
    RecordedShape cut = *piece.shape;
    if (!(cut.from_mm >= -kSame_mm && cut.to_mm <= whole + kSame_mm && cut.from_mm < cut.to_mm))
      return add(fmt::format("the cuts at {:.2f} and {:.2f} mm are not on the shape {} of {:.2f} mm",
                             cut.from_mm, cut.to_mm, sold->name, whole));
    if (!cut.reversed) return follow(*sold, cut);
    follow(turned_round(*sold), {cut.name, whole - cut.to_mm, whole - cut.from_mm, false});
  }

  // From the cut where the line starts to the one where it ends.
  void follow(const MouldedShape& shape, const RecordedShape& cut) {
    std::vector<std::size_t> kept;
    double begin = 0, last_end = cut.from_mm;
    for (std::size_t i = 0; i < shape.radii_mm.size(); ++i) {
      begin += shape.straights_mm[i];
      const double end = begin + shape.radii_mm[i] * radians(shape.angles_deg[i]);
      const bool gone = end <= cut.from_mm + kSame_mm || begin >= cut.to_mm - kSame_mm;
      const bool whole = begin >= cut.from_mm - kSame_mm && end <= cut.to_mm + kSame_mm;
      if (!gone && !whole)
        return add(fmt::format("a cut goes through the bend of {:g} deg, {:.2f} to {:.2f} mm along {}",
                               shape.angles_deg[i], begin, end, shape.name));
      if (whole) {
        hold(shape, i, kept.empty() ? begin - cut.from_mm : shape.straights_mm[i], kept.size());
        kept.push_back(i);
        last_end = end;
      }
      begin = end;
    }
    if (kept.empty() || kept.size() != runs_.elbows.size())
      return add(fmt::format("between its cuts the shape {} has {} bends, the line {}", shape.name,
                             kept.size(), runs_.elbows.size()));
    straight(cut.to_mm - last_end, runs_.straight_behind_mm + line_.engagement_to_mm,
             "from the last bend to its cut", std::nullopt);
  }

  // Bend i of the shape against bend k of the line.
  void hold(const MouldedShape& shape, std::size_t i, double straight_before_mm, std::size_t k) {
    if (k >= runs_.elbows.size()) return;
    const Elbow& bend = runs_.elbows[k];
    const std::string named = fmt::format("bend {}", k + 1);
    straight(straight_before_mm, bend.straight_before_mm + (k == 0 ? line_.engagement_from_mm : 0.0),
             k == 0 ? "from its cut to bend 1" : fmt::format("between bends {} and {}", k, k + 1),
             bend.where_mm);
    if (!(std::abs(bend.radius_mm - shape.radii_mm[i]) <= kSame_mm))
      add(fmt::format("{} has a radius of {:.3f} mm, that of the shape {} is {:g} mm", named, bend.radius_mm,
                      shape.name, shape.radii_mm[i]),
          bend.where_mm);
    gives(bend.angle_rad - radians(shape.angles_deg[i]), named, bend.where_mm);
    if (k > 0)
      gives(std::remainder(bend.plane_rad - radians(shape.turns_deg[i - 1]), 2 * std::numbers::pi),
            "the plane of " + named, bend.where_mm);
  }

  void straight(double shape_mm, double line_mm, const std::string& where,
                const std::optional<V3>& where_mm) {
    if (std::abs(shape_mm - line_mm) <= kSame_mm) return;
    add(fmt::format("{} the shape is straight for {:.3f} mm, the line for {:.3f} mm", where, shape_mm,
                    line_mm),
        where_mm);
  }

  void gives(double by_rad, const std::string& what, const V3& where_mm) {
    if (std::abs(by_rad) <= radians(kGives_deg) + kRounding_rad) return;
    add(fmt::format("{} is sprung by {:.3f} deg, a moulded shape gives {:g} deg", what, degrees(by_rad),
                    kGives_deg),
        where_mm);
  }

  const Tube& tube_;
  const RecordedLine& line_;
  const Stock& stock_;
  const Bent runs_;
  std::vector<Fault> faults_;
};

}  // namespace

std::vector<Fault> moulded_faults(const Tube& tube) {
  return MouldedCheck(tube).faults();
}

}  // namespace hosefit::recheck
