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
  intake_top,
  tee
};

/// Everything in the vehicle's frame.
struct PlacedObstacle {
  Part part = Part::chassis;
  std::string body, name, hazard;
  bool on_engine = false;
  Solid solid;
  Box3 box;
  std::optional<double> own_gap_mm;
  std::optional<std::size_t> goes_along = {};  ///< with this neck, wherever it is ordered
  std::string label() const { return body + ": " + name; }
};
struct PlacedNeck {
  Neck neck;
  bool on_engine = false;
  std::vector<std::size_t> grows_out_of;  ///< obstacles
  bool elsewhere = false;                 ///< than where it is written
  bool on_tee = false;
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
  bool tee_floats = false;  ///< in a line between engine and chassis
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

/// A line whose necks are not there is left out, with a fault. Where the record does not give a neck one of
/// its places there is a fault, and the neck stands where it is written. A tee that the record does not place
/// is not there.
Bay place(const Job& job, const Chosen& chosen, const RecordedCandidate& candidate,
          std::vector<Fault>& faults);

/// Engine frame to vehicle frame, at rest.
Frame engine_frame(const Job& job);

/// Two rigid parts, by their places in `obstacles`, that may come near each other by choosing parts or places
/// of necks or tee, and are not joined. What goes along with a neck that stands where it is written is like
/// the rest of the chassis: what is written is how the vehicle is.
bool must_be_clear(const Bay& bay, std::size_t a, std::size_t b, bool fan_on_engine);
/// Rigid parts against each other, for the pairs that must be clear.
std::vector<Fault> clashes(const Bay& bay, const Gaps& gaps, bool fan_on_engine);

}  // namespace hosefit::recheck
