// SPDX-License-Identifier: GPL-3.0-or-later
// The search's index beside CGAL's tree and a ray-tracing kernel's point query: same mesh, same points, same
// run.
#include <embree3/rtcore.h>
#include <malloc.h>

#include <cmath>
#include <limits>
#include <memory>
#include <numbers>

#include "solver/base/dice.h"
#include "solver/field/surface_index.h"
#include "solver/geometry/closest.h"
#include "solver/verify/mesh_distance.h"
#include "tests/bench/timing.h"

using namespace hosefit;

namespace {

// What surface_index.h promises, and floats of the ray-tracing kernel at 1 m.
constexpr double kAgree_mm = 0.002;
constexpr std::size_t kPoints = 20000;
constexpr double kBay_mm = 1000;

// A bay's worth of castings: rough balls and bars of all sizes, stretched, overlapping.
TriangleMesh rough_castings(std::size_t triangles) {
  constexpr int kParts = 60;
  Dice dice(RunSeed{17}, triangles);
  const double of_a_part = static_cast<double>(triangles) / kParts;  // 2 * around * (rings - 1)
  const auto around = static_cast<std::uint32_t>(std::lround(std::sqrt(of_a_part)));
  const auto rings = static_cast<std::uint32_t>(std::lround(of_a_part / (2.0 * around))) + 1;
  TriangleMesh mesh;
  for (int part = 0; part < kParts; ++part) {
    const auto first = static_cast<std::uint32_t>(mesh.vertices_mm.size());
    const Vec3 centre(dice.between(0, kBay_mm), dice.between(0, kBay_mm), dice.between(0, 0.7 * kBay_mm));
    const Vec3 size(dice.between(20, 150), dice.between(20, 90), dice.between(20, 90));
    const double wave = dice.between(3, 9);
    for (std::uint32_t j = 0; j <= rings; ++j)
      for (std::uint32_t i = 0; i < around; ++i) {
        const double turn = 2 * std::numbers::pi * i / around, tilt = std::numbers::pi * j / rings;
        const double bump = 1 + 0.08 * std::sin(wave * turn) * std::sin(wave * tilt) * std::sin(tilt) +
                            0.002 * dice.between(-1, 1);
        const Vec3 out(std::sin(tilt) * std::cos(turn), std::sin(tilt) * std::sin(turn), std::cos(tilt));
        mesh.vertices_mm.emplace_back(centre + bump * out.cwiseProduct(size));
      }
    for (std::uint32_t j = 0; j < rings; ++j)
      for (std::uint32_t i = 0; i < around; ++i) {
        const std::uint32_t a = first + j * around + i, b = first + j * around + (i + 1) % around;
        if (j > 0) mesh.triangles.push_back({a, a + around, b});
        if (j + 1 < rings) mesh.triangles.push_back({b, a + around, b + around});
      }
  }
  return mesh;
}

double in_use_mb() {
  const struct mallinfo2 info = mallinfo2();
  return static_cast<double>(info.uordblks + info.hblkhd) / 1048576.0;
}

// The kernel's point query, with a callback in double precision that shrinks the ball to the triangle asked
// of.
class KernelQuery {
 public:
  explicit KernelQuery(const TriangleMesh& mesh)
      : mesh_(mesh),
        middle_(bounds(mesh).center()),
        device_(rtcNewDevice("threads=1,set_affinity=0"), rtcReleaseDevice),
        scene_(nullptr, rtcReleaseScene) {
    rtcSetDeviceMemoryMonitorFunction(device_.get(), count_bytes, &bytes_);
    scene_.reset(rtcNewScene(device_.get()));
    RTCGeometry geometry = rtcNewGeometry(device_.get(), RTC_GEOMETRY_TYPE_TRIANGLE);
    auto* corners = static_cast<float*>(rtcSetNewGeometryBuffer(
        geometry, RTC_BUFFER_TYPE_VERTEX, 0, RTC_FORMAT_FLOAT3, 3 * sizeof(float), mesh.vertices_mm.size()));
    auto* indices = static_cast<std::uint32_t*>(
        rtcSetNewGeometryBuffer(geometry, RTC_BUFFER_TYPE_INDEX, 0, RTC_FORMAT_UINT3,
                                3 * sizeof(std::uint32_t), mesh.triangles.size()));
    for (const Vec3& v : mesh.vertices_mm)
      for (int k = 0; k < 3; ++k) *corners++ = static_cast<float>(v[k] - middle_[k]);
    for (const auto& t : mesh.triangles)
      for (const std::uint32_t v : t) *indices++ = v;
    rtcSetGeometryPointQueryFunction(geometry, nearer);
    rtcCommitGeometry(geometry);
    rtcAttachGeometry(scene_.get(), geometry);
    rtcReleaseGeometry(geometry);
    rtcCommitScene(scene_.get());
  }

  double distance_mm(const Vec3& p_mm) const {
    Wanted wanted{&mesh_, p_mm, std::numeric_limits<double>::infinity()};
    RTCPointQuery query{};
    query.x = static_cast<float>(p_mm.x() - middle_.x());
    query.y = static_cast<float>(p_mm.y() - middle_.y());
    query.z = static_cast<float>(p_mm.z() - middle_.z());
    query.radius = std::numeric_limits<float>::infinity();
    RTCPointQueryContext context;
    rtcInitPointQueryContext(&context);
    rtcPointQuery(scene_.get(), &query, &context, nullptr, &wanted);
    return wanted.distance_mm;
  }
  double megabytes() const { return static_cast<double>(bytes_) / 1048576.0; }

 private:
  struct Wanted {
    const TriangleMesh* mesh;
    Vec3 at_mm;
    double distance_mm;
  };
  static bool count_bytes(void* sum, ssize_t bytes, bool /*post*/) {
    *static_cast<ssize_t*>(sum) += bytes;
    return true;
  }
  static bool nearer(RTCPointQueryFunctionArguments* asked) {
    auto& wanted = *static_cast<Wanted*>(asked->userPtr);
    const auto& t = wanted.mesh->triangles[asked->primID];
    const auto& v = wanted.mesh->vertices_mm;
    const double distance =
        (closest_on_triangle(wanted.at_mm, v[t[0]], v[t[1]], v[t[2]]).point_mm - wanted.at_mm).norm();
    if (distance >= wanted.distance_mm) return false;
    wanted.distance_mm = distance;
    // A little more than that: the boxes are floats.
    asked->query->radius = static_cast<float>(distance * (1 + 1e-6) + 1e-4);
    return true;
  }

  ssize_t bytes_ = 0;
  const TriangleMesh& mesh_;
  Vec3 middle_;
  std::unique_ptr<RTCDeviceTy, void (*)(RTCDevice)> device_;
  std::unique_ptr<RTCSceneTy, void (*)(RTCScene)> scene_;
};

struct Places {
  std::vector<Vec3> near, free;  // within 30 mm of a corner of the surface; anywhere in the bay
};
Places places(const TriangleMesh& mesh) {
  Dice dice(RunSeed{3}, 1);
  Places out;
  const AxisBox box = bounds(mesh);
  for (std::size_t i = 0; i < kPoints; ++i) {
    const Vec3& v = mesh.vertices_mm[dice.below(mesh.vertices_mm.size())];
    const Vec3 off(dice.between(-1, 1), dice.between(-1, 1), dice.between(-1, 1));
    out.near.emplace_back(v + 17 * off);
    Vec3 p;
    for (int k = 0; k < 3; ++k) p[k] = dice.between(box.min()[k], box.max()[k]);
    out.free.push_back(p);
  }
  return out;
}

template <class Ask>
double ns_a_query(const std::vector<Vec3>& points, std::vector<double>& answers, const Ask& ask) {
  answers.resize(points.size());
  for (std::size_t i = 0; i < points.size() / 10; ++i) answers[i] = ask(points[i]);  // caches
  const Timed t = timed([&] {
    for (std::size_t i = 0; i < points.size(); ++i) answers[i] = ask(points[i]);
  });
  return t.cpu * 1e6 / static_cast<double>(points.size());
}

struct Figures {
  double build_ms = 0, bytes_a_triangle = 0, near_ns = 0, free_ns = 0;
  std::vector<double> near, free;  // answers
  template <class Ask>
  void ask_all(const Places& at, const Ask& ask) {
    near_ns = ns_a_query(at.near, near, ask);
    free_ns = ns_a_query(at.free, free, ask);
  }
  double furthest_from(const Figures& other) const {
    double worst = 0;
    for (std::size_t i = 0; i < near.size(); ++i)
      worst = std::max({worst, std::abs(near[i] - other.near[i]), std::abs(free[i] - other.free[i])});
    return worst;
  }
  void print(std::size_t triangles, const char* who, const std::string& note) const {
    fmt::print("  {:>9} {:<8} {:>9.2f} s {:>8.0f} {:>10.0f} {:>10.0f}  {}\n", triangles, who, build_ms * 1e-3,
               bytes_a_triangle, near_ns, free_ns, note);
  }
};

bool compare(std::size_t wanted) {
  const auto mesh = std::make_shared<const TriangleMesh>(rough_castings(wanted));
  const std::size_t triangles = mesh->triangles.size();
  const Places at = places(*mesh);
  const double per_triangle = 1048576.0 / static_cast<double>(triangles);
  Figures own, bounded, cgal, kernel;
  const Threads all = Threads::of_machine();
  double together_s = 0;
  {
    TriangleMesh copy = *mesh;  // copied before the clock starts
    together_s = timed([&] { const SurfaceIndex index(std::move(copy), false, all); }).wall * 1e-3;
  }
  {
    const double before = in_use_mb();
    std::optional<SurfaceIndex> index;
    TriangleMesh copy = *mesh;
    own.build_ms = timed([&] { index.emplace(std::move(copy), false); }).cpu;
    own.bytes_a_triangle = (in_use_mb() - before) * per_triangle;
    own.ask_all(at, [&](const Vec3& p) { return index->nearest(p)->distance_mm; });
    bounded.ask_all(at, [&](const Vec3& p) {
      const auto hit = index->nearest(p, 25.0);
      return hit ? hit->distance_mm : 25.0;
    });
  }
  {
    const double before = in_use_mb();
    std::optional<MeshDistance> tree;
    cgal.build_ms = timed([&] { tree.emplace(mesh, MeshDistance::Inside::empty); }).cpu;
    cgal.bytes_a_triangle = (in_use_mb() - before) * per_triangle;
    cgal.ask_all(at, [&](const Vec3& p) { return tree->signed_distance_mm(p); });
  }
  {
    std::unique_ptr<const KernelQuery> query;
    kernel.build_ms = timed([&] { query = std::make_unique<const KernelQuery>(*mesh); }).cpu;
    kernel.bytes_a_triangle = query->megabytes() * per_triangle;
    kernel.ask_all(at, [&](const Vec3& p) { return query->distance_mm(p); });
  }
  const double off_cgal = own.furthest_from(cgal), off_kernel = own.furthest_from(kernel);
  own.print(triangles, "index",
            fmt::format("{} threads: {:.2f} s wall; within 25 mm only: {:.0f} near, {:.0f} free", all.count,
                        together_s, bounded.near_ns, bounded.free_ns));
  cgal.print(triangles, "CGAL",
             fmt::format("ratio {:.1f} near, {:.1f} free; differs by {:.6f} mm at most",
                         cgal.near_ns / own.near_ns, cgal.free_ns / own.free_ns, off_cgal));
  kernel.print(triangles, "Embree",
               fmt::format("ratio {:.1f} near, {:.1f} free; differs by {:.6f} mm at most",
                           kernel.near_ns / own.near_ns, kernel.free_ns / own.free_ns, off_kernel));
  if (off_cgal <= kAgree_mm && off_kernel <= kAgree_mm) return true;
  fmt::print("  they differ by more than {} mm\n", kAgree_mm);
  return false;
}

}  // namespace

bool bench_distances(std::size_t most_triangles) {
  fmt::print(
      "\nnearest distances to rough castings in a bay of 1 m: same mesh, same {} + {} points, one thread\n",
      kPoints, kPoints);
  fmt::print("  {:>9} {:<8} {:>11} {:>8} {:>10} {:>10}\n", "triangles", "", "build CPU", "B/tri", "near ns",
             "free ns");
  bool agree = true;
  for (std::size_t n = 10'000; n <= most_triangles; n *= 10) {
    agree = compare(n) && agree;
    std::fflush(stdout);
  }
  fmt::print(
      "  near: within 30 mm of a corner of the surface; free: anywhere. Embree: plain callback in doubles "
      "per "
      "triangle, its bytes\n  with its copy of the mesh. peak memory of the process {:.0f} MB\n",
      peak_memory_mb());
  return agree;
}
