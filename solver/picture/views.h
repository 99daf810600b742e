// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>

#include "solver/picture/render.h"

namespace hosefit {

/// The whole scene from one side, filling the box. See-through: the hood in all views but the one from below,
/// and what is on the chassis and covers a good part of the lines.
View view_from(const Scene& scene, Side side, const PixelBox& box);

/// The deciding spot from near, from where its two sides are seen apart and least hides them. What stands
/// well before it is cut away, what still hides it is see-through, what lies far behind fades. Empty when the
/// scene has no spot.
std::optional<View> close_up(const Scene& scene, const PixelBox& box);

}  // namespace hosefit
