// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/pane_contents.h"

#include <algorithm>

#include "solver/decide/candidates.h"
#include "solver/model/bolts_together.h"

namespace hosefit {
namespace {

std::vector<PlacedBody> bodies_apart(const Prepared& prepared, const Candidate& c) {
  const Job& job = prepared.job();
  const Vehicle& vehicle = job.vehicle;
  const Pump& pump = job.family.pumps[c.pump];
  const Housing& housing = job.family.housings[c.housing];
  const Pose engine = engine_pose(vehicle);
  const Pose clocked{Eigen::AngleAxisd(housing.clocks[c.clock].rad(), Vec3::UnitZ()).toRotationMatrix(),
                     Vec3::Zero()};
  const Pose top = Pose::translation({0, 0, (c.height - job.family.intakes[c.intake].drawn_height).mm()});
  std::vector<PlacedBody> bodies{{prepared.bodies().chassis(), Pose{}},
                                 {vehicle.hood, Pose{}},
                                 {vehicle.fan, vehicle.fan->carrier == Carrier::engine ? engine : Pose{}},
                                 {vehicle.on_engine, engine},
                                 {job.family.engine.body, engine},
                                 {job.family.drives[c.drive].body, engine},
                                 {pump.body, engine},
                                 {housing.body, engine * pump.seat.frame * clocked},
                                 {prepared.bodies().intake_base(c.intake), engine},
                                 {prepared.bodies().intake_stretch(c.intake, c.height), engine},
                                 {prepared.bodies().intake_top(c.intake), engine * top}};
  for (const ChosenNeck& neck : prepared.bodies().chosen_necks()) bodies.push_back({neck.parts, Pose{}});
  return bodies;
}

bool before(const Job& job, const Candidate& a, const Candidate& b) {
  const auto fitted = [&](const Candidate& c) {
    return (job.family.drives[c.drive].name == job.vehicle.in_hand.drive ? 2 : 0) +
           (job.family.housings[c.housing].name == job.vehicle.in_hand.housing ? 1 : 0);
  };
  return fitted(a) > fitted(b);
}

}  // namespace

std::vector<PlacedBody> placed_bodies(const Prepared& prepared, const Candidate& candidate) {
  if (!bolts_together(prepared.job(), candidate)) return bodies_apart(prepared, candidate);
  return assemble(prepared.job(), prepared.bodies(), candidate).bodies;
}

void fill_pane(const State& state, MeshStore& meshes, Pane& pane) {
  const Prepared& prepared = *state.prepared;
  pane.bay.reset();
  if (bolts_together(prepared.job(), pane.asked))
    pane.bay = std::make_shared<const Bay>(assemble(prepared.job(), prepared.bodies(), pane.asked));
  const std::vector<PlacedBody> bodies = pane.bay ? pane.bay->bodies : bodies_apart(prepared, pane.asked);
  PaneScene& scene = pane.scene;
  scene.bodies.clear();
  for (std::size_t i = 0; i < bodies.size(); ++i)
    scene.bodies.push_back({meshes.of(bodies[i].body), bodies[i].pose, i,
                            state.looks[is_of_chassis(i) ? index(BayBody::chassis) : i],
                            i <= index(BayBody::engine)});
  scene.tubes.clear();
  if (const Answer* answer = current_answer(state, pane))
    scene.tubes = answer->tubes;
  else if (pane.held)
    scene.tubes = pane.held->ghosts;
  scene.section = state.section;
  scene.selected = state.selected;
  // The obstacles of bolted-on parts differ from pump to pump: an index means the same in the chosen pane
  // only.
  const auto* ref = state.selected ? std::get_if<ObstacleRef>(&*state.selected) : nullptr;
  const bool chosen = state.chosen < state.panes.size() && state.panes[state.chosen].pump == pane.pump;
  if (ref != nullptr && ref->body > index(BayBody::engine) && !chosen) scene.selected.reset();
}

Candidate first_candidate(const Job& job, std::size_t pump, std::size_t intake, Length height,
                          const HeldHousings& held) {
  std::vector<Candidate> all = candidates_of(job.family, pump, intake, height);
  const auto kept = held.find(pump);
  if (kept != held.end())
    std::erase_if(all, [&](const Candidate& c) {
      return c.housing != kept->second.housing || c.clock != kept->second.clock;
    });
  std::stable_sort(all.begin(), all.end(),
                   [&](const Candidate& a, const Candidate& b) { return before(job, a, b); });
  const auto good =
      std::find_if(all.begin(), all.end(), [&](const Candidate& c) { return bolts_together(job, c); });
  if (good != all.end()) return *good;
  return all.empty() ? Candidate{pump, 0, 0, 0, intake, height} : all.front();
}

}  // namespace hosefit
