// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <array>
#include <string>
#include <string_view>
#include <vector>

#include "solver/base/quantity.h"
#include "solver/base/result.h"
#include "solver/model/moulded_shape.h"
#include "solver/model/provenance.h"

namespace hosefit {

/// A way to make a line.
enum class Make { straight_hose, elbows_and_straights, corrugated_hose, bent_tube, moulded_shape };
inline constexpr std::array kMakes{Make::straight_hose, Make::elbows_and_straights, Make::corrugated_hose,
                                   Make::bent_tube, Make::moulded_shape};
std::string_view word(Make make);   ///< as in files: "bent_tube"
std::string_view title(Make make);  ///< as shown: "bent metal tube with couplers"

/// What can be bought of a make at one bore. All radii are of the centreline.
struct Stock {
  std::string id;  ///< unique name in the stock file
  Make make = Make::straight_hose;
  std::string description;  ///< hose type and class in the words of an open standard; no claim of conformity
  Length bore;  ///< nominal inside diameter; for tube the inside of the coupler, which is the neck's OD
  Length outside_diameter;  ///< of the hose; for bent tube of the bare tube
  Length wall;
  /// Bent tube: the bender's dies, ascending. Moulded: none, see `shapes`. Others: one entry, the least
  /// radius allowed.
  std::vector<Length> radii;
  std::vector<Angle> angles;  ///< elbows: the angles on sale, ascending. Others: empty = any
  Angle most_bend;            ///< largest bend angle of one bend; moulded: 0, see `shapes`
  Length straight_between;    ///< least straight between two bends; moulded: 0, see `shapes`
  Length leg;                 ///< elbows: length of a leg as sold, intersection point to end; trimmed to fit
  Length cuff;  ///< corrugated: plain end that must stay straight. Bent tube: tube inside a coupler
  Length coupler_outside;  ///< bent tube: outside diameter of the coupler hose; else 0
  Length coupler_gap;      ///< bent tube: free hose between neck end and tube end; else 0
  std::vector<Length>
      lengths;       ///< corrugated: lengths on sale; straight: stick lengths; ascending. Others: empty
  Length cuff_trim;  ///< corrugated: how much may be cut off each cuff
  double bore_roughness_mm = 0.01;
  Length corrugation_pitch;          ///< 0 when smooth
  double price = 0;                  ///< per piece or per metre, in the shop's money; 0 = unknown
  std::vector<MouldedShape> shapes;  ///< moulded: the shapes on sale, names unique. Others: empty
  Provenance provenance;             ///< of the bend data
  Place place;
};

/// The tightest radius that a bend of this stock may have; 0 when the stock states none.
Length least_radius(const Stock& stock);
/// The shape of that name; null when the stock has none.
const MouldedShape* shape_named(const Stock& stock, std::string_view name);
/// What one piece costs, its own price before the stock's; 0 = unknown.
double price_of(const Stock& stock, const MouldedShape& shape);

}  // namespace hosefit
