// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>

namespace hosefit {

/// What a monitor says about a window on it.
struct MonitorScale {
  float content = 1;      ///< how much larger text is wanted than at 96 dots per inch
  float framebuffer = 1;  ///< pixels per point of the window: 1 where the window system counts pixels
};

/// How large to draw. Sizes on screen are told in points of the window.
struct ScreenScale {
  float layout = 1;  ///< of all sizes, text included, in points
  float pixels = 1;  ///< per point: text is made so much finer than it is shown
  friend bool operator==(const ScreenScale&, const ScreenScale&) = default;
};

/// `given` = asked for by the user, stands above what the monitor says. What is no positive number counts as
/// 1; all is held within 0.5 .. 4, so that a wrong setting leaves a window that can be read.
ScreenScale screen_scale(const MonitorScale& monitor, std::optional<float> given);

}  // namespace hosefit
