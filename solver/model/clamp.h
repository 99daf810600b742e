// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <array>
#include <optional>
#include <string>
#include <string_view>

#include "solver/base/quantity.h"
#include "solver/base/result.h"
#include "solver/model/provenance.h"

/// Hose clamps by the size codes of open standards, and where their bands sit.
namespace hosefit {

enum class ClampKind {
  worm_drive,         ///< slotted band: rubber hose on large necks
  narrow_worm_drive,  ///< narrow plain band: rubber hose on short small necks
  lined_spring        ///< worm drive with liner and spring washers: silicone, which slotted bands cut
};
inline constexpr std::array kClampKinds{ClampKind::worm_drive, ClampKind::narrow_worm_drive,
                                        ClampKind::lined_spring};
std::string_view word(ClampKind kind);  ///< as in files: "narrow_worm_drive"

/// One size as it stands in a clamps file. Diameters are of the hose's outside where the clamp sits.
struct ClampSize {
  std::string id;  ///< unique name in the clamps file
  ClampKind kind = ClampKind::worm_drive;
  std::string standard, code;
  Length least, most;
  Length band;
  double torque_new_nm = 0, torque_spread_nm = 0;  ///< on new hose; spread 0 = none is told
  double torque_reused_nm = 0;                     ///< on used hose; 0 = none is told
  Provenance provenance;                           ///< of the range
  Provenance torque_provenance;
  std::string torque_note;  ///< what is said about the torque wherever one is shown; may be empty
  Place place;
};

/// How far a band stands from the hose's cut end and from the neck's bead zone (6 mm behind the neck's end).
/// At least 3 mm of hose stay behind the band (service manuals; others ask for 6, which is used where there
/// is room), then midway between cut end and bead zone: common practice, no source.
inline constexpr double kBeadZone_mm = 6.0;
inline constexpr double kLeastBehindBand_mm = 3.0;
/// Cut end to the middle of the band; empty when band, bead zone and 3 mm of hose do not fit on the
/// engagement.
std::optional<Length> band_centre(Length engagement, Length band);

/// Cut end to the middle of the band where the proof looks for room, before a size is chosen: that of a band
/// of 13.5 mm where one has room, else of 9 mm, else half the engagement. A chosen band sits there when it
/// has room there, and then what was proved holds for it.
Length proved_band_centre(Length engagement);
/// True when a band has 3 mm of hose behind it and stays off the bead zone with its middle there.
bool band_has_room(Length engagement, Length band, Length centre);

/// A part that joins two diameters: where no one hose suits both ends of a line.
enum class ReducerKind {
  stepped_joiner,  ///< beaded tube with two outside diameters; hose of its own bore on each end
  reducing_hose    ///< moulded hose with two bores; each goes on a neck or on a joiner
};
inline constexpr std::array kReducerKinds{ReducerKind::stepped_joiner, ReducerKind::reducing_hose};
std::string_view word(ReducerKind kind);

/// One reducer as it stands in a stock file.
struct Reducer {
  std::string id;  ///< unique among the reducers
  ReducerKind kind = ReducerKind::stepped_joiner;
  std::string description;
  Length wide, narrow;  ///< stepped joiner: outside; reducing hose: bore
  Length length;
  double price = 0;  ///< per piece, in the shop's money; 0 = unknown
  Provenance provenance;
  Place place;
};

}  // namespace hosefit
