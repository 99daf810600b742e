// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/field/eight_wide.h"

#include <limits>

#if defined(__x86_64__) && (defined(__GNUC__) || defined(__clang__))
#define HOSEFIT_HAS_AVX2 1
#include <immintrin.h>
#endif

namespace hosefit::eight {
namespace {

// Of a triangle with a smaller n^2 (n = ab x ac, mm^4) the edges decide alone: floats end at 1e-38.
constexpr float kLeastNormal2 = 1e-30F;

// Of equal numbers the second, as the processor's own instruction has it.
float least(float a, float b) {
  return a < b ? a : b;
}
float most(float a, float b) {
  return a > b ? a : b;
}

unsigned plain_box_distances(const Boxes& boxes, const float (&p)[3], float most_d2, Row& d2) {
  unsigned near = 0;
  for (int i = 0; i < kWide; ++i) {
    float sum = 0;
    for (int k = 0; k < 3; ++k) {
      const float off = most(most(boxes.low[k][i] - p[k], p[k] - boxes.high[k][i]), 0.0F);
      sum += off * off;
    }
    d2[i] = sum;
    if (sum <= most_d2 && sum < std::numeric_limits<float>::infinity()) near |= 1U << i;
  }
  return near;
}

struct Vector {
  float x, y, z;
};
Vector operator-(const Vector& u, const Vector& v) {
  return {u.x - v.x, u.y - v.y, u.z - v.z};
}
Vector operator*(float t, const Vector& v) {
  return {t * v.x, t * v.y, t * v.z};
}
float dot(const Vector& u, const Vector& v) {
  return u.x * v.x + u.y * v.y + u.z * v.z;
}
Vector cross(const Vector& u, const Vector& v) {
  return {u.y * v.z - u.z * v.y, u.z * v.x - u.x * v.z, u.x * v.y - u.y * v.x};
}

// Squared distance to an edge of direction e from a point v off its beginning, whose foot lies at the share t
// of the edge's line. An edge without length gives 0 / 0, of which most() takes the 0.
float to_edge(const Vector& v, const Vector& e, float t) {
  const Vector q = v - least(most(t, 0.0F), 1.0F) * e;
  return dot(q, q);
}

unsigned plain_triangle_distances(const Triangles& t, const float (&p)[3], float most_d2, Row& d2) {
  const auto vector = [](const Row(&rows)[3], int i) { return Vector{rows[0][i], rows[1][i], rows[2][i]}; };
  unsigned near = 0;
  for (int i = 0; i < kWide; ++i) {
    const Vector ab = vector(t.ab, i), ac = vector(t.ac, i), bc = ac - ab, n = cross(ab, ac);
    const Vector from_a = Vector{p[0], p[1], p[2]} - vector(t.a, i), from_b = from_a - ab;
    const float ab2 = dot(ab, ab), ac2 = dot(ac, ac), bc2 = dot(bc, bc), n2 = dot(n, n);
    const float along_ab = dot(from_a, ab) / ab2;
    const float edges =
        least(to_edge(from_a, ab, along_ab),
              least(to_edge(from_a, ac, dot(from_a, ac) / ac2), to_edge(from_b, bc, dot(from_b, bc) / bc2)));
    // Sides of the three edges seen along the normal have the signs of the barycentric coordinates.
    const float side =
        least(dot(cross(ab, from_a), n), least(dot(cross(from_a, ac), n), dot(cross(bc, from_b), n)));
    // Seen from the foot on a-b: along a long edge the rounding of n would tell.
    const float height = dot(n, from_a - along_ab * ab);
    d2[i] = side >= 0 && n2 > kLeastNormal2 ? least(height * height / n2, edges) : edges;
    if (d2[i] <= most_d2) near |= 1U << i;
  }
  return near;
}

#ifdef HOSEFIT_HAS_AVX2

// Without "fma" in it the compiler cannot fuse a multiplication and an addition, which would round otherwise.
#define HOSEFIT_AVX2 __attribute__((target("avx2")))
#define HOSEFIT_AVX2_INLINE __attribute__((target("avx2"), always_inline)) inline

using Lanes = __m256;
struct Lanes3 {
  Lanes x, y, z;
};

HOSEFIT_AVX2_INLINE Lanes3 load(const Row (&rows)[3]) {
  return {_mm256_load_ps(rows[0]), _mm256_load_ps(rows[1]), _mm256_load_ps(rows[2])};
}
HOSEFIT_AVX2_INLINE Lanes3 minus(const Lanes3& u, const Lanes3& v) {
  return {_mm256_sub_ps(u.x, v.x), _mm256_sub_ps(u.y, v.y), _mm256_sub_ps(u.z, v.z)};
}
HOSEFIT_AVX2_INLINE Lanes dot(const Lanes3& u, const Lanes3& v) {
  return _mm256_add_ps(_mm256_add_ps(_mm256_mul_ps(u.x, v.x), _mm256_mul_ps(u.y, v.y)),
                       _mm256_mul_ps(u.z, v.z));
}
HOSEFIT_AVX2_INLINE Lanes3 cross(const Lanes3& u, const Lanes3& v) {
  return {_mm256_sub_ps(_mm256_mul_ps(u.y, v.z), _mm256_mul_ps(u.z, v.y)),
          _mm256_sub_ps(_mm256_mul_ps(u.z, v.x), _mm256_mul_ps(u.x, v.z)),
          _mm256_sub_ps(_mm256_mul_ps(u.x, v.y), _mm256_mul_ps(u.y, v.x))};
}
HOSEFIT_AVX2_INLINE Lanes3 times(Lanes t, const Lanes3& v) {
  return {_mm256_mul_ps(t, v.x), _mm256_mul_ps(t, v.y), _mm256_mul_ps(t, v.z)};
}
HOSEFIT_AVX2_INLINE Lanes to_edge(const Lanes3& v, const Lanes3& e, Lanes t) {
  const Lanes clamped = _mm256_min_ps(_mm256_max_ps(t, _mm256_setzero_ps()), _mm256_set1_ps(1.0F));
  const Lanes3 q = minus(v, times(clamped, e));
  return dot(q, q);
}

HOSEFIT_AVX2 unsigned avx2_box_distances(const Boxes& boxes, const float (&p)[3], float most_d2, Row& d2) {
  Lanes sum = _mm256_setzero_ps();
  for (int k = 0; k < 3; ++k) {
    const Lanes at = _mm256_set1_ps(p[k]);
    const Lanes below = _mm256_sub_ps(_mm256_load_ps(boxes.low[k]), at);
    const Lanes above = _mm256_sub_ps(at, _mm256_load_ps(boxes.high[k]));
    const Lanes off = _mm256_max_ps(_mm256_max_ps(below, above), _mm256_setzero_ps());
    sum = _mm256_add_ps(sum, _mm256_mul_ps(off, off));
  }
  _mm256_storeu_ps(d2, sum);
  const Lanes near = _mm256_cmp_ps(sum, _mm256_set1_ps(most_d2), _CMP_LE_OQ);
  const Lanes used = _mm256_cmp_ps(sum, _mm256_set1_ps(std::numeric_limits<float>::infinity()), _CMP_LT_OQ);
  return static_cast<unsigned>(_mm256_movemask_ps(_mm256_and_ps(near, used)));
}

HOSEFIT_AVX2 unsigned avx2_triangle_distances(const Triangles& t, const float (&p)[3], float most_d2,
                                              Row& d2) {
  const Lanes3 ab = load(t.ab), ac = load(t.ac), bc = minus(ac, ab), n = cross(ab, ac);
  const Lanes3 from_a = minus({_mm256_set1_ps(p[0]), _mm256_set1_ps(p[1]), _mm256_set1_ps(p[2])}, load(t.a));
  const Lanes3 from_b = minus(from_a, ab);
  const Lanes ab2 = dot(ab, ab), ac2 = dot(ac, ac), bc2 = dot(bc, bc), n2 = dot(n, n);
  const Lanes along_ab = _mm256_div_ps(dot(from_a, ab), ab2);
  const Lanes edges = _mm256_min_ps(to_edge(from_a, ab, along_ab),
                                    _mm256_min_ps(to_edge(from_a, ac, _mm256_div_ps(dot(from_a, ac), ac2)),
                                                  to_edge(from_b, bc, _mm256_div_ps(dot(from_b, bc), bc2))));
  const Lanes side = _mm256_min_ps(dot(cross(ab, from_a), n),
                                   _mm256_min_ps(dot(cross(from_a, ac), n), dot(cross(bc, from_b), n)));
  const Lanes height = dot(n, minus(from_a, times(along_ab, ab)));
  const Lanes plane = _mm256_min_ps(_mm256_div_ps(_mm256_mul_ps(height, height), n2), edges);
  const Lanes inside = _mm256_and_ps(_mm256_cmp_ps(side, _mm256_setzero_ps(), _CMP_GE_OQ),
                                     _mm256_cmp_ps(n2, _mm256_set1_ps(kLeastNormal2), _CMP_GT_OQ));
  const Lanes nearest = _mm256_blendv_ps(edges, plane, inside);
  _mm256_storeu_ps(d2, nearest);
  return static_cast<unsigned>(
      _mm256_movemask_ps(_mm256_cmp_ps(nearest, _mm256_set1_ps(most_d2), _CMP_LE_OQ)));
}

constexpr Kernels kAvx2{avx2_box_distances, avx2_triangle_distances, "avx2"};

#endif

}  // namespace

constexpr Kernels kPlain{plain_box_distances, plain_triangle_distances, "plain"};

const Kernels* avx2() {
#ifdef HOSEFIT_HAS_AVX2
  return __builtin_cpu_supports("avx2") ? &kAvx2 : nullptr;
#else
  return nullptr;
#endif
}

const Kernels& best() {
  static const Kernels* const fast = avx2();
  return fast != nullptr ? *fast : kPlain;
}

}  // namespace hosefit::eight
