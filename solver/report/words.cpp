// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/report/words.h"

#include <fmt/format.h>

#include <cmath>
#include <cstdint>

namespace hosefit {
namespace {

// A fraction is read off a rule's sixteenths; further off than this it would name another length.
constexpr Length kFractionWithin = Length::mm(0.1);
// Further than this from everything, a name helps nobody to find the place.
constexpr double kNear_mm = 150.0;

struct CodePoint {
  char32_t value = 0;
  std::size_t bytes = 0;  // 0: not valid UTF-8
};

CodePoint first_code_point(std::string_view text) {
  const auto byte = [&](std::size_t i) { return static_cast<std::uint8_t>(text[i]); };
  const std::uint8_t lead = byte(0);
  if (lead < 0x80) return {lead, 1};
  const std::size_t n = lead >= 0xc2 && lead < 0xe0   ? 2
                        : lead >= 0xe0 && lead < 0xf0 ? 3
                        : lead >= 0xf0 && lead < 0xf5 ? 4
                                                      : 0;
  if (n == 0 || text.size() < n) return {};
  char32_t value = lead & (0xffU >> (n + 1));
  for (std::size_t i = 1; i < n; ++i) {
    if ((byte(i) & 0xc0U) != 0x80U) return {};
    value = (value << 6U) | (byte(i) & 0x3fU);
  }
  const bool overlong = (n == 3 && value < 0x800) || (n == 4 && value < 0x10000);
  const bool surrogate = value >= 0xd800 && value <= 0xdfff;
  return overlong || surrogate || value > 0x10ffff ? CodePoint{} : CodePoint{value, n};
}

// Control characters, and marks that change the direction of the text around them.
bool harmful(char32_t c) {
  return c < 0x20 || (c >= 0x7f && c < 0xa0) || c == 0x200e || c == 0x200f || (c >= 0x2028 && c <= 0x202e) ||
         (c >= 0x2066 && c <= 0x2069) || c == 0xfeff;
}

std::string trimmed_zero(double value, int decimals) {
  if (std::abs(value) < 0.5 * std::pow(10.0, -decimals)) value = 0.0;
  return fmt::format("{:.{}f}", value, decimals);
}

}  // namespace

std::string safe_text(std::string_view text) {
  std::string out;
  out.reserve(text.size());
  while (!text.empty()) {
    const CodePoint c = first_code_point(text);
    if (c.bytes == 0 || harmful(c.value)) {
      out += '?';
      text.remove_prefix(c.bytes == 0 ? 1 : c.bytes);
    } else {
      out += text.substr(0, c.bytes);
      text.remove_prefix(c.bytes);
    }
  }
  return out;
}

std::string length_words(Length value, LengthUnit unit) {
  if (unit == LengthUnit::mm) return format_length(value, unit, 1);
  const std::string fraction = inch_fraction(value, kFractionWithin);
  const std::string decimal = format_length(value, unit, 2);
  return fraction.find('/') == std::string::npos ? decimal : fmt::format("{} ({})", decimal, fraction);
}

std::string both_units(Length value) {
  const std::string fraction = inch_fraction(value, Length::mm(0.8));
  const std::string inches = format_length(value, LengthUnit::inch, 2);
  const std::string mm = format_length(value, LengthUnit::mm, 1);
  return fraction.find('/') == std::string::npos ? fmt::format("{} ({})", mm, inches)
                                                 : fmt::format("{} ({}, near {})", mm, inches, fraction);
}

std::string both_short(Length value) {
  const std::string fraction = inch_fraction(value, Length::mm(0.1));
  const std::string inches =
      fraction.find('/') == std::string::npos ? format_length(value, LengthUnit::inch, 2) : fraction + " in";
  return fmt::format("{} ({})", format_length(value, LengthUnit::mm, 1), inches);
}

std::string figure_words(double value, FindingUnit figure, LengthUnit unit) {
  switch (figure) {
    case FindingUnit::mm:
      return length_words(Length::mm(value), unit);
    case FindingUnit::deg:
      return trimmed_zero(value, 2) + " deg";
    case FindingUnit::kpa:
      return fmt::format("{} kPa ({} psi)", trimmed_zero(value, 1),
                         trimmed_zero(Pressure::kpa(value).psi(), 1));
    case FindingUnit::m_s:
      return trimmed_zero(value, 2) + " m/s";
    case FindingUnit::count:
      return trimmed_zero(value, 0);
    case FindingUnit::none:
      return trimmed_zero(value, 2);
  }
  return {};
}

std::string place_words(const Vec3& p_mm, LengthUnit unit) {
  const double scale = unit == LengthUnit::mm ? 1.0 : 1.0 / 25.4;
  const int decimals = unit == LengthUnit::mm ? 0 : 1;
  const std::string across = trimmed_zero(std::abs(p_mm.y()) * scale, decimals);
  const bool centred = across == trimmed_zero(0.0, decimals);
  const std::string side =
      centred ? std::string("on the centre plane") : across + (p_mm.y() > 0 ? " right" : " left");
  return fmt::format("x {}, {}, z {} {}", trimmed_zero(p_mm.x() * scale, decimals), side,
                     trimmed_zero(p_mm.z() * scale, decimals), unit == LengthUnit::mm ? "mm" : "in");
}

std::string provenance_words(const Provenance& p) {
  if (p.source == Source::shop) {
    const std::string who = p.signer.empty() ? std::string("the shop, unsigned") : safe_text(p.signer);
    return p.reason.empty() ? fmt::format("limit set by {}", who)
                            : fmt::format("limit set by {} ({})", who, safe_text(p.reason));
  }
  if (!p.title.empty()) return fmt::format("limit: {}, {}", word(p.source), safe_text(p.title));
  const bool untitled_book = p.source == Source::standard || p.source == Source::handbook;
  return fmt::format("limit: {}{}", word(p.source),
                     untitled_book ? ", no title given, so it counts as unsourced" : "");
}

std::string limits_words(const LimitsAnswer& limits) {
  return fmt::format("{}: {} sourced, {} unsourced, {} signed by the shop",
                     counted(limits.sourced + limits.unsourced + limits.signed_by_shop, "limit"),
                     limits.sourced, limits.unsourced, limits.signed_by_shop);
}

std::string counted(long n, std::string_view thing) {
  return fmt::format("{} {}{}", n, thing, n == 1 ? "" : "s");
}

std::string near_words(const Bay& bay, const Vec3& p_mm) {
  const Obstacle* nearest = nullptr;
  double least_mm = kNear_mm;
  for (const PlacedBody& placed : bay.bodies) {
    const Vec3 p_body_mm = placed.pose.point_inverse(p_mm);
    for (const Obstacle& obstacle : placed.body->obstacles) {
      if (!has_closed_form(obstacle.shape)) continue;
      const double distance_mm = signed_distance_mm(obstacle.shape, p_body_mm);
      if (distance_mm < least_mm) {
        least_mm = distance_mm;
        nearest = &obstacle;
      }
    }
  }
  return nearest == nullptr ? std::string{} : fmt::format("near {}", safe_text(nearest->name));
}

std::string glycol_caution(CoolantFluid fluid) {
  switch (fluid) {
    case CoolantFluid::water:
      return {};
    case CoolantFluid::ethylene_glycol:
      return "CAUTION: this coolant is poisonous and tastes sweet. Keep it from children and animals, wipe "
             "up "
             "spills, never pour it away; after swallowing call a doctor at once.";
    case CoolantFluid::propylene_glycol:
      return "CAUTION: this glycol is less poisonous than others, its additives and what it picks up in the "
             "engine are not harmless. Keep it from children and animals, wipe up spills, never pour it "
             "away.";
  }
  return {};
}

}  // namespace hosefit
