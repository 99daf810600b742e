// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/screen_scale.h"

#include <algorithm>
#include <cmath>

namespace hosefit {
namespace {

float held(float scale) {
  return std::isfinite(scale) && scale > 0 ? std::clamp(scale, 0.5F, 4.0F) : 1.0F;
}

}  // namespace

ScreenScale screen_scale(const MonitorScale& monitor, std::optional<float> given) {
  // In eighths: while a window is resized, its sizes in points and in pixels do not quite belong together.
  const float pixels = std::max(0.5F, std::round(held(monitor.framebuffer) * 8) / 8);
  return {given ? held(*given) : held(held(monitor.content) / pixels), pixels};
}

}  // namespace hosefit
