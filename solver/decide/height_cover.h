// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>

#include "solver/decide/judge.h"

namespace hosefit {

/// How far one judgement reaches: its verdict holds for every height from `down_mm` below to `up_mm` above
/// the one judged.
struct HeightCover {
  Fit fit = Fit::undecided;
  double down_mm = 0,
         up_mm = 0;  ///< infinite when nothing that moves with the height takes part in the argument
};

/// When the height changes by dh, the top of the intake moves by |dh| and the faces of its stretch boxes move
/// by at most that; nothing else moves. So no distance changes by more than |dh|:
///   fits           |dh| up to the least spare gap, of parts and of the proved routes and clamps, to the top
///                  and the stretch, at rest and, proved anew with that much more wanted, in motion. Upward
///                  it ends where a stretch box comes into being that is not there at this height. Before an
///                  open scan it ends, looked at every 5 mm, where a part stands in what nobody has seen;
///                  with an open scan among what moves it reaches nowhere.
///   does not fit   any one argument suffices: parts that do not pair, or a clash or blocked neck without the
///   moving bodies,
///                  hold at every height; with them for |dh| below what is missing, downward no further than
///                  the stretch box in question is thick.
///   else           nothing: the verdict holds at its height only.
HeightCover height_cover(const Prepared& prepared, const Judgement& judgement);

}  // namespace hosefit
