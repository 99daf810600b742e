// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <array>
#include <string_view>
#include <vector>

#include "solver/decide/decide.h"

namespace hosefit {

/// Classes of spare gap: what a place has beyond the gap required there. Each is a word as well as a colour.
enum class SpareClass { below_required, under_2, under_5, under_10, over_10, not_proved };
inline constexpr std::array kSpareClasses{SpareClass::below_required, SpareClass::under_2,
                                          SpareClass::under_5,        SpareClass::under_10,
                                          SpareClass::over_10,        SpareClass::not_proved};

/// For lines; never not_proved. A proof lets places between those it measured fall short by its tolerance of
/// 0.05 mm; so much counts as held here too.
SpareClass spare_class(double spare_mm);
/// In mm or inch: "2 to 5 mm spare".
std::string_view spare_words(SpareClass c, LengthUnit unit);

struct Colour {
  float r = 0, g = 0, b = 0;
  friend bool operator==(const Colour&, const Colour&) = default;
};
/// After the palette for all kinds of colour vision of Okabe and Ito (Color Universal Design, 2008).
Colour spare_colour(SpareClass c);

/// One place on a route's centreline with the spare gap there.
struct SpareStation {
  double s_mm = 0;
  double spare_mm = 0;
};

/// The spare gap along a route, from one end of its centreline to the other: stations at most 4 mm apart, and
/// at each gap the proof recorded. Measured with the proof's own distances against the obstacles it recorded
/// (all that come within 50 mm spare); infinite where none is near. Between stations it is lower by at most
/// half their distance. `at` counts routes and proofs of the result. Obstacles a neck grows out of need no
/// gap along the least lead, as in the proof.
std::vector<SpareStation> spare_along(const Prepared& prepared, const Bay& bay, const CandidateResult& result,
                                      std::size_t at);

}  // namespace hosefit
