// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/picture/caster.h"

#include <embree3/rtcore.h>

#include <cassert>
#include <new>
#include <stdexcept>

namespace hosefit {
namespace {

// One thread and one instruction set: the tree and the rounding are the same on every machine of a kind.
constexpr const char* kDevice = "threads=1,isa=sse4.2,set_affinity=0";

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

}  // namespace

struct Caster::Index {
  Device device;
  Vec3 middle_mm = Vec3::Zero();
  RayScene solid, glass, lines;

  std::optional<RayHit> first(const RayScene& scene, const Ray& ray, double from_mm, double to_mm) const {
    if (!(from_mm < to_mm)) return std::nullopt;
    RTCIntersectContext context;
    rtcInitIntersectContext(&context);
    context.flags = RTC_INTERSECT_CONTEXT_FLAG_COHERENT;
    alignas(16) RTCRayHit query = ray_of(ray, middle_mm, from_mm, to_mm);
    rtcIntersect1(scene.get(), &context, &query);
    if (query.hit.geomID == RTC_INVALID_GEOMETRY_ID) return std::nullopt;
    const Vec3 normal(query.hit.Ng_x, query.hit.Ng_y, query.hit.Ng_z);
    return RayHit{query.hit.geomID, query.hit.primID, query.ray.tfar,
                  query.hit.u,      query.hit.v,      normal.normalized()};
  }
};

Caster::Caster(const Scene& scene, const std::vector<Layer>& layers) {
  assert(layers.size() == scene.items.size());
  auto index = std::make_unique<Index>();
  index->device.reset(rtcNewDevice(kDevice));
  if (!index->device) throw std::runtime_error("the ray caster did not start");
  index->middle_mm = middle_of(scene);
  for (RayScene* s : {&index->solid, &index->glass, &index->lines}) *s = new_scene(index->device.get());
  for (std::size_t i = 0; i < scene.items.size(); ++i) {
    const SceneItem& item = scene.items[i];
    if (layers[i] == Layer::hidden || item.mesh.triangles.empty()) continue;
    const Geometry geometry = new_geometry(index->device.get(), item.mesh, index->middle_mm);
    const auto id = static_cast<unsigned>(i);
    const RayScene& in = layers[i] == Layer::glass ? index->glass : index->solid;
    rtcAttachGeometryByID(in.get(), geometry.get(), id);
    if (item.kind == SceneKind::line) rtcAttachGeometryByID(index->lines.get(), geometry.get(), id);
  }
  for (RayScene* s : {&index->solid, &index->glass, &index->lines}) rtcCommitScene(s->get());
  if (rtcGetDeviceError(index->device.get()) != RTC_ERROR_NONE)
    throw std::runtime_error("the ray caster could not take the scene");
  index_ = std::move(index);
}
Caster::~Caster() = default;
Caster::Caster(Caster&&) noexcept = default;
Caster& Caster::operator=(Caster&&) noexcept = default;

std::optional<RayHit> Caster::first_solid(const Ray& ray, double from_mm, double to_mm) const {
  return index_->first(index_->solid, ray, from_mm, to_mm);
}
std::optional<RayHit> Caster::first_glass(const Ray& ray, double from_mm, double to_mm) const {
  return index_->first(index_->glass, ray, from_mm, to_mm);
}
std::optional<RayHit> Caster::first_line(const Ray& ray, double from_mm, double to_mm) const {
  return index_->first(index_->lines, ray, from_mm, to_mm);
}

}  // namespace hosefit
