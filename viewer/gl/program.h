// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <array>
#include <string>

#include "viewer/gl/open_gl.h"
#include "viewer/scene/pane_scene.h"

namespace hosefit {

/// The one shader of all solids, edges and tubes: lit from the eye and from above, cut by the section.
class Program {
 public:
  Program();  ///< throws std::runtime_error with the driver's words when it does not compile
  ~Program();
  Program(const Program&) = delete;
  Program& operator=(const Program&) = delete;

  void use(const Orbit& camera, double aspect, const Section& section) const;
  void set_pose(const Pose& pose) const;
  /// `swell_mm` moves vertices outward along their normals; `flat` leaves light away.
  void set_style(bool flat, double swell_mm) const;
  /// As the cut face of a solid in a drawing, without light.
  void set_hatched(bool hatched) const;
  /// Every second point is left out, so that what stands behind shines through.
  void set_dim(bool dim) const;
  /// Laid over the colour of every vertex; 0 = not at all, 1 = nothing else is seen.
  void set_over(const Colour& colour, double amount) const;
  /// Of meshes whose vertices carry no colour.
  static void set_colour(const Colour& colour);

 private:
  GLuint id_ = 0;
  GLint clip_ = -1, pose_ = -1, section_ = -1, towards_eye_ = -1, style_ = -1, hatched_ = -1, dim_ = -1,
        over_ = -1;
};

}  // namespace hosefit
