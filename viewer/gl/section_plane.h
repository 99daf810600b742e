// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include "viewer/gl/open_gl.h"
#include "viewer/scene/pane_scene.h"

namespace hosefit {

/// A square in the plane of a section, wide enough for any bay.
class SectionPlane {
 public:
  SectionPlane();
  ~SectionPlane();
  SectionPlane(const SectionPlane&) = delete;
  SectionPlane& operator=(const SectionPlane&) = delete;

  /// Around the camera's target; vehicle frame.
  void draw(const Section& section, const Orbit& camera) const;

 private:
  GLuint corners_ = 0, array_ = 0;
};

}  // namespace hosefit
