// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <string>
#include <vector>

#include "solver/base/result.h"
#include "solver/decide/decide.h"

/// What a drawing of the radiator shows, worked out once; nothing of paper in it.
namespace hosefit {

/// A solid of the radiator. Sheet frame.
struct RadiatorSolid {
  std::string name;
  Shape shape;
};

struct RadiatorNeck {
  std::string name;
  Vec3 end_mm, outward;              ///< where it is drawn and dimensioned; sheet frame
  Vec3 written_mm, written_outward;  ///< where the vehicle file has it
  bool moved = false;                ///< those two differ
  Angle turned;                      ///< of the place chosen, as the vehicle file counts it
  Length outside_diameter, bore, straight;
  bool bead = true;
  MeasuredBy method = MeasuredBy::assumed;  ///< of the place as written
  Length accuracy;
  std::vector<std::string> lines;  ///< that end at it
  /// A line that ends at it and is not proved: the place that was chosen is then not drawn, since somebody
  /// would build to it. Empty when all are, or when nothing else than as written was chosen.
  std::string held_back_by;
};

/// Sheet frame: origin where three datums meet, the left (A) and the lower edge (B) of the core as seen from
/// the engine, and its face on that side (C). X to the right as seen, Y up the core, Z out of the face. The
/// core fills 0..width, 0..height, -thickness..0; one that is no box is taken by the box around it.
struct RadiatorMatter {
  Pose frame;    ///< sheet frame to vehicle frame
  Vec3 core_mm;  ///< width, height, thickness
  bool core_is_box = true;
  Angle leans;                         ///< of the face's normal against the vehicle's X axis
  std::vector<RadiatorSolid> solids;   ///< where they go; the core first
  std::vector<RadiatorSolid> before;   ///< as written, of those that go along with a neck that is moved
  std::vector<RadiatorNeck> necks;     ///< in the order of the vehicle file
  std::vector<std::string> elsewhere;  ///< necks that are moved and are none of the radiator's
};

/// A Problem when the vehicle names no radiator core.
Result<RadiatorMatter> radiator_matter(const Job& job, const CandidateResult& result);

/// How a neck's direction differs from square out of the face: by how much, and towards where as seen,
/// clockwise from up. Both are 0 when it is square to 0.05 deg.
struct NeckLean {
  Angle by, towards;
};
NeckLean lean_of(const Vec3& outward);

/// "50.0 mm to the left, 10.0 mm up, turned by 45 deg", as seen; empty for a neck that is not moved.
std::string moved_words(const RadiatorNeck& neck, LengthUnit unit);

}  // namespace hosefit
