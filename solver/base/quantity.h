// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <compare>
#include <numbers>
#include <optional>
#include <string>
#include <string_view>

/// Physical quantities as types. They stand in public signatures; the mathematics inside works on plain
/// numbers whose names carry the unit (`_mm`, `_rad`, `_pa`, `_m3s`). This header and its .cpp hold the only
/// unit conversions of the project. Factors are exact by definition (inch 25.4 mm; psi from 0.45359237 kg,
/// 9.80665 m/s2; US gallon 231 cubic inches).
namespace hosefit {

template <class Tag>
class Quantity {
 public:
  constexpr Quantity() = default;
  friend constexpr auto operator<=>(const Quantity&, const Quantity&) = default;
  friend constexpr Tag operator+(Tag a, Tag b) { return of(a.value_ + b.value_); }
  friend constexpr Tag operator-(Tag a, Tag b) { return of(a.value_ - b.value_); }
  friend constexpr Tag operator-(Tag a) { return of(-a.value_); }
  friend constexpr Tag operator*(double k, Tag a) { return of(k * a.value_); }
  friend constexpr Tag operator*(Tag a, double k) { return of(k * a.value_); }
  friend constexpr Tag operator/(Tag a, double k) { return of(a.value_ / k); }
  friend constexpr double operator/(Tag a, Tag b) { return a.value_ / b.value_; }

 protected:
  constexpr explicit Quantity(double value) : value_(value) {}
  double value_ = 0.0;

 private:
  static constexpr Tag of(double value) { return Tag(value); }
};

/// A length; stored in millimetres.
class Length : public Quantity<Length> {
 public:
  constexpr Length() = default;
  static constexpr Length mm(double v) { return Length(v); }
  static constexpr Length inch(double v) { return Length(v * 25.4); }
  static constexpr Length metre(double v) { return Length(v * 1000.0); }
  constexpr double mm() const { return value_; }
  constexpr double inch() const { return value_ / 25.4; }
  constexpr double metre() const { return value_ / 1000.0; }

 private:
  friend class Quantity<Length>;
  constexpr explicit Length(double mm) : Quantity(mm) {}
};

/// An angle; stored in radians.
class Angle : public Quantity<Angle> {
 public:
  constexpr Angle() = default;
  static constexpr Angle rad(double v) { return Angle(v); }
  static constexpr Angle deg(double v) { return Angle(v * std::numbers::pi / 180.0); }
  constexpr double rad() const { return value_; }
  constexpr double deg() const { return value_ * 180.0 / std::numbers::pi; }

 private:
  friend class Quantity<Angle>;
  constexpr explicit Angle(double rad) : Quantity(rad) {}
};

/// A volume flow; stored in cubic metres per second.
class Flow : public Quantity<Flow> {
 public:
  constexpr Flow() = default;
  static constexpr Flow m3s(double v) { return Flow(v); }
  static constexpr Flow l_min(double v) { return Flow(v / 60000.0); }
  constexpr double m3s() const { return value_; }
  constexpr double l_min() const { return value_ * 60000.0; }
  constexpr double us_gpm() const { return value_ * 60.0 / (231.0 * 0.0254 * 0.0254 * 0.0254); }

 private:
  friend class Quantity<Flow>;
  constexpr explicit Flow(double v) : Quantity(v) {}
};

/// A pressure or pressure difference; stored in pascal.
class Pressure : public Quantity<Pressure> {
 public:
  constexpr Pressure() = default;
  static constexpr Pressure pa(double v) { return Pressure(v); }
  static constexpr Pressure kpa(double v) { return Pressure(v * 1000.0); }
  constexpr double pa() const { return value_; }
  constexpr double kpa() const { return value_ / 1000.0; }
  constexpr double psi() const { return value_ * 0.0254 * 0.0254 / (0.45359237 * 9.80665); }

 private:
  friend class Quantity<Pressure>;
  constexpr explicit Pressure(double v) : Quantity(v) {}
};

/// A temperature on the Celsius scale.
class Temperature : public Quantity<Temperature> {
 public:
  constexpr Temperature() = default;
  static constexpr Temperature celsius(double v) { return Temperature(v); }
  constexpr double celsius() const { return value_; }
  constexpr double kelvin() const { return value_ + 273.15; }
  constexpr double fahrenheit() const { return value_ * 1.8 + 32.0; }

 private:
  friend class Quantity<Temperature>;
  constexpr explicit Temperature(double v) : Quantity(v) {}
};

enum class LengthUnit { mm, inch };

/// Reads "38.1", "38.1 mm", "1.5 in", "1-1/2 in", "1 1/2 in", "3/4 in" (also with a sign in front). A number
/// without a unit is in `unit_if_bare`. Whole text must match; empty when it does not, or is not finite.
std::optional<Length> parse_length(std::string_view text, LengthUnit unit_if_bare);

/// Fixed decimals, never in another locale, never "-0.0". `format_length(Length::mm(38.1), LengthUnit::inch,
/// 2)` gives "1.50 in".
std::string format_length(Length value, LengthUnit unit, int decimals);

/// The nearest fraction with a denominator of at most 16 when it is within `tolerance`, as "1-1/2"; else
/// empty.
std::string inch_fraction(Length value, Length tolerance);

}  // namespace hosefit
