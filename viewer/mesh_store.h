// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <memory>
#include <mutex>
#include <unordered_map>

#include "viewer/scene/solid_mesh.h"

namespace hosefit {

/// The mesh of each Body object, made once. Safe from several threads. Meshes of bodies that nobody else
/// holds any more are dropped once there are many (every height of a moving slider makes a body).
class MeshStore {
 public:
  std::shared_ptr<const SolidMesh> of(const std::shared_ptr<const Body>& body);

 private:
  struct Entry {
    std::shared_ptr<const Body> body;  ///< keeps the key's address alive
    std::shared_ptr<const SolidMesh> mesh;
  };
  std::mutex mutex_;
  std::unordered_map<const Body*, Entry> entries_;
};

}  // namespace hosefit
