// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cstdint>
#include <map>
#include <memory>
#include <vector>

#include "viewer/gl/mesh_buffers.h"
#include "viewer/gl/picture.h"
#include "viewer/gl/program.h"
#include "viewer/gl/section_plane.h"

namespace hosefit {

/// Draws panes into pictures. A picture is used again as long as scene, camera and size stay. What several
/// panes show alike is drawn once, as colour and depth, and copied into each: first vehicle and engine (most
/// of the triangles; they stay while the intake moves), on them the intake, on them the drive.
class PanePainter {
 public:
  /// `samples` per pixel of a picture that stands still; while it changes, one: software drawing is slow.
  explicit PanePainter(int samples) : samples_(samples) {}

  /// The texture of a pane; `slot` tells panes apart from frame to frame.
  GLuint paint(std::size_t slot, const PaneScene& scene, int width, int height);
  /// Call after each frame: forgets what no pane used. True when a picture is to be drawn finer, so that
  /// another frame is wanted soon.
  bool end_frame();
  std::int64_t pictures_drawn() const { return drawn_; }
  /// For tests: draws every pane at one go, with nothing stored. The pictures must
  /// be the same.
  void draw_plainly(bool on);

 private:
  struct Painted {
    std::unique_ptr<Picture> picture;
    PaneScene scene;  ///< as drawn; holds its meshes, so that no address is used twice
    int strata = 0;   ///< of a layer: how many stand in it
    int still_frames = 0;
    bool used = false;
  };

  const Picture* layer_of(const PaneScene& scene, int strata, int width, int height, int samples);
  void draw_bodies(const PaneScene& scene, int stratum);
  void draw_body(const PaneScene& scene, const DrawnBody& body);
  void draw_surface(const MeshBuffers& buffers);
  void draw_tubes(const PaneScene& scene);
  static void set_sides(bool solid);
  void draw_cut_faces(const PaneScene& scene, const MeshBuffers& buffers, const Pose& pose,
                      const Colour& colour);
  bool may_serve_again(const Painted& layer) const;

  int samples_;
  bool plainly_ = false;
  bool moving_ = false;  ///< the picture being drawn will soon be drawn again, finer
  Program program_;
  BufferStore buffers_;
  SectionPlane plane_;
  std::map<std::size_t, Painted> panes_;
  std::vector<Painted> layers_;
  std::size_t panes_before_ = 0;  ///< shown in the frame before
  std::int64_t drawn_ = 0;
};

}  // namespace hosefit
