// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <array>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "solver/base/measured.h"
#include "solver/geometry/shape.h"
#include "solver/model/provenance.h"

namespace hosefit {

/// Why a gap is needed.
enum class Hazard {
  smooth_metal,
  sharp_edge,
  belt_or_pulley,
  fan,
  bare_exhaust,
  shielded_exhaust,
  steering,
  throttle_linkage,
  hood,
  fuel,
  electrics,
  air_duct,
  radiator_core,
  another_hose
};
inline constexpr std::array kHazards{
    Hazard::smooth_metal,  Hazard::sharp_edge,       Hazard::belt_or_pulley,
    Hazard::fan,           Hazard::bare_exhaust,     Hazard::shielded_exhaust,
    Hazard::steering,      Hazard::throttle_linkage, Hazard::hood,
    Hazard::fuel,          Hazard::electrics,        Hazard::air_duct,
    Hazard::radiator_core, Hazard::another_hose};
std::string_view word(Hazard hazard);  ///< as written in input files: "smooth_metal"

/// What a body is bolted to: bodies on the engine move with it on its mounts, the others do not.
enum class Carrier { chassis, engine };
std::string_view word(Carrier carrier);

/// A required gap of one obstacle's own, in place of the table's value.
struct OwnGap {
  Length gap;
  Provenance provenance;
};

/// From where an open surface was looked at. What lies behind one seen from its front only is not known.
enum class SeenFrom { front, both };

struct MeshNotes;  // model/mesh_notes.h

/// A surface on a body that something must keep clear of.
struct Obstacle {
  std::string name;
  Hazard hazard = Hazard::smooth_metal;
  Shape shape;
  bool closed = true;  ///< inside is solid; false only for open meshes (sheets)
  std::optional<OwnGap> own_gap;
  MeasuredBy method = MeasuredBy::assumed;
  Length accuracy = default_accuracy(MeasuredBy::assumed);
  Place place;
  SeenFrom seen_from = SeenFrom::front;  ///< counts for meshes with an open edge only; front: the side from
                                         ///< which corners run counter-clockwise
  std::shared_ptr<const MeshNotes> notes = nullptr;  ///< of a mesh read from a file
};

/// A rigid group of obstacles in its own frame. Bodies are shared between candidates and never change once
/// made, so an index built for a Body object serves every bay that holds the same object.
struct Body {
  std::string name;
  Carrier carrier = Carrier::chassis;
  std::vector<Obstacle> obstacles;
};

}  // namespace hosefit
