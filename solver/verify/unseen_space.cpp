// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/verify/unseen_space.h"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <numbers>

#include "solver/verify/gap_proof.h"
#include "solver/verify/piece_measure.h"
#include "solver/verify/place_rules.h"
#include "solver/verify/refusal.h"
#include "solver/verify/scan_skin.h"

namespace hosefit {
namespace {

constexpr int kAround = 4;
constexpr int kClosely = 5;  // lines of sight at every fifth place

// A part of the line that a scan says nothing about.
struct Unseen {
  double from_s_mm, to_s_mm;
  Vec3 where_mm;
  Sight sight;
};

class Looker {
 public:
  Looker(const Bay& bay, const ProofBodies& bodies, ObstacleRef ref)
      : bay_(bay), bodies_(bodies), ref_(ref), skin_(*bodies.skin(ref)) {}

  std::vector<Unseen> along(std::span<const TubeStretch> stretches) {
    for (const TubeStretch& stretch : stretches) {
      if (box_distance_mm(stretch.box, bodies_.box(ref_)) > skin_.across_mm() + stretch.radius_mm) continue;
      const double length = stretch.to_s_mm - stretch.from_s_mm;
      const int steps = std::max(1, static_cast<int>(std::ceil(length / kScanStep_mm)));
      for (int i = 0; i <= steps; ++i) {
        // Links of a line in motion are shorter than a step: every fifth of them.
        closely_ = steps > 1 ? i % kClosely == 0 || i == steps : short_places_++ % kClosely == 0;
        look(stretch, length * i / steps, length / steps);
      }
    }
    return std::move(out_);
  }

 private:
  void look(const TubeStretch& stretch, double s, double step) {
    const Vec3 p = point_at(stretch.piece, s);
    const Sight sight = around(p, direction_at(stretch.piece, s), stretch.radius_mm);
    if (sight == Sight::seen) return;
    // A place speaks for the half step on either side.
    const double length = stretch.to_s_mm - stretch.from_s_mm;
    const Unseen here{stretch.from_s_mm + std::max(0.0, s - step / 2),
                      stretch.from_s_mm + std::min(length, s + step / 2), p, sight};
    if (!out_.empty() && out_.back().sight == sight && here.from_s_mm - out_.back().to_s_mm < 1e-6)
      out_.back().to_s_mm = std::max(out_.back().to_s_mm, here.to_s_mm);
    else
      out_.push_back(here);
  }
  Sight around(const Vec3& middle, const Vec3& along, double radius_mm) const {
    if (!looked_into(bay_, middle)) {
      const Vec3 p = bodies_.own(ref_, middle);
      if (const Sight sight = closely_ ? skin_.at(p) : skin_.between(p); sight != Sight::seen) return sight;
    }
    const Vec3 across = along.unitOrthogonal();
    for (int k = 0; k < kAround; ++k) {
      const double turn = 2 * std::numbers::pi * k / kAround;
      const Vec3 p = middle + radius_mm * (Eigen::AngleAxisd(turn, along) * across);
      if (looked_into(bay_, p)) continue;
      if (const Sight sight = skin_.beside(bodies_.own(ref_, p)); sight != Sight::seen) return sight;
    }
    return Sight::seen;
  }

  const Bay& bay_;
  const ProofBodies& bodies_;
  ObstacleRef ref_;
  const ScanSkin& skin_;
  bool closely_ = true;  // with lines of sight
  int short_places_ = 0;
  std::vector<Unseen> out_;
};

Finding told_of(const Unseen& part, const std::string& line, const Obstacle& scan) {
  Finding finding =
      refused(RuleId::unseen_space, line, part.sight == Sight::behind ? "behind_scan" : "past_scan_edge");
  finding.undecided = true;
  finding.other = scan.name;
  finding.where_mm = part.where_mm;
  finding.measured = part.to_s_mm - part.from_s_mm;
  finding.unit = FindingUnit::mm;
  finding.parameters["from_s_mm"] = told(part.from_s_mm);
  finding.parameters["to_s_mm"] = told(part.to_s_mm);
  return finding;
}

}  // namespace

bool looked_into(const Bay& bay, const Vec3& p_mm) {
  return std::any_of(bay.looked_behind.begin(), bay.looked_behind.end(), [&](const BoxShape& box) {
    return (box.frame.point_inverse(p_mm).cwiseAbs().array() <= box.half_size_mm.array()).all();
  });
}

bool has_scan(const Bay& bay, const ProofBodies& bodies, Carrier carrier) {
  for (std::size_t b = 0; b < bay.bodies.size(); ++b) {
    const Body& body = *bay.bodies[b].body;
    if (body.carrier != carrier) continue;
    for (std::size_t o = 0; o < body.obstacles.size(); ++o)
      if (bodies.skin({b, o}) != nullptr) return true;
  }
  return false;
}

std::vector<Finding> unseen_along(const Bay& bay, const ProofBodies& bodies, Carrier carrier,
                                  std::span<const TubeStretch> stretches, std::size_t line) {
  std::vector<Finding> findings;
  for (std::size_t b = 0; b < bay.bodies.size(); ++b) {
    const Body& body = *bay.bodies[b].body;
    if (body.carrier != carrier) continue;
    for (std::size_t o = 0; o < body.obstacles.size(); ++o) {
      if (bodies.skin({b, o}) == nullptr) continue;
      for (const Unseen& part : Looker(bay, bodies, {b, o}).along(stretches))
        findings.push_back(told_of(part, bay.lines[line].line.name, body.obstacles[o]));
    }
  }
  return findings;
}

std::vector<Finding> check_unseen_space(const Bay& bay, const ProofBodies& bodies, const Tube& tube) {
  std::vector<Finding> findings = unseen_along(bay, bodies, Carrier::chassis, tube.stretches, tube.line);
  std::vector<Finding> on_engine = unseen_along(bay, bodies, Carrier::engine, tube.stretches, tube.line);
  std::move(on_engine.begin(), on_engine.end(), std::back_inserter(findings));
  return findings;
}

}  // namespace hosefit
