// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <functional>

#include "viewer/drive_script.h"
#include "viewer/gl/window.h"
#include "viewer/panes/panes.h"
#include "viewer/session.h"

namespace hosefit::drive {

/// What a player needs of the running program.
struct Stage {
  Window& window;
  Session& session;
  const Typing& typing;
  std::function<void(const PlayedInput&)> frame;  ///< draws one frame with this input
  std::function<void(const std::string&)> say;    ///< one line to standard output
  std::function<void(bool)> draw_plainly;         ///< see PanePainter
};

/// Plays the steps; true when every expectation held. Says the first that did not.
bool play(const std::vector<Step>& steps, const Stage& stage);

}  // namespace hosefit::drive
