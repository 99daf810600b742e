// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cstdint>
#include <optional>
#include <vector>

#include "solver/base/parallel.h"
#include "solver/picture/caster.h"
#include "solver/picture/scene.h"
#include "solver/view/camera.h"

namespace hosefit {

struct Size {
  int width = 1600, height = 1000;  ///< pixels, each 1 to 16384
};

/// What lies on the side that the normal points to is taken away; solids cut through show a hatched face.
struct Cut {
  Vec3 point_mm = Vec3::Zero();
  Vec3 normal = Vec3::UnitZ();  ///< unit
};

struct View {
  Camera camera;
  std::vector<Layer> layers;  ///< one per item of the scene
  std::optional<Cut> cut;
  std::optional<double> fades_from_mm;  ///< depth behind the target from where things fade into the paper
};

struct Image {
  Size size;
  std::vector<std::uint8_t> rgb;  ///< sRGB, row by row from the top, 3 bytes a pixel
};

inline constexpr std::int32_t kNoItem = -1;

struct Rendering {
  Image image;
  std::vector<std::int32_t> solid_at;  ///< per pixel: item seen there (not through glass), or kNoItem
  std::vector<std::int32_t> glass_at;  ///< per pixel: foremost glass item before it, or kNoItem
};

/// Shaded surfaces with edges where one thing ends, bends sharply or stands off what is behind it; one ray
/// a pixel, 2 x 2 where something changes beside it. Lines that something hides shine through faintly. Glass
/// is a tint with edges. The same bytes for any thread count.
Rendering render(const Scene& scene, const View& view, Size size, Threads threads);

}  // namespace hosefit
