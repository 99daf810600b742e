// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <map>
#include <memory>
#include <optional>
#include <string>

#include "solver/input/map_view.h"
#include "solver/model/body.h"
#include "solver/model/mesh_notes.h"

namespace hosefit {

/// Mesh files by the folder of the file that names them; each is read and mended once.
class MeshShelf {
 public:
  struct Entry {
    std::string folder, shown_name;            ///< of the file that names it; the mesh as written there
    std::string bytes;                         ///< as read, for the fingerprint
    std::shared_ptr<const TriangleMesh> mesh;  ///< mended (mesh_mending.h); null when refused
    MeshFaults faults;
    bool closed = false;
    std::string why;  ///< refused: why
  };
  /// `written` is a path below `folder`; anything that leads out of it is refused, by symbolic links too.
  /// With the unit `unknown` the file's numbers stay as they are.
  const Entry& get(const std::string& folder, const std::string& written, const std::string& unit);
  const std::map<std::string, Entry>& all() const { return entries_; }  ///< by folder, name and unit

 private:
  std::map<std::string, Entry> entries_;
};

/// A mesh in its place.
struct ReadMesh {
  MeshShape shape;
  bool closed = false;
  SeenFrom seen_from = SeenFrom::front;
  std::shared_ptr<const MeshNotes> notes;
  Length off;  ///< how far the pairs are off: the largest residual, or their spread per coordinate when that
               ///< is more
};

/// The mesh under the key `mesh` of a shape. A scan with `align` is put where its spots were measured;
/// refused when they do not fix a frame (nearer to one line than 5 % of their extent), when the scan's mirror
/// image fits markedly better (half the error, and a fourth spot off the plane of three tells), and when a
/// spot is farther off than 2 % of the largest distance between spots and twice its own accuracy.
std::optional<ReadMesh> read_mesh_shape(const MapView& in, MeshShelf& shelf, ProblemLog& log);

}  // namespace hosefit
