// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <map>
#include <memory>
#include <vector>

#include "viewer/gl/open_gl.h"
#include "viewer/scene/pane_scene.h"

namespace hosefit {

/// A mesh on the graphics card: triangles and, for solids, feature edges.
class MeshBuffers {
 public:
  explicit MeshBuffers(const SolidMesh& mesh);
  explicit MeshBuffers(const HoseMesh& mesh);
  ~MeshBuffers();
  MeshBuffers(const MeshBuffers&) = delete;
  MeshBuffers& operator=(const MeshBuffers&) = delete;

  /// Triangles that follow one another and are all of solids, or all of open sheets.
  struct Stretch {
    std::uint32_t first_index = 0, count = 0;
    bool solid = false;
  };
  const std::vector<Stretch>& stretches() const { return stretches_; }
  void draw_triangles(std::uint32_t first_index, std::uint32_t count) const;
  void draw_triangles(const Stretch& stretch) const { draw_triangles(stretch.first_index, stretch.count); }
  /// The rough surface, empty if there is none.
  const std::vector<Stretch>& coarse_stretches() const { return coarse_stretches_; }
  void draw_coarse(const Stretch& stretch) const;
  void draw_edges() const;

 private:
  void begin_triangles(const std::vector<std::uint32_t>& indices);

  GLuint surface_ = 0, edges_ = 0;  // vertex arrays
  GLuint vertices_ = 0, indices_ = 0, coarse_ = 0, edge_points_ = 0;
  std::uint32_t edge_count_ = 0;
  std::vector<Stretch> stretches_, coarse_stretches_;
};

/// Buffers by mesh, made at first use; those of meshes that nobody else holds go with drop_unused().
class BufferStore {
 public:
  const MeshBuffers& of(const std::shared_ptr<const SolidMesh>& mesh);
  const MeshBuffers& of(const std::shared_ptr<const HoseMesh>& mesh);
  void drop_unused();

 private:
  template <class Mesh>
  struct Entry {
    std::shared_ptr<const Mesh> mesh;  // keeps the key's address alive
    std::unique_ptr<MeshBuffers> buffers;
  };
  std::map<const void*, Entry<SolidMesh>> solids_;
  std::map<const void*, Entry<HoseMesh>> tubes_;
};

}  // namespace hosefit
