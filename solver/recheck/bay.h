// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <string>
#include <vector>

#include "solver/recheck/job.h"
#include "solver/recheck/recheck.h"

namespace hosefit::recheck {

enum class Part {
  chassis,
  hood,
  fan,
  on_engine,
  block,
  drive,
  pump,
  housing,
  intake_base,
  intake_stretch,
  intake_top
};

/// Everything in the vehicle's frame.
struct PlacedObstacle {
  Part part = Part::chassis;
  std::string body, name, hazard;
  bool on_engine = false;
  Solid solid;
  Box3 box;
  std::optional<double> own_gap_mm;
  std::string label() const { return body + ": " + name; }
};
struct PlacedNeck {
  Neck neck;
  bool on_engine = false;
  std::vector<std::size_t> grows_out_of;  ///< obstacles
};
struct PlacedLine {
  const Line* line = nullptr;
  std::size_t from = 0, to = 0;  ///< necks
  bool moves = false;            ///< one end on the engine, the other on the chassis
  bool on_engine = false;        ///< both ends; means nothing when it moves
};
struct Bay {
  std::vector<PlacedObstacle> obstacles;
  std::vector<PlacedNeck> necks;
  std::vector<PlacedLine> lines;
};

/// The parts of a recorded candidate.
struct Chosen {
  const Pump* pump = nullptr;
  const Drive* drive = nullptr;
  const Housing* housing = nullptr;
  const Intake* intake = nullptr;
};
/// Parts that the input does not hold, a clock the housing does not have, a height it cannot be built to, and
/// parts that do not go together; a null part means that nothing can be placed.
Chosen choose(const Job& job, const RecordedCandidate& candidate, std::vector<Fault>& faults);

/// A line whose necks are not there is left out, with a fault.
Bay place(const Job& job, const Chosen& chosen, const RecordedCandidate& candidate,
          std::vector<Fault>& faults);

/// Engine frame to vehicle frame, at rest.
Frame engine_frame(const Job& job);

/// Two rigid parts that may come near each other by choosing parts, and are not bolted together.
bool must_be_clear(const PlacedObstacle& a, const PlacedObstacle& b, bool fan_on_engine);
/// Rigid parts against each other, for the pairs that can come near each other by choosing parts.
std::vector<Fault> clashes(const Bay& bay, const Gaps& gaps, bool fan_on_engine);

}  // namespace hosefit::recheck
