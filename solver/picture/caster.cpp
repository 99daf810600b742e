// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/picture/caster.h"

#include <embree3/rtcore.h>

#include <algorithm>
#include <array>
#include <cassert>
#include <new>
#include <stdexcept>
#include <tuple>

namespace hosefit {
namespace {

// One thread and one instruction set: the tree and the rounding are the same on every machine of a kind.
constexpr const char* kDevice = "threads=1,isa=sse4.2,set_affinity=0";

constexpr double kFar_mm = 1e6;

struct DeviceEnd {
  void operator()(RTCDevice device) const { rtcReleaseDevice(device); }
};
struct SceneEnd {
  void operator()(RTCScene scene) const { rtcReleaseScene(scene); }
};
struct GeometryEnd {
  void operator()(RTCGeometry geometry) const { rtcReleaseGeometry(geometry); }
};
using Device = std::unique_ptr<RTCDeviceTy, DeviceEnd>;
using RayScene = std::unique_ptr<RTCSceneTy, SceneEnd>;
using Geometry = std::unique_ptr<RTCGeometryTy, GeometryEnd>;

RayScene new_scene(RTCDevice device) {
  RayScene scene(rtcNewScene(device));
  if (!scene) throw std::bad_alloc();
  rtcSetSceneFlags(scene.get(), RTC_SCENE_FLAG_ROBUST);
  return scene;
}

Geometry new_geometry(RTCDevice device, const TriangleMesh& mesh, const Vec3& middle_mm) {
  Geometry geometry(rtcNewGeometry(device, RTC_GEOMETRY_TYPE_TRIANGLE));
  if (!geometry) throw std::bad_alloc();
  auto* corners = static_cast<float*>(rtcSetNewGeometryBuffer(geometry.get(), RTC_BUFFER_TYPE_VERTEX, 0,
                                                              RTC_FORMAT_FLOAT3, 3 * sizeof(float),
                                                              mesh.vertices_mm.size()));
  auto* triangles = static_cast<std::uint32_t*>(
      rtcSetNewGeometryBuffer(geometry.get(), RTC_BUFFER_TYPE_INDEX, 0, RTC_FORMAT_UINT3,
                              3 * sizeof(std::uint32_t), mesh.triangles.size()));
  if (corners == nullptr || triangles == nullptr) throw std::bad_alloc();
  for (const Vec3& v : mesh.vertices_mm)
    for (int axis = 0; axis < 3; ++axis) *corners++ = static_cast<float>(v[axis] - middle_mm[axis]);
  for (const auto& t : mesh.triangles)
    for (const std::uint32_t corner : t) *triangles++ = corner;
  rtcCommitGeometry(geometry.get());
  return geometry;
}

Vec3 middle_of(const Scene& scene) {
  AxisBox box;
  for (const SceneItem& item : scene.items)
    for (const Vec3& v : item.mesh.vertices_mm) box.extend(v);
  return box.isEmpty() ? Vec3(Vec3::Zero()) : Vec3(box.center());
}

RTCRayHit ray_of(const Ray& ray, const Vec3& middle_mm, double from_mm, double to_mm) {
  RTCRayHit out{};
  const Vec3 origin = ray.origin_mm - middle_mm;
  out.ray.org_x = static_cast<float>(origin.x());
  out.ray.org_y = static_cast<float>(origin.y());
  out.ray.org_z = static_cast<float>(origin.z());
  out.ray.dir_x = static_cast<float>(ray.direction.x());
  out.ray.dir_y = static_cast<float>(ray.direction.y());
  out.ray.dir_z = static_cast<float>(ray.direction.z());
  out.ray.tnear = static_cast<float>(from_mm);
  out.ray.tfar = static_cast<float>(to_mm);
  out.ray.mask = 0xFFFFFFFFU;
  out.hit.geomID = RTC_INVALID_GEOMETRY_ID;
  out.hit.instID[0] = RTC_INVALID_GEOMETRY_ID;
  return out;
}

RayHit hit_of(const RTCRayHit& query) {
  const Vec3 normal(query.hit.Ng_x, query.hit.Ng_y, query.hit.Ng_z);
  return {query.hit.geomID, query.hit.primID, query.ray.tfar, query.hit.u, query.hit.v, normal.normalized()};
}

// Every surface along one ray; the filter refuses all, so that the ray goes on.
struct Crossing {
  std::size_t item, triangle;
  float along_mm;
  bool leaves;  // the solid, going along the ray
};
struct CrossingContext {
  RTCIntersectContext context{};
  std::vector<Crossing> crossings;
};
void note_crossing(const RTCFilterFunctionNArguments* arguments) {
  assert(arguments->N == 1);
  auto* into = reinterpret_cast<CrossingContext*>(arguments->context);
  RTCRayN* ray = arguments->ray;
  RTCHitN* hit = arguments->hit;
  const float turn = RTCHitN_Ng_x(hit, 1, 0) * RTCRayN_dir_x(ray, 1, 0) +
                     RTCHitN_Ng_y(hit, 1, 0) * RTCRayN_dir_y(ray, 1, 0) +
                     RTCHitN_Ng_z(hit, 1, 0) * RTCRayN_dir_z(ray, 1, 0);
  into->crossings.push_back(
      {RTCHitN_geomID(hit, 1, 0), RTCHitN_primID(hit, 1, 0), RTCRayN_tfar(ray, 1, 0), turn > 0});
  arguments->valid[0] = 0;
}

// One ray may meet both triangles at an edge, and touching parts of one item meet face to face: surfaces
// this near to each other along the ray count once, and not at all when some go in and some come out.
constexpr float kSamePlace_mm = 0.01F;

// How often the crossings of one item, ascending along the ray, come out more than they go in.
int times_inside(std::span<const Crossing> of_item) {
  int times = 0;
  for (std::size_t i = 0; i < of_item.size();) {
    bool in = false, out = false;
    const float here = of_item[i].along_mm;
    for (; i < of_item.size() && of_item[i].along_mm - here <= kSamePlace_mm; ++i)
      (of_item[i].leaves ? out : in) = true;
    times += int(out) - int(in);
  }
  return times;
}

// Foremost of what a cut shows where solids overlap: a lower number.
int order_of(SceneKind kind) {
  switch (kind) {
    case SceneKind::neck:
      return 0;
    case SceneKind::line:
      return 1;
    case SceneKind::part:
      return 2;
  }
  return 2;
}

}  // namespace

struct Caster::Index {
  Device device;
  Vec3 middle_mm = Vec3::Zero();
  RayScene solid, glass, lines, closed;  // closed: solids with an inside; only when made for cuts
  std::array<bool, 3> any{};             // by Among
  std::vector<SceneKind> kinds;

  const RayScene& scene(Among among) const {
    return among == Among::solid ? solid : among == Among::glass ? glass : lines;
  }
};

Caster::Caster(const Scene& scene, const std::vector<Layer>& layers, bool for_cuts) {
  assert(layers.size() == scene.items.size());
  auto index = std::make_unique<Index>();
  index->device.reset(rtcNewDevice(kDevice));
  if (!index->device) throw std::runtime_error("the ray caster did not start");
  index->middle_mm = middle_of(scene);
  for (RayScene* s : {&index->solid, &index->glass, &index->lines, &index->closed})
    *s = new_scene(index->device.get());
  rtcSetSceneFlags(index->closed.get(), RTC_SCENE_FLAG_ROBUST | RTC_SCENE_FLAG_CONTEXT_FILTER_FUNCTION);
  for (std::size_t i = 0; i < scene.items.size(); ++i) {
    const SceneItem& item = scene.items[i];
    index->kinds.push_back(item.kind);
    if (layers[i] == Layer::hidden || item.mesh.triangles.empty()) continue;
    const Geometry geometry = new_geometry(index->device.get(), item.mesh, index->middle_mm);
    const auto attach = [&](const RayScene& to) {
      rtcAttachGeometryByID(to.get(), geometry.get(), static_cast<unsigned>(i));
    };
    const Among among = layers[i] == Layer::glass ? Among::glass : Among::solid;
    attach(index->scene(among));
    index->any[static_cast<std::size_t>(among)] = true;
    if (for_cuts && among == Among::solid && item.closed) attach(index->closed);
    if (item.kind != SceneKind::line) continue;
    attach(index->lines);
    index->any[static_cast<std::size_t>(Among::lines)] = true;
  }
  for (RayScene* s : {&index->solid, &index->glass, &index->lines, &index->closed}) rtcCommitScene(s->get());
  if (rtcGetDeviceError(index->device.get()) != RTC_ERROR_NONE)
    throw std::runtime_error("the ray caster could not take the scene");
  index_ = std::move(index);
}
Caster::~Caster() = default;
Caster::Caster(Caster&&) noexcept = default;
Caster& Caster::operator=(Caster&&) noexcept = default;

void Caster::first(Among among, std::span<const RayRange> ranges,
                   std::span<std::optional<RayHit>> hits) const {
  assert(ranges.size() == hits.size());
  std::fill(hits.begin(), hits.end(), std::nullopt);
  if (!index_->any[static_cast<std::size_t>(among)]) return;
  std::vector<RTCRayHit> queries;
  std::vector<std::size_t> of;
  for (std::size_t i = 0; i < ranges.size(); ++i) {
    if (!(ranges[i].from_mm < ranges[i].to_mm)) continue;
    queries.push_back(ray_of(ranges[i].ray, index_->middle_mm, ranges[i].from_mm, ranges[i].to_mm));
    of.push_back(i);
  }
  if (queries.empty()) return;
  RTCIntersectContext context;
  rtcInitIntersectContext(&context);
  context.flags = RTC_INTERSECT_CONTEXT_FLAG_COHERENT;
  rtcIntersect1M(index_->scene(among).get(), &context, queries.data(), static_cast<unsigned>(queries.size()),
                 sizeof(RTCRayHit));
  for (std::size_t k = 0; k < queries.size(); ++k)
    if (queries[k].hit.geomID != RTC_INVALID_GEOMETRY_ID) hits[of[k]] = hit_of(queries[k]);
}

std::optional<RayHit> Caster::around(const Vec3& p_mm, const Vec3& direction) const {
  CrossingContext into;
  rtcInitIntersectContext(&into.context);
  into.context.filter = note_crossing;
  alignas(16) RTCRayHit query = ray_of({p_mm, direction}, index_->middle_mm, 0, kFar_mm);
  rtcIntersect1(index_->closed.get(), &into.context, &query);
  std::vector<Crossing>& all = into.crossings;
  std::sort(all.begin(), all.end(), [&](const Crossing& a, const Crossing& b) {
    return std::tuple(order_of(index_->kinds[a.item]), a.item, a.along_mm, a.leaves, a.triangle) <
           std::tuple(order_of(index_->kinds[b.item]), b.item, b.along_mm, b.leaves, b.triangle);
  });
  for (std::size_t from = 0, to = 0; from < all.size(); from = to) {
    while (to < all.size() && all[to].item == all[from].item) ++to;
    const std::span<const Crossing> of_item(all.data() + from, to - from);
    if (times_inside(of_item) <= 0) continue;
    const auto leaves =
        std::find_if(of_item.begin(), of_item.end(), [](const Crossing& c) { return c.leaves; });
    RayHit hit;
    hit.item = leaves->item;
    hit.triangle = leaves->triangle;
    hit.along_mm = leaves->along_mm;
    hit.normal = direction;
    return hit;
  }
  return std::nullopt;
}

std::optional<RayHit> Caster::first_solid(const Ray& ray, double from_mm, double to_mm) const {
  return first_one(Among::solid, {ray, from_mm, to_mm});
}
std::optional<RayHit> Caster::first_glass(const Ray& ray, double from_mm, double to_mm) const {
  return first_one(Among::glass, {ray, from_mm, to_mm});
}
std::optional<RayHit> Caster::first_line(const Ray& ray, double from_mm, double to_mm) const {
  return first_one(Among::lines, {ray, from_mm, to_mm});
}
std::optional<RayHit> Caster::first_one(Among among, const RayRange& range) const {
  if (!(range.from_mm < range.to_mm)) return std::nullopt;
  RTCIntersectContext context;
  rtcInitIntersectContext(&context);
  alignas(16) RTCRayHit query = ray_of(range.ray, index_->middle_mm, range.from_mm, range.to_mm);
  rtcIntersect1(index_->scene(among).get(), &context, &query);
  if (query.hit.geomID == RTC_INVALID_GEOMETRY_ID) return std::nullopt;
  return hit_of(query);
}

}  // namespace hosefit
