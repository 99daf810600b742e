// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/verify/gap_proof.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "solver/verify/march.h"
#include "solver/verify/piece_measure.h"
#include "solver/verify/refusal.h"
#include "solver/verify/required_along.h"

namespace hosefit {
namespace {

double spare_mm(const GapRecord& record) {
  return record.found_mm - record.required_mm;
}

AxisBox box_of(const Tube& tube) {
  AxisBox box;
  for (const TubeStretch& stretch : tube.stretches) {
    const Vec3 out = Vec3::Constant(stretch.radius_mm);
    box.extend(stretch.box.min() - out);
    box.extend(stretch.box.max() + out);
  }
  return box;
}

Finding too_near(const GapRecord& record, const std::string& line, bool over_neck) {
  Finding finding =
      below_limit(RuleId::gap, Severity::stop, line, record.found_mm, record.required_mm, FindingUnit::mm);
  finding.other = record.other;
  finding.where_mm = record.where_mm;
  finding.provenance = record.provenance;
  finding.parameters["s_mm"] = told(record.s_mm);
  finding.parameters["runner"] = std::string(word(record.runner));
  finding.parameters["against"] = record.ref ? "obstacle" : "line";
  finding.parameters["part"] = over_neck ? "over_neck" : "run";
  return finding;
}

void keep(GapsMeasured& measured, const GapRecord& record, const std::string& line, bool over_neck) {
  if (spare_mm(record) < -ProofOptions::kRounding_mm)
    measured.findings.push_back(too_near(record, line, over_neck));
  measured.gaps.push_back(record);
}

// The least spare gap so far of one line against one thing.
struct Tightest {
  bool any = false, over_neck = false;
  double proved_spare_mm = std::numeric_limits<double>::infinity();
  GapRecord record;

  double spare_to_beat_mm() const {
    return any ? std::min(ProofOptions::kRecorded_mm, spare_mm(record)) : ProofOptions::kRecorded_mm;
  }
  // True when the stretch became the tightest.
  bool take(const LeastSpare& least, const TubeStretch& stretch, double required_mm,
            const Provenance& provenance) {
    if (least.proved_mm >= spare_to_beat_mm()) return false;
    proved_spare_mm = std::min(proved_spare_mm, least.proved_mm);
    const bool tighter = !any || least.found_mm < spare_mm(record);
    if (tighter) {
      any = true;
      over_neck = stretch.over_neck;
      record.runner = stretch.runner;
      record.required_mm = required_mm;
      record.found_mm = least.found_mm + required_mm;
      record.s_mm = stretch.from_s_mm + least.s_mm;
      record.where_mm = point_at(stretch.piece, least.s_mm);
      record.provenance = provenance;
    }
    record.proved_mm = record.required_mm + proved_spare_mm;
    return tighter;
  }
};

Tightest tightest_to(ObstacleRef ref, const RequiredAlong& required, const ProofBodies& bodies,
                     const Tube& tube, const ProofOptions& options, std::int64_t& queries) {
  Tightest tightest;
  for (const TubeStretch& stretch : tube.stretches) {
    const auto need = required.at(stretch);
    if (!need) continue;
    const double off_mm = stretch.radius_mm + need->gap_mm;
    const double to_beat = tightest.spare_to_beat_mm();
    const double apart = box_distance_mm(stretch.box, bodies.box(ref));
    // Boxes that overlap bound nothing: a stretch may lie as deep in the obstacle as it likes.
    if (apart > 0 && apart - off_mm > to_beat) continue;
    const auto spare = [&](double s) { return bodies.distance_mm(ref, point_at(stretch.piece, s)) - off_mm; };
    const LeastSpare least =
        least_spare(spare, 0, stretch.to_s_mm - stretch.from_s_mm, {options.tolerance_mm, to_beat});
    queries += least.samples;
    tightest.take(least, stretch, need->gap_mm, *need->provenance);
  }
  return tightest;
}

}  // namespace

GapsMeasured gaps_to_obstacles(const Bay& bay, const ProofBodies& bodies, const Tube& tube,
                               const GapTable& gaps, const ProofOptions& options) {
  GapsMeasured measured;
  const BayLine& line = bay.lines[tube.line];
  const AxisBox box = box_of(tube);
  for (std::size_t b = 0; b < bay.bodies.size(); ++b) {
    const Body& body = *bay.bodies[b].body;
    for (std::size_t o = 0; o < body.obstacles.size(); ++o) {
      const RequiredAlong required(bay, gaps, tube.line, {b, o});
      if (box_distance_mm(box, bodies.box({b, o})) > required.most_mm() + ProofOptions::kRecorded_mm)
        continue;
      Tightest tightest = tightest_to({b, o}, required, bodies, tube, options, measured.distance_queries);
      if (!tightest.any) continue;
      tightest.record.other = body.obstacles[o].name;
      tightest.record.ref = ObstacleRef{b, o};
      keep(measured, tightest.record, line.line.name, tightest.over_neck);
    }
  }
  return measured;
}

LinePairMeasured gap_between(const Bay& bay, const Tube& a, const Tube& b, const GapTable& gaps,
                             const ProofOptions& options) {
  const BayLine& line_a = bay.lines[a.line];
  const BayLine& line_b = bay.lines[b.line];
  LinePairMeasured pair;
  Tightest from_a;
  GapRecord from_b;
  for (const TubeStretch& at_a : a.stretches) {
    for (const TubeStretch& at_b : b.stretches) {
      const OwnPart rule = between_on_tee(at_a.on_tee, at_b.on_tee);
      if (rule == OwnPart::does_not_count) continue;
      const GapRow& row = row_between(bay, gaps, a, at_a.runner, b, at_b.runner);
      const double required_mm = rule == OwnPart::must_not_touch ? 0.0 : row.at_rest.mm();
      const double off_mm = at_a.radius_mm + at_b.radius_mm + required_mm;
      const double to_beat = from_a.spare_to_beat_mm();
      if (box_distance_mm(at_a.box, at_b.box) - off_mm > to_beat) continue;
      const auto spare = [&](double s) { return distance_mm(at_b.piece, point_at(at_a.piece, s)) - off_mm; };
      const LeastSpare least =
          least_spare(spare, 0, at_a.to_s_mm - at_a.from_s_mm, {options.tolerance_mm, to_beat});
      pair.first.distance_queries += least.samples;
      if (!from_a.take(least, at_a, required_mm, row.provenance)) continue;
      from_b.where_mm = nearest_point(at_b.piece, from_a.record.where_mm);
      from_b.s_mm = at_b.from_s_mm + nearest_s_mm(at_b.piece, from_a.record.where_mm);
      from_b.runner = at_b.runner;
    }
  }
  if (!from_a.any) return pair;
  GapRecord as_b = from_a.record;
  as_b.where_mm = from_b.where_mm;
  as_b.s_mm = from_b.s_mm;
  as_b.runner = from_b.runner;
  from_a.record.other = line_b.line.name;
  as_b.other = line_a.line.name;
  keep(pair.first, from_a.record, line_a.line.name, false);
  keep(pair.second, as_b, line_b.line.name, false);
  return pair;
}

namespace {

constexpr double kOwnGapWanted_mm =
    6.0;  // as the table's two hoses on one carrier (common practice, no source)
constexpr double kFolded =
    0.55;  // bend radius over outside diameter below which a bend cannot be told from a fold

std::vector<TubeStretch> cut_short(const Tube& tube, double longest_mm) {
  std::vector<TubeStretch> out;
  for (const TubeStretch& stretch : tube.stretches) {
    const double length = stretch.to_s_mm - stretch.from_s_mm;
    const int parts = std::max(1, static_cast<int>(std::ceil(length / longest_mm)));
    for (int k = 0; k < parts; ++k) {
      TubeStretch part = stretch;
      const double a = length * k / parts;
      const double b = length * (k + 1) / parts;
      part.piece = cut(stretch.piece, a, b);
      part.from_s_mm = stretch.from_s_mm + a;
      part.to_s_mm = stretch.from_s_mm + b;
      part.box = bounds(part.piece);
      out.push_back(part);
    }
  }
  return out;
}

Finding self_finding(const Tightest& tightest, const std::string& name) {
  const bool touches = tightest.record.found_mm < -ProofOptions::kRounding_mm;
  Finding finding = below_limit(RuleId::self_gap, touches ? Severity::stop : Severity::flag, name,
                                tightest.record.found_mm, touches ? 0.0 : kOwnGapWanted_mm, FindingUnit::mm);
  finding.where_mm = tightest.record.where_mm;
  finding.parameters["s_mm"] = told(tightest.record.s_mm);
  return finding;
}

}  // namespace

GapsMeasured gap_to_itself(const Bay& bay, const Tube& tube, const ProofOptions& options) {
  GapsMeasured measured;
  double radius = std::numeric_limits<double>::infinity();
  double outside = 0;
  for (const TubeStretch& stretch : tube.stretches) {
    if (const auto* arc = std::get_if<Arc>(&stretch.piece)) radius = std::min(radius, arc->radius_mm());
    outside = std::max(outside, 2 * stretch.radius_mm);
  }
  const double length = tube.stretches.back().to_s_mm - tube.stretches.front().from_s_mm;
  const std::string& name = bay.lines[tube.line].line.name;
  if (radius < kFolded * outside) {
    measured.findings.push_back(
        below_limit(RuleId::self_gap, Severity::stop, name, radius, kFolded * outside, FindingUnit::mm));
    measured.findings.back().parameters["reason"] = "folded";
    return measured;
  }
  const double neighbours_mm = std::numbers::pi * radius;
  if (!(length > neighbours_mm)) return measured;
  const double apart = std::min(outside + kOwnGapWanted_mm, 0.95 * 2 * radius);
  const double near_mm = 2 * radius * std::asin(apart / (2 * radius));
  const std::vector<TubeStretch> parts = cut_short(tube, 0.49 * (neighbours_mm - near_mm));
  Tightest tightest;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    for (std::size_t j = i + 1; j < parts.size(); ++j) {
      if (parts[j].to_s_mm - parts[i].from_s_mm <= neighbours_mm) continue;
      const double off_mm = parts[i].radius_mm + parts[j].radius_mm;
      const double to_beat = std::min(kOwnGapWanted_mm, tightest.spare_to_beat_mm());
      if (box_distance_mm(parts[i].box, parts[j].box) - off_mm > to_beat) continue;
      const auto spare = [&](double s) {
        return distance_mm(parts[j].piece, point_at(parts[i].piece, s)) - off_mm;
      };
      const LeastSpare least =
          least_spare(spare, 0, parts[i].to_s_mm - parts[i].from_s_mm, {options.tolerance_mm, to_beat});
      measured.distance_queries += least.samples;
      tightest.take(least, parts[i], 0.0, {});
    }
  }
  if (tightest.any && tightest.record.found_mm < kOwnGapWanted_mm)
    measured.findings.push_back(self_finding(tightest, name));
  return measured;
}

}  // namespace hosefit
