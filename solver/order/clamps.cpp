// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/order/clamps.h"

#include <algorithm>
#include <cmath>

namespace hosefit {
namespace {

constexpr double kLastOfClosing_mm = 2.0;
constexpr double kOverBead_mm = 3.0;

bool of_kind(const ClampSize& size, bool lined_wanted) {
  return (size.kind == ClampKind::lined_spring) == lined_wanted;
}

}  // namespace

std::string torque_source_words(const ClampSize& size) {
  if (!size.torque_note.empty()) return size.torque_note;
  const Provenance& p = size.torque_provenance;
  const std::string what(p.title.empty() ? word(p.source) : std::string_view(p.title));
  return what + ": the clamp maker's figure wins";
}

bool covers(const ClampSize& size, Length installed_outside) {
  const double d_mm = installed_outside.mm();
  return d_mm >= size.least.mm() + kLastOfClosing_mm && size.most.mm() >= d_mm + kOverBead_mm;
}

std::optional<ClampSize> clamp_for(std::span<const ClampSize> sizes, const ClampNeed& need) {
  const ClampSize* best = nullptr;
  const auto off_middle = [&](const ClampSize& size) {
    return std::abs(((size.least + size.most) / 2 - need.installed_outside).mm());
  };
  // The wide band of the inch sizes is the usual one; the narrow one only where the wide has no room.
  for (const ClampKind kind : kClampKinds) {
    for (const ClampSize& size : sizes) {
      if (size.kind != kind || !of_kind(size, need.lined) || !covers(size, need.installed_outside)) continue;
      if (!band_centre(need.engagement, size.band)) continue;
      if (best == nullptr || off_middle(size) < off_middle(*best)) best = &size;
    }
    if (best != nullptr) return *best;
  }
  return std::nullopt;
}

}  // namespace hosefit
