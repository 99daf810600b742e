// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "solver/model/bay.h"
#include "solver/model/finding.h"
#include "solver/model/route.h"

/// The independent proof. Shares no code with field/ and route/: closed-form distances for primitives, CGAL's AABB tree
/// for rails and meshes, its own marching. What search proposes and this refuses is never shown as fitting.
namespace hosefit {

struct ProofOptions {
  double tolerance_mm = 0.05;  ///< a gap is proved to be at least required - tolerance, and every place measured at least required
};

/// The least spare gap of one route against one obstacle or one other line.
struct GapRecord {
  std::string other;                  ///< obstacle or line name
  std::optional<ObstacleRef> ref;     ///< empty for a line
  Runner runner = Runner::hose;
  double required_mm = 0, found_mm = 0;   ///< found: surface to surface, upper bound; true value at least found - tolerance
  Vec3 where_mm = Vec3::Zero();           ///< on the centreline
  Provenance provenance;
};

struct LineProof {
  std::size_t line = 0;
  bool proved = false;                ///< every rule held and every gap was proved; only then may it be called fitting
  std::vector<GapRecord> gaps;        ///< ascending by found - required; the tightest first; all within 50 mm spare
  std::vector<Finding> findings;      ///< stops for whatever was refused; undecided ones for unknown space
  std::int64_t distance_queries = 0;
};

struct ProofReport {
  std::vector<LineProof> lines;       ///< one per route given, same order
};

/// Bodies prepared for measuring (trees for rails and meshes, closed-form solids as they are). Immutable, thread-safe.
class ProofBodies {
 public:
  explicit ProofBodies(const Bay& bay);
  ~ProofBodies();
  ProofBodies(ProofBodies&&) noexcept;
  ProofBodies& operator=(ProofBodies&&) noexcept;
  /// Signed distance (negative inside a closed obstacle) from a point of the vehicle frame.
  double distance_mm(ObstacleRef ref, const Vec3& p_mm) const;

 private:
  friend ProofReport prove(const Bay&, const ProofBodies&, std::span<const Route>, const GapTable&, std::span<const Stock>,
                           const ProofOptions&);
  struct Solids;
  std::unique_ptr<const Solids> solids_;
};

/// Proves, at rest, for every route: gap to every obstacle for every straight and arc by subdivision (distance is 1-Lipschitz),
/// the hose over each neck and a clamp housing that finds a free clock position there, line against line, line against itself, least radius
/// / angle / straight-between / lead / length rules of its stock, tangent continuity, ends at the necks, grade, known space.
ProofReport prove(const Bay& bay, const ProofBodies& bodies, std::span<const Route> routes, const GapTable& gaps,
                  std::span<const Stock> stock, const ProofOptions& options);

}  // namespace hosefit
