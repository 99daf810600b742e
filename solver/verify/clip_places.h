// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>
#include <vector>

#include "solver/model/bay.h"
#include "solver/model/route.h"
#include "solver/verify/proof_bodies.h"

namespace hosefit {

/// A lined clip between a line's necks. Where it is fixed to something the line keeps its planned place and
/// direction there, as seen from what carries the clip.
struct ClipPlace {
  double s_mm = 0;  ///< along the centreline
  double outside_diameter_mm = 0;
  Carrier carrier = Carrier::chassis;
  std::optional<ObstacleRef> to;  ///< smooth metal on that carrier; empty: none within reach
  double reach_mm = 0;            ///< from the line's outside to `to`
  friend bool operator==(const ClipPlace&, const ClipPlace&) = default;
};

/// How far a bracket may stand off what it is fixed to (common practice, no source).
inline constexpr double kLongestBracket_mm = 120.0;

/// As few clips as leave no free stretch longer than `longest_free_mm`, each moved along the line, within
/// that, to where its bracket is shortest. Seen along the line the clips go from the carrier of its first
/// neck to that of its second and never back, so that one free stretch takes up all of the engine's motion.
std::vector<ClipPlace> clip_places(const Bay& bay, const ProofBodies& bodies, const Route& route,
                                   double longest_free_mm);

/// Ways to fit clips, in order of preference: those of `clips` that are fixed to something; the same with the
/// free stretch between the carriers made longer, clip by clip to either side of it; none.
std::vector<std::vector<ClipPlace>> clip_layouts(std::vector<ClipPlace> clips, Carrier first);

/// The ways to fit as few clips as `longest_free_mm` asks for, then those with twice as many, which hold
/// closer to the plan and let the free stretch end in more places; none comes last.
std::vector<std::vector<ClipPlace>> clip_choices(const Bay& bay, const ProofBodies& bodies,
                                                 const Route& route, double longest_free_mm);

}  // namespace hosefit
