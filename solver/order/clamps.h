// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>
#include <span>
#include <string_view>

#include "solver/base/quantity.h"
#include "solver/model/provenance.h"

/// Hose clamps by the size codes of open standards.
namespace hosefit {

enum class ClampKind {
  worm_drive,         ///< SAE J1508 type F, slotted band: rubber hose on large necks
  narrow_worm_drive,  ///< DIN 3017-1 form A, 9 mm band: rubber hose on short small necks
  lined_spring        ///< worm drive with liner and spring washers: silicone, which slotted bands cut
};

/// One size. Diameters are of the hose's outside where the clamp sits.
struct ClampSize {
  ClampKind kind = ClampKind::worm_drive;
  std::string_view standard, code;
  double least_mm = 0, most_mm = 0;
  double band_mm = 0;
  double torque_new_nm = 0, torque_spread_nm = 0;  ///< on new hose; spread 0 = none is told
  double torque_reused_nm = 0;                     ///< on used hose; 0 = none is told
  Source size_source = Source::from_memory, torque_source = Source::from_memory;
};

std::span<const ClampSize> clamp_sizes();

/// What is said about a torque wherever one is shown.
std::string_view torque_source_words(const ClampSize& size);

/// How far a band stands from the hose's cut end and from the neck's bead zone (6 mm behind the neck's end).
/// At least 3 mm of hose stay behind the band (service manuals; others ask for 6, which is used where there
/// is room), then midway between cut end and bead zone: common practice, no source.
inline constexpr double kBeadZone_mm = 6.0;
inline constexpr double kLeastBehindBand_mm = 3.0;
/// Cut end to the middle of the band; empty when band, bead zone and 3 mm of hose do not fit on the
/// engagement.
std::optional<Length> band_centre(Length engagement, Length band);

/// What a clamp of a joint must cover.
struct ClampNeed {
  Length installed_outside;  ///< of the hose on the neck
  Length engagement;         ///< of hose on neck
  bool lined = false;        ///< the hose is silicone, or nobody said that it is not
};

/// A size covers a hose when its outside is in the range but for the last 2 mm of closing, and it opens 3 mm
/// wider than the hose, so that it passes the bead. Of those that also leave room for their band the one
/// whose middle is nearest wins (all common practice, no source). Empty when none does.
std::optional<ClampSize> clamp_for(const ClampNeed& need);
bool covers(const ClampSize& size, Length installed_outside);

}  // namespace hosefit
