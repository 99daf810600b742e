// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <functional>
#include <span>
#include <utility>
#include <vector>

#include "solver/verify/motion_proof.h"
#include "solver/verify/unseen_parts.h"

namespace hosefit {

/// An obstacle on the engine and one on the chassis where they are nearest while the engine moves.
struct PartInMotion {
  ObstacleRef on_engine, on_chassis;
  double required_mm = 0,
         found_mm = 0;  ///< found: with the engine at `place`, up to 0.05 mm too small; 0: they cross
  EnginePlace place = EnginePlace::Zero();
  Vec3 where_mm = Vec3::Zero();
  Provenance provenance;
  enum class Answer { holds, comes_short, undecided } answer = Answer::undecided;
};

struct PartsInMotion {
  bool proved = true;  ///< nothing comes short and nothing is undecided
  std::vector<PartInMotion>
      near;  ///< what comes within 10 mm of its required gap, and what is not proved; tightest first
  std::vector<UnseenPart> unseen;  ///< at the middle or a corner of the engine's places; each once
  int boxes = 0;
};

/// Rigid parts on the engine against those on the chassis over all places of the engine, with the gaps that
/// the table wants after motion. Box by box of places, by the better of two bounds: no point of a part moves
/// further than the shift of the box and its distance from the roll axis times the roll; and a plane through
/// the nearest points keeps the two apart while every corner of the moving part stays on its side. `counts`
/// says which pairs of obstacles matter. What open scans have not seen is asked at rest, at the middle and at
/// all corners of the engine's places, as far as these are more than 10 mm away from rest. Bodies on the same
/// carrier are left out. Deterministic.
PartsInMotion prove_parts_in_motion(const Bay& bay, ProofStore& store, const GapTable& gaps,
                                    std::span<const std::pair<std::size_t, std::size_t>> body_pairs,
                                    const std::function<bool(ObstacleRef, ObstacleRef)>& counts,
                                    const EnginePlaces& places, const MotionOptions& options);

}  // namespace hosefit
