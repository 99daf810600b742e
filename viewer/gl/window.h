// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "viewer/screen_scale.h"

struct GLFWwindow;

namespace hosefit {

/// What a drive script does with mouse and keyboard, put in place of the real ones for a frame.
struct PlayedInput {
  std::optional<float> mouse_x, mouse_y;
  bool pressed = false;
  std::string text;
  int key = 0;  ///< as GLFW names it; 0 = none
};

/// The window with its OpenGL context and ImGui on both. One per process.
class Window {
 public:
  struct Options {
    int width = 1440, height = 900;
    std::optional<float> scale;  ///< of the screen; empty = as the system says
  };
  /// Throws std::runtime_error with words for the user when there is no screen or no OpenGL 3.3.
  explicit Window(const Options& options);
  ~Window();
  Window(const Window&) = delete;
  Window& operator=(const Window&) = delete;

  bool closing() const;
  void resize(int width, int height);
  /// Waits for events, at most so long; with 0 it only takes what is there.
  void take_events(double most_seconds);
  static void wake();  ///< from any thread
  std::vector<std::string> take_dropped();
  bool take_help_key();
  bool take_leave_key();
  void begin_frame(const PlayedInput* played);
  void end_frame();
  void write_png(const std::string& file);  ///< of the last frame drawn; throws std::runtime_error
  void play_drop(const std::string& path);
  void play_scale(float scale) { given_scale_ = scale; }

 private:
  void load_font();
  void draw();
  GLFWwindow* window_ = nullptr;
  ScreenScale scale_now() const;
  std::optional<float> given_scale_;
  ScreenScale scale_;
  std::vector<std::string> dropped_;
  bool help_ = false, leave_ = false;
  friend struct WindowEvents;
};

}  // namespace hosefit
