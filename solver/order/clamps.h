// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>
#include <span>
#include <string>

#include "solver/model/clamp.h"

/// Which clamp goes on a hose.
namespace hosefit {

/// What is said about a torque wherever one is shown: its note, or its source.
std::string torque_source_words(const ClampSize& size);

/// What a clamp of a joint must cover.
struct ClampNeed {
  Length installed_outside;  ///< of the hose on the neck
  Length engagement;         ///< of hose on neck
  bool lined = false;        ///< the hose is silicone, or nobody said that it is not
};

/// A size covers a hose when its outside is in the range but for the last 2 mm of closing, and it opens 3 mm
/// wider than the hose, so that it passes the bead. Of those that also leave room for their band the one
/// whose middle is nearest wins, the first of those alike (all common practice, no source). Empty when none
/// does.
std::optional<ClampSize> clamp_for(std::span<const ClampSize> sizes, const ClampNeed& need);
bool covers(const ClampSize& size, Length installed_outside);

}  // namespace hosefit
