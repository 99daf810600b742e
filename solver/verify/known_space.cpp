// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <optional>

#include "solver/verify/piece_measure.h"
#include "solver/verify/place_rules.h"
#include "solver/verify/refusal.h"

namespace hosefit {
namespace {

constexpr double kResolution_mm = 1.0;  // shortest stretch told as unknown; less says nothing more to a shop

// The known boxes: those square to the vehicle, exact, and the turned ones.
struct KnownBoxes {
  std::vector<AxisBox> square;
  std::vector<BoxShape> turned;

  explicit KnownBoxes(const std::vector<BoxShape>& boxes) {
    for (const BoxShape& box : boxes) {
      if (box.frame.rotation.isApprox(Mat3::Identity(), 0.0))
        square.emplace_back(box.frame.origin_mm - box.half_size_mm, box.frame.origin_mm + box.half_size_mm);
      else
        turned.push_back(box);
    }
  }
};

bool holds(const BoxShape& box, const AxisBox& cell) {
  for (int corner = 0; corner < 8; ++corner) {
    const Vec3 p = box.frame.point_inverse(cell.corner(static_cast<AxisBox::CornerType>(corner))).cwiseAbs();
    if (!(p.array() <= box.half_size_mm.array()).all()) return false;
  }
  return true;
}

bool covered(const KnownBoxes& known, const AxisBox& cell, std::size_t next_square) {
  for (const BoxShape& box : known.turned)
    if (holds(box, cell)) return true;
  for (std::size_t i = next_square; i < known.square.size(); ++i) {
    const AxisBox& box = known.square[i];
    const AxisBox common = box.intersection(cell);
    if (common.isEmpty() || (common.sizes().array() <= 0).any()) continue;
    // What the box leaves of the cell, slab by slab, must be covered by the boxes after it.
    AxisBox rest = cell;
    for (int k = 0; k < 3; ++k) {
      if (rest.min()[k] < common.min()[k]) {
        AxisBox slab = rest;
        slab.max()[k] = common.min()[k];
        if (!covered(known, slab, i + 1)) return false;
        rest.min()[k] = common.min()[k];
      }
      if (rest.max()[k] > common.max()[k]) {
        AxisBox slab = rest;
        slab.min()[k] = common.max()[k];
        if (!covered(known, slab, i + 1)) return false;
        rest.max()[k] = common.max()[k];
      }
    }
    return true;
  }
  return false;
}

// Around the tube: a straight one ends flat, an arc counts as balls along its centreline.
AxisBox tube_box(const Piece& piece, double radius_mm) {
  Vec3 out = Vec3::Constant(radius_mm);
  if (std::holds_alternative<Straight>(piece))
    out = radius_mm * (Vec3::Ones() - direction_at(piece, 0).cwiseAbs2()).cwiseMax(0.0).cwiseSqrt();
  const AxisBox box = bounds(piece);
  return {box.min() - out, box.max() + out};
}

struct Unknown {
  double from_s_mm, to_s_mm;
  Vec3 where_mm;
};

void find_unknown(const KnownBoxes& known, const TubeStretch& stretch, double from, double to,
                  std::vector<Unknown>& out) {
  const AxisBox cell = tube_box(cut(stretch.piece, from, to), stretch.radius_mm);
  if (covered(known, cell, 0)) return;
  if (to - from > kResolution_mm) {
    const double middle = 0.5 * (from + to);
    find_unknown(known, stretch, from, middle, out);
    find_unknown(known, stretch, middle, to, out);
    return;
  }
  const Unknown piece{stretch.from_s_mm + from, stretch.from_s_mm + to,
                      point_at(stretch.piece, 0.5 * (from + to))};
  if (!out.empty() && piece.from_s_mm - out.back().to_s_mm < 1e-9)
    out.back().to_s_mm = piece.to_s_mm;
  else
    out.push_back(piece);
}

}  // namespace

std::vector<Finding> check_known_space(const Bay& bay, const Tube& tube) {
  const KnownBoxes known(bay.known_space);
  std::vector<Unknown> unknown;
  for (const TubeStretch& stretch : tube.stretches)
    find_unknown(known, stretch, 0, stretch.to_s_mm - stretch.from_s_mm, unknown);
  std::vector<Finding> findings;
  for (const Unknown& stretch : unknown) {
    Finding finding = refused(RuleId::known_space, bay.lines[tube.line].line.name,
                              bay.known_space.empty() ? "no_known_space_stated" : "leaves_known_space");
    finding.undecided = true;
    finding.where_mm = stretch.where_mm;
    finding.measured = stretch.to_s_mm - stretch.from_s_mm;
    finding.unit = FindingUnit::mm;
    finding.parameters["from_s_mm"] = told(stretch.from_s_mm);
    finding.parameters["to_s_mm"] = told(stretch.to_s_mm);
    findings.push_back(std::move(finding));
  }
  return findings;
}

}  // namespace hosefit
