// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <vector>

#include "solver/order/cut_sheet.h"

namespace hosefit {

/// The pieces of a route with their places on its centreline. Law: the cut lengths of hose plus the gaps at
/// joiners (for bent tube: couplers and tube less what they overlap) add up to the centreline plus both
/// engagements. A straight piece among elbows, and a coupler, comes from straight stock of the same bore when
/// there is any no thicker than what was proved; else `stock` is empty.
std::vector<CutPiece> cut_pieces(const Job& job, const Stock& stock, const Route& route);

/// One place per clamped hose end, from the line's start. `sheet` holds route and pieces. A band sits where
/// room for its housing was proved, unless it has no room on the hose there.
std::vector<ClampPlace> clamp_places(const Job& job, const CutSheet& sheet, const LineProof* proof);

}  // namespace hosefit
