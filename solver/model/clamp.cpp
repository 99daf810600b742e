// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/model/clamp.h"

#include <algorithm>

namespace hosefit {
namespace {

constexpr double kRounding_mm = 1e-9;

}  // namespace

std::string_view word(ClampKind kind) {
  switch (kind) {
    case ClampKind::worm_drive:
      return "worm_drive";
    case ClampKind::narrow_worm_drive:
      return "narrow_worm_drive";
    case ClampKind::lined_spring:
      return "lined_spring";
  }
  return "";
}

std::string_view word(ReducerKind kind) {
  switch (kind) {
    case ReducerKind::stepped_joiner:
      return "stepped_joiner";
    case ReducerKind::reducing_hose:
      return "reducing_hose";
  }
  return "";
}

std::optional<Length> band_centre(Length engagement, Length band) {
  const double room_mm = engagement.mm() - kBeadZone_mm - band.mm();
  constexpr double kPreferredBehind_mm = 6.0;
  constexpr double kBeforeBeadZone_mm = 3.0;
  if (room_mm < kLeastBehindBand_mm - kRounding_mm) return std::nullopt;
  const double behind_mm = std::max(
      {kLeastBehindBand_mm, room_mm / 2, std::min(kPreferredBehind_mm, room_mm - kBeforeBeadZone_mm)});
  return Length::mm(behind_mm + band.mm() / 2);
}

Length proved_band_centre(Length engagement) {
  for (const double band_mm : {13.5, 9.0})
    if (const auto centre = band_centre(engagement, Length::mm(band_mm))) return *centre;
  return engagement / 2;
}

bool band_has_room(Length engagement, Length band, Length centre) {
  return centre.mm() - band.mm() / 2 >= kLeastBehindBand_mm - kRounding_mm &&
         centre.mm() + band.mm() / 2 <= engagement.mm() - kBeadZone_mm + kRounding_mm;
}

}  // namespace hosefit
