// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/decide/part_gaps.h"

#include <algorithm>
#include <array>
#include <iterator>
#include <set>
#include <string>

#include "solver/verify/unseen_parts.h"

namespace hosefit {
namespace {

constexpr std::array kIntakeBodies{BayBody::intake_base, BayBody::intake_stretch, BayBody::intake_top};

bool is_intake(std::size_t body) {
  return body >= index(BayBody::intake_base) && body <= index(BayBody::intake_top);
}
bool is_pump_or_housing(std::size_t body) {
  return body == index(BayBody::pump) || body == index(BayBody::housing);
}

// The whole that a body belongs to: the three bodies of the intake are one part to a fitter.
std::size_t part_of_body(std::size_t body) {
  return is_intake(body) ? index(BayBody::intake_base) : body;
}

// Which of two bodies a fitter would name first: pump, housing, drive, intake, then the vehicle's own.
int naming_order(std::size_t body) {
  switch (static_cast<BayBody>(body)) {
    case BayBody::pump:
      return 0;
    case BayBody::housing:
      return 1;
    case BayBody::drive:
      return 2;
    case BayBody::intake_base:
    case BayBody::intake_stretch:
    case BayBody::intake_top:
      return 3;
    case BayBody::fan:
      return 4;
    default:
      return 5;
  }
}

// The most that any obstacle of `of` may ask of a rigid part on `other`.
double largest_gap_mm(const GapTable& gaps, const Body& of, const Body& other) {
  double largest = 0;
  for (const Obstacle& o : of.obstacles)
    largest =
        std::max(largest, required_gap(gaps, Runner::rigid_part, other.carrier, o, of.carrier).gap.mm());
  return largest;
}

// Belts lie on pulleys by intent; whatever else of a pump comes near a drive is a clash like any other.
bool meant_to_touch(const Bay& bay, ObstacleRef a, ObstacleRef b) {
  const auto is = [](ObstacleRef ref, BayBody body) { return ref.body == index(body); };
  const auto turns = [&](ObstacleRef ref) { return obstacle(bay, ref).hazard == Hazard::belt_or_pulley; };
  return is(a, BayBody::pump) && is(b, BayBody::drive) && turns(a) && turns(b);
}

bool is_moved(const PlacedBody& placed) {
  return placed.pose.rotation != Mat3::Identity() || placed.pose.origin_mm != Vec3::Zero();
}

// What stands where somebody put it, not as written. A tee does, wherever that is.
bool is_put(const Bay& bay, std::size_t body) {
  return is_moved(bay.bodies[body]) || (bay.tee && bay.tee->body == body);
}

// Of the vehicle's own parts, as written, only the fan is measured, and only against the core that it stands
// before.
bool is_vehicles_own(const Bay& bay, ObstacleRef a, ObstacleRef b) {
  const ObstacleRef fan = a.body == index(BayBody::fan) ? a : b, fixed = fan == a ? b : a;
  return fan.body == index(BayBody::fan) && is_of_chassis(fixed.body) && !is_put(bay, fixed.body) &&
         obstacle(bay, fixed).hazard != Hazard::radiator_core;
}

// A neck's own part may touch it wherever the neck is moved along it.
bool neck_grows_out(const Bay& bay, ObstacleRef part, ObstacleRef of) {
  return std::any_of(bay.necks.begin(), bay.necks.end(), [&](const PlacedNeck& neck) {
    return neck.goes_along == part.body && is_own_part(neck, of);
  });
}

void add_neck_pairs(const Bay& bay, std::vector<std::pair<std::size_t, std::size_t>>& pairs) {
  for (std::size_t neck = kFirstNeckBody; neck < bay.bodies.size(); ++neck) {
    for (const BayBody part : {BayBody::pump, BayBody::housing, BayBody::drive, BayBody::intake_base,
                               BayBody::intake_stretch, BayBody::intake_top, BayBody::fan})
      pairs.emplace_back(neck, index(part));
    if (!is_put(bay, neck)) continue;
    for (const BayBody fixed : {BayBody::chassis, BayBody::hood, BayBody::on_engine, BayBody::engine})
      pairs.emplace_back(neck, index(fixed));
    for (std::size_t other = kFirstNeckBody; other < bay.bodies.size(); ++other)
      if (other != neck && (other > neck || !is_put(bay, other))) pairs.emplace_back(neck, other);
  }
}

Finding clash_finding(const Bay& bay, const RigidGap& gap) {
  const bool swap = naming_order(gap.b.body) < naming_order(gap.a.body);
  const ObstacleRef own = swap ? gap.b : gap.a;
  const ObstacleRef other = swap ? gap.a : gap.b;
  const std::string own_part = bay.bodies[own.body].body->name;
  const std::string own_obstacle = obstacle(bay, own).name;

  Finding finding;
  finding.severity = Severity::stop;
  finding.rule = RuleId::rigid_clash;
  finding.subject = own_part;
  if (is_intake(own.body) && other.body == index(BayBody::hood)) {
    finding.rule = RuleId::hood_over_intake;
    finding.subject = own_obstacle;
  } else if (is_pump_or_housing(own.body) && is_intake(other.body)) {
    finding.rule = RuleId::intake_over_pump;
  } else if (own.body == index(BayBody::fan) && obstacle(bay, other).hazard == Hazard::radiator_core) {
    finding.rule = RuleId::fan_to_core;
    finding.subject = own_obstacle;
  }
  finding.other = obstacle(bay, other).name;
  finding.where_mm = gap.where_mm;
  finding.measured = std::max(0.0, gap.distance_mm);  // the depth of an overlap is not measured
  finding.limit = gap.required_mm;
  finding.margin = *finding.measured - gap.required_mm;
  finding.unit = FindingUnit::mm;
  finding.provenance = gap.provenance;
  finding.parameters = {{"obstacle", own_obstacle}, {"part", bay.bodies[other.body].body->name}};
  if (gap.distance_mm <= 0) finding.parameters["overlap"] = "yes";
  finding.undecided = goes_with_a_neck(own) || goes_with_a_neck(other);
  return finding;
}

}  // namespace

std::vector<std::pair<std::size_t, std::size_t>> part_pairs(const Bay& bay) {
  std::vector<std::pair<std::size_t, std::size_t>> pairs;
  const auto add = [&](BayBody a, BayBody b) { pairs.emplace_back(index(a), index(b)); };
  const bool fan_on_engine = bay.bodies[index(BayBody::fan)].body->carrier == Carrier::engine;
  for (const BayBody part : {BayBody::pump, BayBody::housing, BayBody::drive, BayBody::intake_base,
                             BayBody::intake_stretch, BayBody::intake_top}) {
    for (const BayBody fixed : {BayBody::chassis, BayBody::hood, BayBody::on_engine}) add(part, fixed);
    const bool turns_fan = part == BayBody::pump || part == BayBody::drive;
    if (!(fan_on_engine && turns_fan)) add(part, BayBody::fan);
  }
  add(BayBody::pump, BayBody::drive);
  add(BayBody::fan, BayBody::chassis);
  add(BayBody::housing, BayBody::engine);
  add(BayBody::intake_top, BayBody::engine);
  add(BayBody::housing, BayBody::drive);
  for (const BayBody intake : kIntakeBodies)
    for (const BayBody part : {BayBody::pump, BayBody::housing, BayBody::drive}) add(part, intake);
  add_neck_pairs(bay, pairs);
  return pairs;
}

bool matter_to_each_other(const Bay& bay, ObstacleRef a, ObstacleRef b) {
  return !meant_to_touch(bay, a, b) && !is_vehicles_own(bay, a, b) && !neck_grows_out(bay, a, b) &&
         !neck_grows_out(bay, b, a);
}

bool goes_with_a_neck(ObstacleRef ref) {
  return ref.body >= kFirstNeckBody;
}

std::vector<RigidGap> part_gaps(const Bay& bay, ProofStore& store, const GapTable& gaps) {
  return part_gaps(bay, store, gaps, part_pairs(bay));
}

std::vector<RigidGap> part_gaps(const Bay& bay, ProofStore& store, const GapTable& gaps,
                                std::span<const std::pair<std::size_t, std::size_t>> body_pairs) {
  std::vector<RigidGap> out;
  for (const std::pair<std::size_t, std::size_t>& pair : body_pairs) {
    const Body& a = *bay.bodies[pair.first].body;
    const Body& b = *bay.bodies[pair.second].body;
    const double required_mm = std::max(largest_gap_mm(gaps, a, b), largest_gap_mm(gaps, b, a));
    const auto near = rigid_gaps(bay, store, gaps, std::span(&pair, 1), required_mm + kPartsSpareLooked_mm);
    std::copy_if(near.begin(), near.end(), std::back_inserter(out),
                 [&](const RigidGap& gap) { return matter_to_each_other(bay, gap.a, gap.b); });
  }
  std::stable_sort(out.begin(), out.end(), [](const RigidGap& x, const RigidGap& y) {
    return x.distance_mm - x.required_mm < y.distance_mm - y.required_mm;
  });
  return out;
}

bool falls_short(const RigidGap& gap) {
  return gap.distance_mm <= 0 || gap.distance_mm < gap.required_mm;
}

std::vector<Finding> part_findings(const Bay& bay, std::span<const RigidGap> gaps) {
  std::vector<const RigidGap*> tightest_first;
  for (const RigidGap& gap : gaps)
    if (falls_short(gap)) tightest_first.push_back(&gap);
  const auto spare_mm = [](const RigidGap* gap) {
    return std::max(0.0, gap->distance_mm) - gap->required_mm;
  };
  std::stable_sort(tightest_first.begin(), tightest_first.end(),
                   [&](const RigidGap* a, const RigidGap* b) { return spare_mm(a) < spare_mm(b); });
  std::vector<Finding> findings;
  std::set<std::pair<std::size_t, std::size_t>> told;
  for (const RigidGap* gap : tightest_first) {
    // By value: of two arguments it would keep references to what is gone after this line.
    const auto parts = std::minmax({part_of_body(gap->a.body), part_of_body(gap->b.body)});
    if (told.insert(parts).second) findings.push_back(clash_finding(bay, *gap));
  }
  return findings;
}

std::vector<Finding> unseen_findings(const Bay& bay, ProofStore& store) {
  std::vector<std::pair<std::size_t, std::size_t>> pairs = part_pairs(bay);
  // The vehicle's own fan stands where it stood when the vehicle was scanned.
  std::erase_if(pairs, [](const auto& pair) { return pair.first == index(BayBody::fan); });
  std::vector<Finding> findings;
  std::set<std::pair<std::size_t, std::string>> told;
  for (const UnseenPart& part : unseen_parts(bay, store, pairs))
    if (told.insert({part_of_body(part.part.body), obstacle(bay, part.scan).name}).second)
      findings.push_back(unseen_part_finding(bay, part));
  return findings;
}

}  // namespace hosefit
