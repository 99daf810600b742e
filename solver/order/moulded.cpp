// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/order/moulded.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace hosefit {

std::vector<SprungBend> sprung_bends(const MouldedShape& shape, const ShapeCut& cut,
                                     const BendTable& fitted) {
  std::vector<std::size_t> kept;  // whose middle lies between the cuts, in the order of the line
  double s_mm = 0;
  for (std::size_t i = 0; i < shape.radii.size(); ++i) {
    const double arc_mm = shape.radii[i].mm() * shape.angles[i].rad();
    const double middle_mm = s_mm + shape.straights[i].mm() + arc_mm / 2;
    if (middle_mm > cut.from_mm && middle_mm < cut.to_mm) kept.push_back(i);
    s_mm += shape.straights[i].mm() + arc_mm;
  }
  if (cut.reversed) std::reverse(kept.begin(), kept.end());
  if (kept.size() != fitted.rows.size()) return {};
  std::vector<SprungBend> out;
  for (std::size_t k = 0; k < kept.size(); ++k) {
    SprungBend sprung;
    sprung.bend = Angle::rad(fitted.rows[k].bend_rad) - shape.angles[kept[k]];
    if (k > 0)
      sprung.turn = Angle::rad(
          std::remainder(fitted.rows[k].rotate_rad - shape.turns[std::min(kept[k - 1], kept[k])].rad(),
                         2 * std::numbers::pi));
    out.push_back(sprung);
  }
  return out;
}

}  // namespace hosefit
