// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/base/quantity.h"

#include <fmt/format.h>

#include <charconv>
#include <cmath>
#include <numeric>

namespace hosefit {
namespace {

std::string_view trimmed(std::string_view text) {
  while (!text.empty() && text.front() == ' ') text.remove_prefix(1);
  while (!text.empty() && text.back() == ' ') text.remove_suffix(1);
  return text;
}

std::optional<double> number(std::string_view text) {
  if (text.empty() || text.front() == '+') return std::nullopt;
  double value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc{} || end != text.data() + text.size() || !std::isfinite(value)) return std::nullopt;
  return value;
}

std::optional<double> digits(std::string_view text) {
  if (text.empty() || text.find_first_not_of("0123456789") != std::string_view::npos) return std::nullopt;
  return number(text);
}

// "3/4", "1-1/2" or "1 1/2", without a sign.
std::optional<double> fraction(std::string_view text) {
  const auto slash = text.find('/');
  if (slash == std::string_view::npos) return std::nullopt;
  double whole = 0;
  std::string_view top = text.substr(0, slash);
  if (const auto gap = top.find_first_of("- "); gap != std::string_view::npos) {
    const auto w = digits(top.substr(0, gap));
    if (!w) return std::nullopt;
    whole = *w;
    top = top.substr(gap + 1);
  }
  const auto n = digits(top);
  const auto d = digits(text.substr(slash + 1));
  if (!n || !d || *d == 0) return std::nullopt;
  return whole + *n / *d;
}

}  // namespace

std::optional<Length> parse_length(std::string_view text, LengthUnit unit_if_bare) {
  text = trimmed(text);
  LengthUnit unit = unit_if_bare;
  if (text.ends_with("mm")) {
    unit = LengthUnit::mm;
    text = trimmed(text.substr(0, text.size() - 2));
  } else if (text.ends_with("in")) {
    unit = LengthUnit::inch;
    text = trimmed(text.substr(0, text.size() - 2));
  }
  std::optional<double> value = number(text);
  if (!value) {
    const bool negative = text.starts_with('-');
    value = fraction(negative ? text.substr(1) : text);
    if (value && negative) *value = -*value;
  }
  if (!value) return std::nullopt;
  return unit == LengthUnit::mm ? Length::mm(*value) : Length::inch(*value);
}

std::string format_length(Length value, LengthUnit unit, int decimals) {
  double number = unit == LengthUnit::mm ? value.mm() : value.inch();
  const double step = std::pow(10.0, -decimals);
  if (std::abs(number) < 0.5 * step) number = 0.0;
  return fmt::format("{:.{}f} {}", number, decimals, unit == LengthUnit::mm ? "mm" : "in");
}

std::string inch_fraction(Length value, Length tolerance) {
  const double inches = value.inch();
  if (inches <= 0) return {};
  const long sixteenths = std::lround(inches * 16);
  if (sixteenths == 0 || std::abs(inches - static_cast<double>(sixteenths) / 16.0) * 25.4 > tolerance.mm())
    return {};
  const long whole = sixteenths / 16;
  const long rest = sixteenths % 16;
  if (rest == 0) return fmt::format("{}", whole);
  const long g = std::gcd(rest, 16L);
  return whole == 0 ? fmt::format("{}/{}", rest / g, 16 / g)
                    : fmt::format("{}-{}/{}", whole, rest / g, 16 / g);
}

}  // namespace hosefit
