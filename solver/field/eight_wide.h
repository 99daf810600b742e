// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cstdint>

/// The two inner loops of the index, each in plain code and in AVX2 code. Both do the same operations on
/// floats in the same order without fused multiply-add, so they give the same answer to the last bit.
namespace hosefit::eight {

inline constexpr int kWide = 8;
using Row = float[kWide];

/// Eight axis-parallel boxes. An unused box has all its faces at infinity.
struct alignas(32) Boxes {
  Row low[3], high[3];
};

/// Eight triangles: corner a, edges a-b and a-c.
struct alignas(32) Triangles {
  Row a[3], ab[3], ac[3];
};

/// Squared distances from p into `d2`, 0 inside a box. Returned is a bit per box that is used and at most
/// `most_d2` away.
using BoxDistances = unsigned (*)(const Boxes& boxes, const float (&p)[3], float most_d2, Row& d2);
/// The same of triangles, however thin: the nearest of three clamped edges, or the plane where the point
/// projects inside. Off by no more than a few roundings of the largest coordinate (0.0003 mm at 1 m).
using TriangleDistances = unsigned (*)(const Triangles& triangles, const float (&p)[3], float most_d2,
                                       Row& d2);

struct Kernels {
  BoxDistances box_distances;
  TriangleDistances triangle_distances;
  const char* name;
};

extern const Kernels kPlain;
/// Null where this processor or compiler has no AVX2.
const Kernels* avx2();
/// The fastest that this processor runs, chosen once.
const Kernels& best();

}  // namespace hosefit::eight
