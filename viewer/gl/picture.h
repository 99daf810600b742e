// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <algorithm>

#include "viewer/gl/open_gl.h"

namespace hosefit {

/// A colour and depth picture drawn off screen. With samples > 1 it is resolved into a texture when asked
/// for.
class Picture {
 public:
  Picture(int width, int height, int samples);
  ~Picture();
  Picture(const Picture&) = delete;
  Picture& operator=(const Picture&) = delete;

  void begin() const;                          ///< draw into it
  void copy_from(const Picture& other) const;  ///< colour and depth; same size and samples
  GLuint texture() const;                      ///< resolved by finish()
  void finish() const;
  bool is(int width, int height, int samples) const {
    return width == width_ && height == height_ && samples == samples_;
  }

  bool same_size(const Picture& other) const { return width_ == other.width_ && height_ == other.height_; }

 private:
  int width_, height_, samples_;
  GLuint drawn_ = 0, colour_ = 0, depth_ = 0;  // frame and its parts
  GLuint resolved_ = 0, texture_ = 0;
};

}  // namespace hosefit
