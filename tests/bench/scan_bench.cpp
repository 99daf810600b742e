// SPDX-License-Identifier: GPL-3.0-or-later
#include <cmath>
#include <cstring>
#include <thread>

#include "solver/base/dice.h"
#include "solver/field/body_field.h"
#include "solver/geometry/mesh_mending.h"
#include "solver/input/fingerprint.h"
#include "solver/input/mesh_file.h"
#include "solver/verify/mesh_distance.h"
#include "solver/verify/proof_bodies.h"
#include "solver/verify/scan_skin.h"
#include "tests/bench/timing.h"

using namespace hosefit;

namespace {

constexpr std::uint32_t kSide = 708;  // 2 * 707^2 = 999698 triangles

template <class Number>
void put(std::string& out, Number value) {
  char raw[sizeof value];
  std::memcpy(raw, &value, sizeof value);
  out.append(raw, sizeof value);
}

// A bay's worth of noisy sheet, each place written once.
std::vector<Eigen::Vector3f> places() {
  Dice dice(RunSeed{5}, 1);
  std::vector<Eigen::Vector3f> out;
  for (std::uint32_t j = 0; j < kSide; ++j)
    for (std::uint32_t i = 0; i < kSide; ++i)
      out.emplace_back(
          static_cast<float>(1.7 * i + dice.between(-0.3, 0.3)),
          static_cast<float>(1.6 * j + dice.between(-0.3, 0.3)),
          static_cast<float>(60 * std::sin(i / 40.0) * std::cos(j / 55.0) + dice.between(-0.7, 0.7)));
  return out;
}
std::vector<std::array<std::uint32_t, 3>> faces() {
  std::vector<std::array<std::uint32_t, 3>> out;
  for (std::uint32_t j = 0; j + 1 < kSide; ++j)
    for (std::uint32_t i = 0; i + 1 < kSide; ++i) {
      const std::uint32_t a = j * kSide + i;
      out.push_back({a, a + 1, a + kSide + 1});
      out.push_back({a, a + kSide + 1, a + kSide});
    }
  return out;
}

std::string as_ply() {
  std::string out = fmt::format(
      "ply\nformat binary_little_endian 1.0\nelement vertex {}\nproperty float x\nproperty float y\nproperty "
      "float z\nelement face {}\nproperty list uchar int vertex_indices\nend_header\n",
      kSide * kSide, 2 * (kSide - 1) * (kSide - 1));
  for (const auto& p : places())
    for (int k = 0; k < 3; ++k) put(out, p[k]);
  for (const auto& t : faces()) {
    out.push_back(3);
    for (const std::uint32_t v : t) put(out, v);
  }
  return out;
}
std::string as_stl() {
  std::string out(80, ' ');
  const auto p = places();
  const auto all = faces();
  put(out, static_cast<std::uint32_t>(all.size()));
  for (const auto& t : all) {
    out.append(12, '\0');
    for (const std::uint32_t v : t)
      for (int k = 0; k < 3; ++k) put(out, p[v][k]);
    out.append(2, '\0');
  }
  return out;
}
std::string as_obj() {
  std::string out;
  for (const auto& p : places()) out += fmt::format("v {:.4f} {:.4f} {:.4f}\n", p.x(), p.y(), p.z());
  for (const auto& t : faces()) out += fmt::format("f {} {} {}\n", t[0] + 1, t[1] + 1, t[2] + 1);
  return out;
}

TriangleMesh read(std::string_view kind, const std::string& bytes) {
  std::variant<TriangleMesh, std::string> mesh;
  row(fmt::format("read {} ({} MB)", kind, bytes.size() >> 20), timed([&] { mesh = read_mesh(bytes, 1.0); }));
  return std::get<TriangleMesh>(std::move(mesh));
}

}  // namespace

void bench_scan() {
  fmt::print("\na scan of a million triangles\n");
  read("text OBJ", as_obj());
  read("binary STL", as_stl());
  const std::string bytes = as_ply();
  const double before_mb = peak_memory_mb();
  TriangleMesh raw = read("binary PLY", bytes);
  row("fingerprint", timed([&] {
        Sha256 sum;
        sum.add(bytes);
      }));
  MendedMesh mended;
  row("mend", timed([&] { mended = mend(std::move(raw)); }), mended.closed ? "closed" : "open");
  Body body{"chassis", Carrier::chassis, {}};
  Obstacle scan;
  scan.name = "scan";
  scan.closed = false;
  scan.shape = MeshShape{"scan.ply", std::make_shared<const TriangleMesh>(std::move(mended.mesh))};
  body.obstacles.push_back(std::move(scan));
  const auto shared = std::make_shared<const Body>(std::move(body));
  std::optional<BodyField> field;
  row("index of the search", timed([&] { field.emplace(*shared, 0.05); }));
  ProofStore store;
  row("tree of the proof", timed([&] { store.distance(shared, 0); }));
  std::shared_ptr<const ScanSkin> skin;
  row("what it has seen: sides, rims, winding", timed([&] { skin = store.skin(shared, 0); }));
  fmt::print("  peak memory of the process {:.0f} MB, {:.0f} MB before this mesh\n", peak_memory_mb(),
             before_mb);
  Dice dice(RunSeed{7}, 1);
  int seen = 0;
  constexpr int kPlaces = 500;
  std::vector<Vec3> at(kPlaces);
  for (Vec3& p : at) p = {dice.between(0, 1200), dice.between(0, 1130), dice.between(-150, 300)};
  const auto look = [&](auto how) {
    return timed([&] {
             for (const Vec3& p : at) seen += (*skin.*how)(p) == Sight::seen ? 1 : 0;
           }).cpu *
           1e3 / kPlaces;
  };
  const double whole = look(&ScanSkin::at);
  const double between = look(&ScanSkin::between);
  const double beside = look(&ScanSkin::beside);
  fmt::print(
      "  seen or not, a place: {:.0f} us, without lines of sight {:.0f} us, by the nearest point {:.0f} us "
      "({} of {} seen)\n",
      whole, between, beside, seen, 3 * kPlaces);
}
