// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <array>
#include <string_view>
#include <vector>

#include "solver/base/quantity.h"
#include "solver/model/body.h"

/// Colours of pictures, safe for colour-blind eyes. No meaning lies in a colour alone: every class has a word
/// and a pattern of rings too.
namespace hosefit {

/// sRGB, each 0 to 1.
struct Colour {
  double red = 0, green = 0, blue = 0;
  friend bool operator==(const Colour&, const Colour&) = default;
};
/// a where share = 0, b where share = 1.
Colour mixed(const Colour& a, const Colour& b, double share);

/// How much of the gap found is left over the gap required, at the tightest place of a line. Upper ends count
/// to the class above: 2.0 mm is two_to_five. `not_proved`: nothing may be said about the line.
enum class SpareClass { is_short, to_two, two_to_five, five_to_ten, over_ten, not_proved };
inline constexpr std::array kSpareClasses{SpareClass::is_short,    SpareClass::to_two,
                                          SpareClass::two_to_five, SpareClass::five_to_ten,
                                          SpareClass::over_ten,    SpareClass::not_proved};
/// Spare gap in mm; what is short by no more than rounding (1e-6 mm, as in the proof) is not short.
SpareClass spare_class(double spare_mm);
/// "0 to 2 mm" or "0 to 0.08 in", "short", "not proved".
std::string_view word(SpareClass spare, LengthUnit unit = LengthUnit::mm);

/// After Okabe and Ito, Color Universal Design (2008), as printed by Wong, Nature Methods 8 (2011) 441:
/// vermillion, orange, yellow, sky blue, blue; grey for what is not proved.
Colour colour_of(SpareClass spare);
/// The other colour of its rings or stripes.
Colour ring_colour_of(SpareClass spare);

/// One stretch of the pattern along a line, repeated from its start: lengths in mm, plain and ring in turn,
/// plain first. Empty: plain all along.
std::vector<double> ring_pattern_mm(SpareClass spare);

/// Quiet tones, so that lines stand out.
Colour colour_of(Hazard hazard);
inline constexpr Colour kPaper{0.976, 0.980, 0.984};
inline constexpr Colour kInk{0.10, 0.12, 0.15};

}  // namespace hosefit
