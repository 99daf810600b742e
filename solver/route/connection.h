// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>

#include "solver/geometry/centreline.h"

namespace hosefit {

/// A place on a run and the unit direction of travel there. Vehicle frame.
struct Heading {
  Vec3 at_mm;
  Vec3 along;
};
inline Heading turned_back(const Heading& h) {
  return {h.at_mm, -h.along};
}

/// Arc, straight, arc of one radius between two headings; either arc may vanish. Each bend is at most 180
/// deg.
struct Connection {
  double first_bend_rad = 0, straight_mm = 0, second_bend_rad = 0;
  double length_mm = 0;
  Vec3 along;  ///< of the straight
};

/// The connection met by iterating on the direction of the straight, starting along the chord: the shortest
/// one for ends well over 4 radii apart; for nearer ends one of several, or none, also where a bend over 180
/// deg would be needed. Accuracy 1e-9 of the radius.
std::optional<Connection> connect(const Heading& from, const Heading& to, double radius_mm);
/// The shortest over several starts; slower. Shortest of all paths of that least radius when the ends are 4
/// radii apart (Sussmann, Proc. 34th IEEE CDC (1995): such paths are arc, straight, arc), see
/// connection_test.
std::optional<Connection> shortest_connection(const Heading& from, const Heading& to, double radius_mm);

/// Its pieces, vanishing ones left out; empty when it has no length.
Centreline pieces_of(const Connection& connection, const Heading& from, const Heading& to, double radius_mm);

/// The turn from a heading until it faces a point, then straight to it: bend and straight length. Empty when
/// the point lies inside the turning circle.
struct Aim {
  double bend_rad = 0, straight_mm = 0;
  Vec3 inward;  ///< unit, towards the centre of the bend
};
std::optional<Aim> aim_at(const Heading& from, const Vec3& point_mm, double radius_mm);

/// The arc of an angle from a heading, turning towards `inward` (unit, square to along).
Arc arc_from(const Heading& from, const Vec3& inward, double radius_mm, double angle_rad);

}  // namespace hosefit
