// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "solver/base/measured.h"
#include "solver/geometry/pose.h"
#include "solver/model/body.h"

namespace hosefit {

/// Places along a line: every whole multiple of `step` from `from` to `to`, 0 among them.
struct NeckSlide {
  Vec3 along;             ///< unit
  Length from, to, step;  ///< from <= 0 <= to, step > 0
};
/// Right-handed turns about an axis; not to turn is allowed besides.
struct NeckTurn {
  Vec3 about_mm, axis;  ///< axis: unit
  std::vector<Angle> by;
};

/// Where else a neck may be ordered: a radiator built with its necks moved, an outlet turned. A finite set:
/// first turned, then slid along each of `slides`. Frame: of the part that carries the neck.
struct NeckChoice {
  std::vector<std::string> with;  ///< obstacles of the same part that go along
  std::vector<NeckSlide> slides;  ///< two at most
  std::optional<NeckTurn> turn;
};

/// One of the places of a neck with a choice.
struct NeckPlace {
  std::vector<Length> slid;  ///< beside NeckChoice::slides
  Angle turned;
  Pose moved;       ///< from as written to here; exactly the identity as written
  Length distance;  ///< of the neck's end from where it is written
};

/// An open tube end that takes a hose. The spigot behind `end` is not an obstacle of its own: the hose on it
/// is.
struct Neck {
  std::string name;       ///< full name as lines use it: "radiator.top", "pump.outlet"
  Measured<Vec3> end_mm;  ///< centre of the open end, in the frame of the part that carries it
  Vec3 outward;           ///< unit, pointing out of the opening
  Length outside_diameter, bore;
  Length straight;  ///< of the spigot behind its end, that hose can be pushed over
  bool bead = true;
  std::vector<std::string> on;  ///< obstacles of the same body that it grows out of; see OwnPart in bay.h
  std::optional<NeckChoice> choice = std::nullopt;  ///< only of necks on the chassis
};

inline constexpr std::size_t kMostNeckPlaces = 400;

/// As written first, then by how far the end moves, then by how far it turns, then in the order of the
/// choice. A neck without a choice has one place.
std::vector<NeckPlace> places_of(const Neck& neck);
std::size_t count_of_places(const NeckChoice& choice);

}  // namespace hosefit
