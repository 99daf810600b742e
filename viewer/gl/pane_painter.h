// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cstdint>
#include <map>
#include <memory>
#include <vector>

#include "viewer/gl/mesh_buffers.h"
#include "viewer/gl/picture.h"
#include "viewer/gl/program.h"

namespace hosefit {

/// Draws panes into pictures. A picture is used again as long as scene, camera and size stay; what is the
/// same in all panes (vehicle and engine, most of the triangles) is drawn once per camera and copied into
/// each.
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

 private:
  struct Painted {
    std::unique_ptr<Picture> picture;
    PaneScene scene;  ///< as drawn; holds its meshes, so that no address is used twice
    int still_frames = 0;
    bool used = false;
  };

  Painted& layer_of(const PaneScene& scene, int width, int height, int samples);
  void draw_bodies(const PaneScene& scene, bool same_in_all);
  void draw_body(const PaneScene& scene, const DrawnBody& body);
  void draw_tubes(const PaneScene& scene);

  int samples_;
  bool moving_ = false;  ///< the picture being drawn will soon be drawn again, finer
  Program program_;
  BufferStore buffers_;
  std::map<std::size_t, Painted> panes_;
  std::vector<Painted> layers_;
  std::int64_t drawn_ = 0;
};

}  // namespace hosefit
