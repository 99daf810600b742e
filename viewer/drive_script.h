// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "solver/base/quantity.h"
#include "solver/base/result.h"

/// A list of things that a hand would do, read from a file, so that the window can be tested without one.
namespace hosefit::drive {

struct WaitSolved {};  ///< wait solved: nothing is being read, answered or proved
struct WaitFrames {
  int count = 1;  ///< wait 10: draw so many frames
};
struct Slide {
  Length height;  ///< slide height 312 | slide height 12-1/4 in: drag the slider there
};
struct Click {
  float x = 0, y = 0;  ///< click 400 300, in points of the window
};
struct Drag {
  float from_x = 0, from_y = 0, to_x = 0, to_y = 0;  ///< drag 400 300 500 320
};
struct Type {
  std::string text;  ///< type 312, then what is written goes to the focus
};
struct Key {
  std::string name;  ///< key enter | escape | page_up | page_down
};
struct Drop {
  std::string path;  ///< drop PATH: as if dropped on the window
};
struct Resize {
  int width = 0, height = 0;  ///< resize 320 240
};
struct Rescale {
  float scale = 1;  ///< scale 2: as if the window had come to a finer monitor
};
struct Shot {
  std::string file;      ///< shot FILE.png
  bool plainly = false;  ///< shot_plain FILE.png: drawn without anything stored, to compare with
};
struct Frames {
  int count = 100;  ///< frames 100: turn the view, print frames per second
};
struct FramesSliding {
  int count = 100;  ///< frames_sliding 100: move the intake half a millimetre each frame, print the same
};
struct Expect {
  std::string what;  ///< expect verdict TEXT | expect problems | expect not proved: else exit code 4
};
struct Leave {};  ///< quit
using Step = std::variant<WaitSolved, WaitFrames, Slide, Click, Drag, Type, Key, Drop, Resize, Rescale, Shot,
                          Frames, FramesSliding, Expect, Leave>;

/// Lines that are empty or begin with # are passed over.
Result<std::vector<Step>> read_script(const std::string& file, std::string_view text);

}  // namespace hosefit::drive
