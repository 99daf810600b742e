// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/gl/mesh_buffers.h"

#include <cstddef>

namespace hosefit {
namespace {

template <class T>
void fill(GLenum kind, GLuint buffer, const std::vector<T>& data) {
  glBindBuffer(kind, buffer);
  glBufferData(kind, static_cast<GLsizeiptr>(data.size() * sizeof(T)), data.data(), GL_STATIC_DRAW);
}

void attribute(GLuint place, std::size_t stride, std::size_t offset) {
  glEnableVertexAttribArray(place);
  glVertexAttribPointer(place, 3, GL_FLOAT, GL_FALSE, static_cast<GLsizei>(stride),
                        reinterpret_cast<const void*>(offset));  // OpenGL passes offsets as pointers
}

// Fewer, longer stretches: each is a call to the driver.
void append(std::vector<MeshBuffers::Stretch>& stretches, const MeshBuffers::Stretch& next) {
  if (!stretches.empty() && stretches.back().solid == next.solid)
    stretches.back().count += next.count;
  else
    stretches.push_back(next);
}

}  // namespace

void MeshBuffers::begin_triangles(const std::vector<std::uint32_t>& indices) {
  glGenVertexArrays(1, &surface_);
  glGenBuffers(1, &vertices_);
  glGenBuffers(1, &indices_);
  glBindVertexArray(surface_);
  fill(GL_ELEMENT_ARRAY_BUFFER, indices_, indices);
}

MeshBuffers::MeshBuffers(const SolidMesh& mesh) {
  begin_triangles(mesh.indices);
  fill(GL_ARRAY_BUFFER, vertices_, mesh.vertices);
  attribute(0, sizeof(SurfaceVertex), offsetof(SurfaceVertex, at_mm));
  attribute(1, sizeof(SurfaceVertex), offsetof(SurfaceVertex, normal));
  if (!mesh.coarse.empty()) {
    glGenBuffers(1, &coarse_);
    fill(GL_ARRAY_BUFFER, coarse_, mesh.coarse);  // bound as indices when it is drawn
    for (const MeshRange& range : mesh.obstacles)
      append(coarse_stretches_, {range.first_coarse, range.coarse_count, range.solid});
  }
  for (const MeshRange& range : mesh.obstacles)
    append(stretches_, {range.first_index, range.index_count, range.solid});
  glGenVertexArrays(1, &edges_);
  glGenBuffers(1, &edge_points_);
  glBindVertexArray(edges_);
  fill(GL_ARRAY_BUFFER, edge_points_, mesh.edges);
  attribute(0, sizeof(Point3f), 0);
  edge_count_ = static_cast<std::uint32_t>(mesh.edges.size());
  glBindVertexArray(0);
}

MeshBuffers::MeshBuffers(const HoseMesh& mesh) {
  begin_triangles(mesh.indices);
  stretches_ = {{0, static_cast<std::uint32_t>(mesh.indices.size()), true}};
  fill(GL_ARRAY_BUFFER, vertices_, mesh.vertices);
  attribute(0, sizeof(PaintedVertex), offsetof(PaintedVertex, at_mm));
  attribute(1, sizeof(PaintedVertex), offsetof(PaintedVertex, normal));
  attribute(2, sizeof(PaintedVertex), offsetof(PaintedVertex, colour));
  glBindVertexArray(0);
}

MeshBuffers::~MeshBuffers() {
  glDeleteVertexArrays(1, &surface_);
  glDeleteVertexArrays(1, &edges_);
  glDeleteBuffers(1, &vertices_);
  glDeleteBuffers(1, &indices_);
  glDeleteBuffers(1, &coarse_);
  glDeleteBuffers(1, &edge_points_);
}

void MeshBuffers::draw_triangles(std::uint32_t first_index, std::uint32_t count) const {
  glBindVertexArray(surface_);
  glDrawElements(GL_TRIANGLES, static_cast<GLsizei>(count), GL_UNSIGNED_INT,
                 reinterpret_cast<const void*>(first_index * sizeof(std::uint32_t)));
}

void MeshBuffers::draw_coarse(const Stretch& stretch) const {
  glBindVertexArray(surface_);
  glBindBuffer(GL_ELEMENT_ARRAY_BUFFER, coarse_);
  draw_triangles(stretch);
  glBindBuffer(GL_ELEMENT_ARRAY_BUFFER, indices_);
}

void MeshBuffers::draw_edges() const {
  if (edges_ == 0) return;
  glBindVertexArray(edges_);
  glVertexAttrib3f(1, 0, 0, 1);
  glDrawArrays(GL_LINES, 0, static_cast<GLsizei>(edge_count_));
}

const MeshBuffers& BufferStore::of(const std::shared_ptr<const SolidMesh>& mesh) {
  Entry<SolidMesh>& entry = solids_[mesh.get()];
  if (!entry.buffers) entry = {mesh, std::make_unique<MeshBuffers>(*mesh)};
  return *entry.buffers;
}

const MeshBuffers& BufferStore::of(const std::shared_ptr<const HoseMesh>& mesh) {
  Entry<HoseMesh>& entry = tubes_[mesh.get()];
  if (!entry.buffers) entry = {mesh, std::make_unique<MeshBuffers>(*mesh)};
  return *entry.buffers;
}

void BufferStore::drop_unused() {
  std::erase_if(solids_, [](const auto& one) { return one.second.mesh.use_count() == 1; });
  std::erase_if(tubes_, [](const auto& one) { return one.second.mesh.use_count() == 1; });
}

}  // namespace hosefit
