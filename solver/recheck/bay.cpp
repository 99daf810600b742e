// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/recheck/bay.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "solver/recheck/neck_places.h"
#include "solver/recheck/tees.h"

namespace hosefit::recheck {
namespace {

// Belt planes apart: half a degree over the longest span, at most 1.5 mm (alignment-tool tables and a service
// manual's window, both without a title a reader can find).
constexpr double kAskew_deg = 0.5;
constexpr double kBeltOff_mm = 1.5;

template <class Part>
const Part* named(const std::vector<Part>& parts, const std::string& name, const char* what,
                  std::vector<Fault>& faults) {
  for (const Part& part : parts)
    if (part.name == name) return &part;
  faults.push_back({fmt::format("the input holds no {} \"{}\"", what, name)});
  return nullptr;
}

void check_pairing(const Job& job, const Chosen& c, const RecordedCandidate& candidate,
                   std::vector<Fault>& faults) {
  if (c.pump->seat_flange != c.housing->flange)
    faults.push_back({fmt::format("the pump's seat has the flange {}, the housing {}", c.pump->seat_flange,
                                  c.housing->flange)});
  const auto& places = c.housing->places;
  if (std::find(places.begin(), places.end(), c.pump->seat_place) == places.end())
    faults.push_back({fmt::format("the housing does not go on the pump's {}", c.pump->seat_place)});
  const auto& clocks = c.housing->clocks_deg;
  if (std::none_of(clocks.begin(), clocks.end(),
                   [&](double clock) { return std::abs(clock - candidate.clock_deg) < 1e-9; }))
    faults.push_back(
        {fmt::format("the housing cannot be fixed at a clock of {:g} deg", candidate.clock_deg)});
  if (candidate.height_mm < c.intake->least_mm || candidate.height_mm > c.intake->most_mm)
    faults.push_back({fmt::format("the intake is built from {:g} to {:g} mm high, not {:g} mm",
                                  c.intake->least_mm, c.intake->most_mm, candidate.height_mm)});
  const double off = std::abs(c.pump->pulley_plane_mm - c.drive->belt_plane_mm);
  const double most = std::min(kBeltOff_mm, c.drive->longest_span_mm * std::tan(radians(kAskew_deg)));
  if (off > most + 1e-9)
    faults.push_back(
        {fmt::format("the belt runs {:.2f} mm off the pump's pulley, {:.2f} mm is the most", off, most)});
  const bool as_crank = c.drive->pump_contact == "grooved_side";
  if ((c.pump->rotation == job.crank_rotation) != as_crank)
    faults.push_back({fmt::format("the belt turns the pump the wrong way ({})", c.drive->pump_contact)});
}

class Placer {
 public:
  Bay bay;

  void obstacles(Part part, const std::string& body, bool on_engine, const Frame& frame,
                 const std::vector<Obstacle>& list) {
    for (const Obstacle& o : list) {
      PlacedObstacle placed{part, body, o.name, o.hazard, on_engine, moved(o.solid, frame), {}, o.own_gap_mm};
      placed.box = box_of(placed.solid);
      bay.obstacles.push_back(std::move(placed));
    }
  }
  // What goes along with necks stands where they do.
  void chassis(const Job& job, const std::vector<NeckPlace>& places) {
    obstacles(Part::chassis, "chassis", false, Frame{}, job.chassis);
    for (std::size_t i = 0; i < job.chassis_necks.size(); ++i) {
      const auto& choice = job.chassis_necks[i].choice;
      if (!choice) continue;
      for (PlacedObstacle& o : bay.obstacles) {
        if (std::find(choice->with.begin(), choice->with.end(), o.name) == choice->with.end()) continue;
        o.goes_along = i;  // necks of the chassis come first
        o.solid = moved(o.solid, places[i].moved);
        o.box = box_of(o.solid);
      }
    }
  }
  void neck(Neck neck, const std::string& name, Part part, bool on_engine, const Frame& frame) {
    PlacedNeck placed;
    neck.name = name;
    neck.end_mm = frame.point(neck.end_mm);
    neck.outward = frame.turn * neck.outward;
    placed.on_engine = on_engine;
    placed.on_tee = part == Part::tee;
    for (std::size_t i = 0; i < bay.obstacles.size(); ++i)
      if (bay.obstacles[i].part == part &&
          std::find(neck.on.begin(), neck.on.end(), bay.obstacles[i].name) != neck.on.end())
        placed.grows_out_of.push_back(i);
    placed.neck = std::move(neck);
    bay.necks.push_back(std::move(placed));
  }
};

void place_tee(const Job& job, const RecordedCandidate& candidate, Placer& placer,
               std::vector<Fault>& faults) {
  const std::optional<Frame> frame = tee_frame(job, candidate, faults);
  if (!frame) return;
  const auto on_engine = [&](const std::string& name) {
    return std::any_of(placer.bay.necks.begin(), placer.bay.necks.end(),
                       [&](const PlacedNeck& n) { return n.neck.name == name && n.on_engine; });
  };
  const bool one = on_engine(job.tee->starts_at), other = on_engine(job.tee->ends_at);
  bool at_branch = one;
  for (const Line& line : job.lines) {
    if (line.from == job.tee->name + ".branch") at_branch = on_engine(line.to);
    if (line.to == job.tee->name + ".branch") at_branch = on_engine(line.from);
  }
  const bool engines = one && other && at_branch;
  placer.bay.tee_floats = one != other || one != at_branch;
  placer.obstacles(Part::tee, job.tee->name, engines, *frame, tee_solids(*job.tee));
  for (const Neck& n : tee_necks(*job.tee)) placer.neck(n, n.name, Part::tee, engines, *frame);
}

// At another height the lower face of each box stays and its upper face goes with the top.
std::vector<Obstacle> stretched(const Intake& intake, double rise_mm) {
  std::vector<Obstacle> out;
  for (Obstacle o : intake.stretch) {
    Block& block = std::get<Block>(o.solid);
    const double bottom = block.frame.at_mm.z() - block.half_mm.z();
    const double top = block.frame.at_mm.z() + block.half_mm.z() + rise_mm;
    if (!(top > bottom)) continue;
    block.frame.at_mm.z() = (bottom + top) / 2;
    block.half_mm.z() = (top - bottom) / 2;
    out.push_back(std::move(o));
  }
  return out;
}

}  // namespace

// The front comes up: what points up leans rearward.
Frame engine_frame(const Job& job) {
  Frame frame;
  const double tilt = radians(job.tilt_deg);
  frame.turn.col(0) = V3(std::cos(tilt), 0, -std::sin(tilt));
  frame.turn.col(2) = V3(std::sin(tilt), 0, std::cos(tilt));
  frame.at_mm = job.engine_at_mm;
  return frame;
}

Chosen choose(const Job& job, const RecordedCandidate& candidate, std::vector<Fault>& faults) {
  const Chosen chosen{named(job.pumps, candidate.pump, "pump", faults),
                      named(job.drives, candidate.drive, "drive", faults),
                      named(job.housings, candidate.housing, "housing", faults),
                      named(job.intakes, candidate.intake, "intake", faults)};
  if (!faults.empty()) return {};
  check_pairing(job, chosen, candidate, faults);
  return chosen;
}

Bay place(const Job& job, const Chosen& chosen, const RecordedCandidate& candidate,
          std::vector<Fault>& faults) {
  const Frame still;
  const Frame engine = engine_frame(job);
  Frame clock;
  for (Eigen::Index k = 0; k < 2; ++k)
    clock.turn.col(k) = turned(V3::Unit(k), V3::UnitZ(), radians(candidate.clock_deg));
  const Frame housing = engine * chosen.pump->seat * clock;
  const double rise = candidate.height_mm - chosen.intake->drawn_mm;
  Frame lifted;
  lifted.at_mm.z() = rise;
  const std::string intake = "intake " + chosen.intake->name;

  Placer placer;
  const std::vector<NeckPlace> places = neck_places(job, candidate, faults);
  placer.chassis(job, places);
  placer.obstacles(Part::hood, "hood", false, still, job.hood);
  placer.obstacles(Part::fan, "fan", job.fan_on_engine, job.fan_on_engine ? engine : still, job.fan);
  placer.obstacles(Part::on_engine, "on_engine", true, engine, job.on_engine);
  placer.obstacles(Part::block, "engine", true, engine, job.block);
  placer.obstacles(Part::drive, "drive " + chosen.drive->name, true, engine, chosen.drive->obstacles);
  placer.obstacles(Part::pump, "pump " + chosen.pump->name, true, engine, chosen.pump->obstacles);
  placer.obstacles(Part::housing, "housing " + chosen.housing->name, true, housing,
                   chosen.housing->obstacles);
  placer.obstacles(Part::intake_base, intake, true, engine, chosen.intake->base);
  placer.obstacles(Part::intake_stretch, intake, true, engine, stretched(*chosen.intake, rise));
  placer.obstacles(Part::intake_top, intake, true, engine * lifted, chosen.intake->top);

  for (std::size_t i = 0; i < places.size(); ++i) {
    const Neck& n = job.chassis_necks[i];
    placer.neck(n, n.name, Part::chassis, false, places[i].moved);
    placer.bay.necks.back().elsewhere = places[i].elsewhere;
  }
  for (const Neck& n : job.engine_necks) placer.neck(n, n.name, Part::block, true, engine);
  for (const Neck& n : chosen.pump->necks) placer.neck(n, n.name, Part::pump, true, engine);
  placer.neck(chosen.housing->neck, "pump." + chosen.pump->seat_place, Part::housing, true, housing);

  place_tee(job, candidate, placer, faults);

  Bay bay = std::move(placer.bay);
  const auto neck_named = [&](const std::string& name) {
    const auto found = std::find_if(bay.necks.begin(), bay.necks.end(),
                                    [&](const PlacedNeck& n) { return n.neck.name == name; });
    if (found == bay.necks.end()) faults.push_back({fmt::format("these parts have no neck {}", name)});
    return static_cast<std::size_t>(found - bay.necks.begin());
  };
  for (const Line& line : job.lines) {
    PlacedLine placed{&line, neck_named(line.from), neck_named(line.to)};
    if (placed.from >= bay.necks.size() || placed.to >= bay.necks.size()) continue;
    placed.on_engine = bay.necks[placed.from].on_engine;
    placed.moves = placed.on_engine != bay.necks[placed.to].on_engine;
    bay.lines.push_back(placed);
  }
  return bay;
}

}  // namespace hosefit::recheck
