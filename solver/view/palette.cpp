// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/view/palette.h"

namespace hosefit {
namespace {

constexpr double kRounding_mm = 1e-6;

constexpr Colour bytes(int red, int green, int blue) {
  return {red / 255.0, green / 255.0, blue / 255.0};
}

}  // namespace

Colour mixed(const Colour& a, const Colour& b, double share) {
  return {a.red + share * (b.red - a.red), a.green + share * (b.green - a.green),
          a.blue + share * (b.blue - a.blue)};
}

SpareClass spare_class(double spare_mm) {
  if (!(spare_mm >= -kRounding_mm)) return SpareClass::is_short;
  if (spare_mm < 2) return SpareClass::to_two;
  if (spare_mm < 5) return SpareClass::two_to_five;
  if (spare_mm < 10) return SpareClass::five_to_ten;
  return SpareClass::over_ten;
}

std::string_view word(SpareClass spare, LengthUnit unit) {
  const bool mm = unit == LengthUnit::mm;
  switch (spare) {
    case SpareClass::is_short:
      return "short";
    case SpareClass::to_two:
      return mm ? "0 to 2 mm" : "0 to 0.08 in";
    case SpareClass::two_to_five:
      return mm ? "2 to 5 mm" : "0.08 to 0.20 in";
    case SpareClass::five_to_ten:
      return mm ? "5 to 10 mm" : "0.20 to 0.39 in";
    case SpareClass::over_ten:
      return mm ? "10 mm or more" : "0.39 in or more";
    case SpareClass::not_proved:
      return "not proved";
  }
  return "";
}

Colour colour_of(SpareClass spare) {
  switch (spare) {
    case SpareClass::is_short:
      return bytes(213, 94, 0);
    case SpareClass::to_two:
      return bytes(230, 159, 0);
    case SpareClass::two_to_five:
      return bytes(240, 228, 66);
    case SpareClass::five_to_ten:
      return bytes(86, 180, 233);
    case SpareClass::over_ten:
      return bytes(0, 114, 178);
    case SpareClass::not_proved:
      return bytes(120, 120, 120);
  }
  return kInk;
}

Colour ring_colour_of(SpareClass spare) {
  return spare == SpareClass::not_proved || spare == SpareClass::is_short
             ? Colour{1, 1, 1}
             : mixed(colour_of(spare), kInk, 0.75);
}

std::vector<double> ring_pattern_mm(SpareClass spare) {
  switch (spare) {
    case SpareClass::is_short:
      return {7, 7};
    case SpareClass::to_two:
      return {34, 3, 5, 3, 5, 3};
    case SpareClass::two_to_five:
      return {42, 3, 5, 3};
    case SpareClass::five_to_ten:
      return {50, 3};
    case SpareClass::over_ten:
      return {};
    case SpareClass::not_proved:
      return {20, 13};
  }
  return {};
}

Colour colour_of(Hazard hazard) {
  switch (hazard) {
    case Hazard::smooth_metal:
      return bytes(198, 206, 214);
    case Hazard::sharp_edge:
      return bytes(184, 192, 204);
    case Hazard::belt_or_pulley:
      return bytes(150, 150, 156);
    case Hazard::fan:
      return bytes(168, 190, 184);
    case Hazard::bare_exhaust:
      return bytes(176, 132, 116);
    case Hazard::shielded_exhaust:
      return bytes(200, 172, 158);
    case Hazard::steering:
      return bytes(168, 148, 196);
    case Hazard::throttle_linkage:
      return bytes(196, 172, 204);
    case Hazard::hood:
      return bytes(150, 170, 196);
    case Hazard::fuel:
      return bytes(190, 160, 172);
    case Hazard::electrics:
      return bytes(158, 182, 156);
    case Hazard::air_duct:
      return bytes(216, 210, 196);
    case Hazard::radiator_core:
      return bytes(176, 186, 190);
    case Hazard::another_hose:
      return bytes(140, 140, 146);
  }
  return bytes(198, 206, 214);
}

}  // namespace hosefit
