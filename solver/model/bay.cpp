// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/model/bay.h"

#include <algorithm>
#include <cassert>
#include <map>
#include <mutex>

namespace hosefit {
namespace {

std::shared_ptr<const Body> body_of(std::string name, std::vector<Obstacle> obstacles) {
  return std::make_shared<const Body>(Body{std::move(name), Carrier::engine, std::move(obstacles)});
}

// Stretch boxes keep their lower face; their upper face follows the top.
std::shared_ptr<const Body> stretched(const Intake& intake, Length height) {
  const double rise_mm = (height - intake.drawn_height).mm();
  std::vector<Obstacle> obstacles = intake.stretch;
  for (Obstacle& o : obstacles) {
    BoxShape& box = std::get<BoxShape>(o.shape);
    box.half_size_mm.z() += rise_mm / 2;
    box.frame.origin_mm.z() += rise_mm / 2;
  }
  std::erase_if(obstacles,
                [](const Obstacle& o) { return std::get<BoxShape>(o.shape).half_size_mm.z() <= 0; });
  return body_of("intake " + intake.name, std::move(obstacles));
}

void add_own_part(const Neck& neck, const Body& body, std::size_t body_index, PlacedNeck& out) {
  for (std::size_t i = 0; i < body.obstacles.size(); ++i)
    if (std::find(neck.on.begin(), neck.on.end(), body.obstacles[i].name) != neck.on.end())
      out.own_part.push_back({body_index, i});
}

PlacedNeck placed(const Neck& neck, const std::string& name, const PlacedBody& on, std::size_t body_index) {
  PlacedNeck out;
  out.name = name;
  out.end_mm = on.pose.point(neck.end_mm.value);
  out.outward = on.pose.direction(neck.outward).normalized();
  out.outside_diameter = neck.outside_diameter;
  out.bore = neck.bore;
  out.straight = neck.straight;
  out.bead = neck.bead;
  out.body = body_index;
  out.carrier = on.body->carrier;
  out.method = neck.end_mm.method;
  out.accuracy = neck.end_mm.accuracy;
  add_own_part(neck, *on.body, body_index, out);
  return out;
}

// The chassis without what goes along with necks, and that for each of them.
std::shared_ptr<const Body> without_parts(const Vehicle& vehicle, std::vector<ChosenNeck>& necks) {
  const auto goes_along = [](const Neck& neck, const Obstacle& o) {
    return std::find(neck.choice->with.begin(), neck.choice->with.end(), o.name) != neck.choice->with.end();
  };
  std::vector<Obstacle> stay = vehicle.chassis->obstacles;
  for (std::size_t i = 0; i < vehicle.necks.size(); ++i) {
    const Neck& neck = vehicle.necks[i];
    if (!neck.choice) continue;
    std::vector<Obstacle> parts;
    for (const Obstacle& o : vehicle.chassis->obstacles)
      if (goes_along(neck, o)) parts.push_back(o);
    std::erase_if(stay, [&](const Obstacle& o) { return goes_along(neck, o); });
    necks.push_back({i, std::make_shared<const Body>(Body{vehicle.chassis->name, Carrier::chassis, parts}),
                     places_of(neck)});
  }
  if (stay.size() == vehicle.chassis->obstacles.size()) return vehicle.chassis;
  return std::make_shared<const Body>(Body{vehicle.chassis->name, Carrier::chassis, std::move(stay)});
}

// Bay::necks begins with those of the vehicle.
void move_necks(const std::vector<ChosenNeck>& chosen, const Vehicle& vehicle, const Candidate& candidate,
                Bay& bay) {
  for (std::size_t i = 0; i < chosen.size(); ++i) {
    const Pose& moved = place_of(chosen[i], candidate, i).moved;
    const std::size_t body = kFirstNeckBody + i;
    bay.bodies.push_back({chosen[i].parts, moved});
    PlacedNeck& neck = bay.necks[chosen[i].neck];
    neck.end_mm = moved.point(neck.end_mm);
    neck.outward = moved.direction(neck.outward);
    neck.goes_along = body;
    for (std::size_t of = 0; of < vehicle.necks.size(); ++of)
      add_own_part(vehicle.necks[of], *chosen[i].parts, body, bay.necks[of]);
  }
}

std::size_t neck_index(const std::vector<PlacedNeck>& necks, const std::string& name) {
  const auto it =
      std::find_if(necks.begin(), necks.end(), [&](const PlacedNeck& n) { return n.name == name; });
  assert(it != necks.end());  // names are resolved when the job is read
  return static_cast<std::size_t>(it - necks.begin());
}

Carrier carrier_of_neck(const Vehicle& vehicle, const std::string& name) {
  const bool on_chassis = std::any_of(vehicle.necks.begin(), vehicle.necks.end(),
                                      [&](const Neck& neck) { return neck.name == name; });
  return on_chassis ? Carrier::chassis : Carrier::engine;
}
// Where all three hoses of a tee end on one carrier, it goes with that.
bool tee_floats(const Vehicle& vehicle) {
  const Tee& tee = *vehicle.tee;
  const Line& branch = vehicle.lines[tee.branch_line];
  const bool starts = branch.from == tee_neck_name(tee.name, TeeNeck::branch);
  const Carrier one = carrier_of_neck(vehicle, tee.whole.from);
  return one != carrier_of_neck(vehicle, tee.whole.to) ||
         one != carrier_of_neck(vehicle, starts ? branch.to : branch.from);
}
Carrier tee_carrier(const Vehicle& vehicle) {
  return tee_floats(vehicle) ? Carrier::chassis : carrier_of_neck(vehicle, vehicle.tee->whole.from);
}

// The last body of the bay, and the last necks.
void add_tee(const Job& job, const BodyStore& store, const Candidate& candidate, Bay& bay) {
  static const auto nothing = std::make_shared<const Body>(Body{"tee", Carrier::chassis, {}});
  const Tee& tee = *job.vehicle.tee;
  PlacedTee placed_tee{
      bay.bodies.size(),       bay.necks.size(),       tee.before, tee.after, tee.branch_line,
      !candidate.tees.empty(), tee_floats(job.vehicle)};
  const Pose pose = !candidate.tees.empty() ? tee_pose(candidate.tees.front()) : Pose{};
  bay.bodies.push_back({!candidate.tees.empty() ? store.tee() : nothing, pose});
  for (const Neck& neck : tee_necks(tee)) {
    bay.necks.push_back(placed(neck, neck.name, bay.bodies.back(), placed_tee.body));
    bay.necks.back().carrier = store.tee()->carrier;
  }
  bay.tee = placed_tee;
}

LineCarrier carrier_of(Carrier a, Carrier b) {
  if (a != b) return LineCarrier::both;
  return a == Carrier::chassis ? LineCarrier::chassis : LineCarrier::engine;
}

}  // namespace

std::string_view word(Rotation r) {
  return r == Rotation::clockwise ? "clockwise" : "counterclockwise";
}
std::string_view word(BeltContact c) {
  return c == BeltContact::grooved_side ? "grooved_side" : "back_side";
}
std::string_view word(SeatPlace p) {
  return p == SeatPlace::outlet ? "outlet" : "inlet";
}
std::string_view word(Mounts m) {
  switch (m) {
    case Mounts::rubber:
      return "rubber";
    case Mounts::firm:
      return "firm";
    case Mounts::solid:
      return "solid";
  }
  return "";
}

const Obstacle& obstacle(const Bay& bay, ObstacleRef ref) {
  return bay.bodies[ref.body].body->obstacles[ref.obstacle];
}

bool in_known_space(const Bay& bay, const Vec3& p_mm) {
  return std::any_of(bay.known_space.begin(), bay.known_space.end(), [&](const BoxShape& box) {
    const Vec3 p = box.frame.point_inverse(p_mm).cwiseAbs();
    return (p.array() <= box.half_size_mm.array()).all();
  });
}

Pose engine_pose(const Vehicle& vehicle) {
  // X points rearward, so lifting the front (-X) end turns Z towards +X: a right-handed turn about +Y.
  Pose pose;
  pose.rotation = Eigen::AngleAxisd(vehicle.engine_tilt.rad(), Vec3::UnitY()).toRotationMatrix();
  pose.origin_mm = vehicle.engine_at_mm.value;
  return pose;
}

struct BodyStore::Stretches {
  std::mutex mutex;
  std::map<std::pair<std::size_t, double>, std::shared_ptr<const Body>> by_height;
};

BodyStore::BodyStore(const Job& job) : job_(&job), stretches_(std::make_shared<Stretches>()) {
  chassis_ = without_parts(job.vehicle, chosen_necks_);
  if (const std::optional<Tee>& tee = job.vehicle.tee)
    tee_ = std::make_shared<const Body>(Body{tee->name, tee_carrier(job.vehicle), tee_obstacles(*tee)});
  for (const Intake& intake : job.family.intakes) {
    base_.push_back(body_of("intake " + intake.name, intake.base));
    top_.push_back(body_of("intake " + intake.name, intake.top));
  }
}

std::shared_ptr<const Body> BodyStore::intake_stretch(std::size_t intake, Length height) const {
  const std::scoped_lock lock(stretches_->mutex);
  std::shared_ptr<const Body>& body = stretches_->by_height[{intake, height.mm()}];
  if (!body) body = stretched(job_->family.intakes[intake], height);
  return body;
}

const NeckPlace& place_of(const ChosenNeck& chosen, const Candidate& candidate, std::size_t which) {
  return chosen.places[candidate.neck_places.empty() ? 0 : candidate.neck_places[which]];
}

bool necks_as_written(const Candidate& candidate) {
  return std::all_of(candidate.neck_places.begin(), candidate.neck_places.end(),
                     [](std::size_t place) { return place == 0; });
}

bool same_parts(const Candidate& a, const Candidate& b) {
  Candidate there = b;
  there.neck_places = a.neck_places;
  there.tees = a.tees;
  return a == there;
}

bool has_its_places(const BodyStore& store, const Candidate& candidate) {
  const std::vector<ChosenNeck>& necks = store.chosen_necks();
  if (candidate.tees.size() > (store.tee() ? 1U : 0U)) return false;
  if (candidate.neck_places.empty()) return true;
  if (candidate.neck_places.size() != necks.size()) return false;
  for (std::size_t i = 0; i < necks.size(); ++i)
    if (candidate.neck_places[i] >= necks[i].places.size()) return false;
  return true;
}

bool is_own_part(const PlacedNeck& neck, ObstacleRef ref) {
  return std::find(neck.own_part.begin(), neck.own_part.end(), ref) != neck.own_part.end();
}

Bay assemble(const Job& job, const BodyStore& store, const Candidate& candidate) {
  const Vehicle& vehicle = job.vehicle;
  const Pump& pump = job.family.pumps[candidate.pump];
  const Housing& housing = job.family.housings[candidate.housing];
  const Intake& intake = job.family.intakes[candidate.intake];
  const Pose engine = engine_pose(vehicle);
  const Pose clocked{
      Eigen::AngleAxisd(housing.clocks[candidate.clock].rad(), Vec3::UnitZ()).toRotationMatrix(),
      Vec3::Zero()};
  const Pose top = Pose::translation({0, 0, (candidate.height - intake.drawn_height).mm()});

  Bay bay;
  bay.known_space = vehicle.known_space;
  bay.looked_behind = vehicle.looked_behind;
  bay.bodies = {{store.chassis(), Pose{}},
                {vehicle.hood, Pose{}},
                {vehicle.fan, vehicle.fan->carrier == Carrier::engine ? engine : Pose{}},
                {vehicle.on_engine, engine},
                {job.family.engine.body, engine},
                {job.family.drives[candidate.drive].body, engine},
                {pump.body, engine},
                {housing.body, engine * pump.seat.frame * clocked},
                {store.intake_base(candidate.intake), engine},
                {store.intake_stretch(candidate.intake, candidate.height), engine},
                {store.intake_top(candidate.intake), engine * top}};

  const auto add = [&](const Neck& neck, const std::string& name, BayBody on) {
    bay.necks.push_back(placed(neck, name, bay.bodies[index(on)], index(on)));
  };
  for (const Neck& neck : vehicle.necks) add(neck, neck.name, BayBody::chassis);
  move_necks(store.chosen_necks(), vehicle, candidate, bay);
  for (const Neck& neck : job.family.engine.necks) add(neck, neck.name, BayBody::engine);
  for (const Neck& neck : pump.necks) add(neck, neck.name, BayBody::pump);
  add(housing.neck, pump.seat.place == SeatPlace::outlet ? "pump.outlet" : "pump.inlet", BayBody::housing);

  if (vehicle.tee) add_tee(job, store, candidate, bay);

  for (const Line& line : vehicle.lines) {
    const std::size_t from = neck_index(bay.necks, line.from);
    const std::size_t to = neck_index(bay.necks, line.to);
    bay.lines.push_back({line, from, to, carrier_of(bay.necks[from].carrier, bay.necks[to].carrier)});
  }
  if (bay.tee && bay.tee->floats)
    for (const std::size_t line : {bay.tee->before, bay.tee->after, bay.tee->branch_line})
      bay.lines[line].carrier = LineCarrier::both;
  return bay;
}

}  // namespace hosefit
