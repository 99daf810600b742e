// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/verify/unseen_parts.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <set>

#include "solver/geometry/shape.h"
#include "solver/verify/refusal.h"
#include "solver/verify/unseen_space.h"

namespace hosefit {
namespace {

constexpr double kApart_mm = 40.0;
constexpr double kOvershoot_mm = 1.0;
constexpr int kClosely = 5;

// Places all over a surface, no further from each other than kApart_mm along a face and, where many corners
// meet, one for each cube of half that size.
std::vector<Vec3> places_on(const Shape& shape) {
  const TriangleMesh mesh = tessellate(shape, kOvershoot_mm);
  std::set<std::array<long, 3>> taken;
  std::vector<Vec3> out;
  for (const auto& corner : mesh.triangles) {
    const Vec3& a = mesh.vertices_mm[corner[0]];
    const Vec3& b = mesh.vertices_mm[corner[1]];
    const Vec3& c = mesh.vertices_mm[corner[2]];
    const double longest = std::max({(b - a).norm(), (c - a).norm(), (c - b).norm()});
    const int parts = std::max(1, static_cast<int>(std::ceil(longest / kApart_mm)));
    for (int i = 0; i <= parts; ++i)
      for (int j = 0; i + j <= parts; ++j) {
        const Vec3 p = a + (i * (b - a) + j * (c - a)) / parts;
        const std::array<long, 3> cube{std::lround(2 * p.x() / kApart_mm), std::lround(2 * p.y() / kApart_mm),
                                       std::lround(2 * p.z() / kApart_mm)};
        if (taken.insert(cube).second) out.push_back(p);
      }
  }
  return out;
}

class PartLooker {
 public:
  PartLooker(const Bay& bay, ProofStore& store, const Pose& engine_moved)
      : bay_(bay), store_(store), moved_(engine_moved) {}

  // Every obstacle of `part` against every scan of `scanned`.
  void look(std::size_t part, std::size_t scanned, std::vector<UnseenPart>& out) const {
    const auto& of = bay_.bodies[scanned].body;
    for (std::size_t s = 0; s < of->obstacles.size(); ++s) {
      if (store_.skin(of, s) == nullptr) continue;
      for (std::size_t o = 0; o < bay_.bodies[part].body->obstacles.size(); ++o)
        if (auto found = first_unseen({part, o}, {scanned, s})) out.push_back(*found);
    }
  }

 private:
  Pose placed(std::size_t body) const {
    const PlacedBody& b = bay_.bodies[body];
    return b.body->carrier == Carrier::engine ? moved_ * b.pose : b.pose;
  }

  std::optional<UnseenPart> first_unseen(ObstacleRef part, ObstacleRef scan) const {
    const Pose here = placed(part.body);
    const auto unseen = store_.unseen(bay_.bodies[part.body].body, part.obstacle, bay_.bodies[scan.body].body,
                                      scan.obstacle, inverse(placed(scan.body)) * here);
    for (const UnseenPlace& place : *unseen)
      if (const Vec3 p = here.point(place.at_mm); !looked_into(bay_, p))
        return UnseenPart{part, scan, place.sight, p};
    return std::nullopt;
  }

  const Bay& bay_;
  ProofStore& store_;
  Pose moved_;
};

}  // namespace

ObstacleRef UnseenPart::on_engine(const Bay& bay) const {
  const auto carrier = [&](ObstacleRef ref) { return bay.bodies[ref.body].body->carrier; };
  return carrier(scan) == Carrier::engine && carrier(part) != Carrier::engine ? scan : part;
}

std::vector<UnseenPlace> unseen_places(const Shape& part, const ScanSkin& skin, const Pose& part_in_scan) {
  std::vector<UnseenPlace> out;
  int count = 0;
  for (const Vec3& own : places_on(part)) {
    const Vec3 p = part_in_scan.point(own);
    const Sight sight = count++ % kClosely == 0 ? skin.at(p) : skin.between(p);
    if (sight != Sight::seen) out.push_back({own, sight});
  }
  return out;
}

std::vector<UnseenPart> unseen_parts(const Bay& bay, ProofStore& store,
                                     std::span<const std::pair<std::size_t, std::size_t>> body_pairs,
                                     const Pose& engine_moved) {
  std::vector<UnseenPart> out;
  const PartLooker looker(bay, store, engine_moved);
  for (const auto& [a, b] : body_pairs) {
    looker.look(a, b, out);
    looker.look(b, a, out);
  }
  return out;
}

Finding unseen_part_finding(const Bay& bay, const UnseenPart& part) {
  Finding finding = refused(RuleId::unseen_space, bay.bodies[part.part.body].body->name,
                            part.sight == Sight::behind ? "behind_scan" : "past_scan_edge");
  finding.undecided = true;
  finding.other = obstacle(bay, part.scan).name;
  finding.where_mm = part.where_mm;
  finding.parameters["obstacle"] = obstacle(bay, part.part).name;
  return finding;
}

}  // namespace hosefit
