// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <span>
#include <vector>

#include "solver/model/bay.h"
#include "solver/model/finding.h"
#include "solver/verify/motion_proof.h"
#include "solver/verify/parts_in_motion.h"

namespace hosefit {

/// What the engine's motion on its mounts leaves of one candidate that holds at rest.
struct MotionAnswer {
  std::vector<MotionLine> lines;  ///< beside the candidate's routes
  PartsInMotion parts;

  bool lines_proved() const;
  bool proved() const;  ///< every line and the parts
};

/// Whether a finding of a line is about that line, and not about another that takes no shape.
bool is_of_its_own(const Finding& finding);

/// Clips are fitted as each line's length asks for, closer or fewer where it holds better (clip_choices).
std::vector<MotionLine> lines_in_motion(const Job& job, const Bay& bay, const ProofBodies& bodies,
                                        std::span<const Route> routes, const ProofReport& at_rest,
                                        const MotionOptions& options);

/// The same with the clips that `answer` names.
std::vector<MotionLine> lines_in_motion_again(const Job& job, const Bay& bay, const ProofBodies& bodies,
                                              std::span<const Route> routes, const ProofReport& at_rest,
                                              std::span<const MotionLine> answer,
                                              const MotionOptions& options);

/// Scans are asked last: it takes long, and nothing is searched for otherwise because of them.
MotionOptions without_scans();

/// Of these bodies, as part_pairs gives them.
PartsInMotion parts_in_motion(const Job& job, const Bay& bay, ProofStore& store,
                              std::span<const std::pair<std::size_t, std::size_t>> body_pairs,
                              const MotionOptions& options);
PartsInMotion candidates_parts_in_motion(const Job& job, const Bay& bay, ProofStore& store,
                                         const MotionOptions& options);

/// What does not hold of the parts. A part that comes short at a place of the engine is an argument against
/// the candidate and stands: motion_clash, subject = the part on the engine, parameter obstacle = what of it,
/// other = that on the chassis; one for each two parts, the shortest. What is not decided, or moves where a
/// scan does not tell what is there, is undecided; so is what concerns a neck whose place is chosen.
std::vector<Finding> findings_of_parts(const Bay& bay, const PartsInMotion& parts);

/// What does not hold of the lines. It leaves the candidate undecided: another route may hold.
std::vector<Finding> findings_of_lines(const std::vector<MotionLine>& lines);

}  // namespace hosefit
