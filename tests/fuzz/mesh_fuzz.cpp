// SPDX-License-Identifier: GPL-3.0-or-later
#include <cmath>
#include <cstdint>
#include <cstdlib>
#include <string_view>

#include "solver/geometry/mesh_mending.h"
#include "solver/input/mesh_file.h"

/// Bytes as a mesh file: refused with a reason, or triangles whose corners exist and are finite and near.
/// Mending tells closed from open as is_closed does and is done after one time.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace hosefit;
  const auto read = read_mesh({reinterpret_cast<const char*>(data), size}, 1.0);
  if (const auto* reason = std::get_if<std::string>(&read)) {
    if (reason->empty()) std::abort();
    return 0;
  }
  const TriangleMesh& mesh = std::get<TriangleMesh>(read);
  if (mesh.triangles.empty() || mesh.triangles.size() > kMostTriangles) std::abort();
  for (const Vec3& corner : mesh.vertices_mm)
    if (!corner.allFinite() || corner.norm() > 4e4) std::abort();
  for (const auto& triangle : mesh.triangles)
    for (const auto corner : triangle)
      if (static_cast<std::size_t>(corner) >= mesh.vertices_mm.size()) std::abort();
  const Vec3 somewhere(1, 2, 3);
  const double winding = winding_number(mesh, somewhere);
  if (!std::isfinite(winding)) std::abort();
  const MendedMesh mended = mend(mesh);
  if (mended.closed != is_closed(mended.mesh)) std::abort();
  const MendedMesh again = mend(mended.mesh);
  if (again.mesh.triangles != mended.mesh.triangles || again.faults.duplicates + again.faults.turned != 0)
    std::abort();
  return 0;
}
