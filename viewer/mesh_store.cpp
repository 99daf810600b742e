// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/mesh_store.h"

namespace hosefit {
namespace {

constexpr std::size_t kMany = 256;

}  // namespace

std::shared_ptr<const SolidMesh> MeshStore::of(const std::shared_ptr<const Body>& body) {
  {
    const std::lock_guard lock(mutex_);
    const auto found = entries_.find(body.get());
    if (found != entries_.end()) return found->second.mesh;
  }
  auto mesh = std::make_shared<const SolidMesh>(solid_mesh(*body));
  const std::lock_guard lock(mutex_);
  if (entries_.size() >= kMany)
    std::erase_if(entries_, [](const auto& entry) { return entry.second.body.use_count() == 1; });
  return entries_.try_emplace(body.get(), Entry{body, std::move(mesh)}).first->second.mesh;
}

}  // namespace hosefit
