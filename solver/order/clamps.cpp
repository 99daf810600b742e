// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/order/clamps.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace hosefit {
namespace {

constexpr double kLastOfClosing_mm = 2.0;
constexpr double kOverBead_mm = 3.0;

// SAE J1508 type F: size table of the 1997/2009 text, read in a second-hand public copy. From size 12 up the
// largest diameter is size/16 + 1/2 inch. Torque: two service documents of industrial engines that agree for
// 12 to 13.5 mm bands, without titles a reader could find.
constexpr ClampSize type_f(std::string_view code, double least_mm, double most_mm) {
  return {ClampKind::worm_drive, "SAE J1508 type F", code, least_mm, most_mm, 13.5, 4.5, 0.7, 3.0,
          Source::standard,      Source::handbook};
}
// DIN 3017-1 form A with 9 mm band: ranges and torque from memory.
constexpr ClampSize form_a(std::string_view code, double least_mm, double most_mm) {
  return {ClampKind::narrow_worm_drive,
          "DIN 3017-1 form A, 9 mm band",
          code,
          least_mm,
          most_mm,
          9.0,
          3.0,
          0,
          0,
          Source::from_memory,
          Source::from_memory};
}
// Lined, spring-loaded worm drive: ranges from memory; torque from one engine service document without a
// title.
constexpr ClampSize lined(std::string_view code, double least_mm, double most_mm, double torque_nm) {
  return {ClampKind::lined_spring,
          "SAE J1508, lined, spring-loaded worm drive",
          code,
          least_mm,
          most_mm,
          15.0,
          torque_nm,
          1.0,
          torque_nm,
          Source::from_memory,
          Source::handbook};
}

constexpr std::array kSizes{type_f("06", 11.2, 19.8),
                            type_f("08", 12.7, 23.1),
                            type_f("10", 14.2, 26.9),
                            type_f("12", 17.5, 31.7),
                            type_f("16", 20.6, 38.1),
                            type_f("20", 20.6, 44.4),
                            type_f("24", 26.9, 50.8),
                            type_f("28", 33.3, 57.1),
                            type_f("32", 39.6, 63.5),
                            type_f("36", 45.9, 69.8),
                            type_f("40", 52.3, 76.2),
                            type_f("44", 58.6, 82.5),
                            type_f("48", 65.0, 88.9),
                            form_a("8-12", 8, 12),
                            form_a("8-16", 8, 16),
                            form_a("10-16", 10, 16),
                            form_a("12-22", 12, 22),
                            form_a("16-27", 16, 27),
                            form_a("20-32", 20, 32),
                            form_a("25-40", 25, 40),
                            form_a("30-45", 30, 45),
                            form_a("32-50", 32, 50),
                            form_a("40-60", 40, 60),
                            lined("1.25-2.12 in", 32, 54, 7.4),
                            lined("1.75-2.62 in", 44, 67, 11),
                            lined("2.25-3.12 in", 57, 79, 11)};

bool of_kind(const ClampSize& size, bool lined_wanted) {
  return (size.kind == ClampKind::lined_spring) == lined_wanted;
}

}  // namespace

std::span<const ClampSize> clamp_sizes() {
  return kSizes;
}

std::string_view torque_source_words(const ClampSize& size) {
  switch (size.kind) {
    case ClampKind::worm_drive:
      return "engine service documents without a title a reader can find; others say 3 to 11 N.m, and SAE "
             "J1508 "
             "tests carbon steel screws at 5.65 N.m: the clamp maker's figure wins";
    case ClampKind::narrow_worm_drive:
      return "from memory: the clamp maker's figure wins";
    case ClampKind::lined_spring:
      return "one engine service document without a title a reader can find: the clamp maker's figure wins";
  }
  return "";
}

std::optional<Length> band_centre(Length engagement, Length band) {
  const double room_mm = engagement.mm() - kBeadZone_mm - band.mm();
  constexpr double kPreferredBehind_mm = 6.0;
  constexpr double kBeforeBeadZone_mm = 3.0;
  constexpr double kRounding_mm = 1e-9;
  if (room_mm < kLeastBehindBand_mm - kRounding_mm) return std::nullopt;
  const double behind_mm = std::max(
      {kLeastBehindBand_mm, room_mm / 2, std::min(kPreferredBehind_mm, room_mm - kBeforeBeadZone_mm)});
  return Length::mm(behind_mm + band.mm() / 2);
}

bool covers(const ClampSize& size, Length installed_outside) {
  const double d_mm = installed_outside.mm();
  return d_mm >= size.least_mm + kLastOfClosing_mm && size.most_mm >= d_mm + kOverBead_mm;
}

std::optional<ClampSize> clamp_for(const ClampNeed& need) {
  const ClampSize* best = nullptr;
  const auto off_middle = [&](const ClampSize& size) {
    return std::abs((size.least_mm + size.most_mm) / 2 - need.installed_outside.mm());
  };
  // The wide band of the inch sizes is the usual one; the narrow one only where the wide has no room.
  for (const ClampKind kind :
       {ClampKind::worm_drive, ClampKind::narrow_worm_drive, ClampKind::lined_spring}) {
    for (const ClampSize& size : kSizes) {
      if (size.kind != kind || !of_kind(size, need.lined) || !covers(size, need.installed_outside)) continue;
      if (!band_centre(need.engagement, Length::mm(size.band_mm))) continue;
      if (best == nullptr || off_middle(size) < off_middle(*best)) best = &size;
    }
    if (best != nullptr) return *best;
  }
  return std::nullopt;
}

}  // namespace hosefit
