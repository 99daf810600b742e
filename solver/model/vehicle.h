// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "solver/geometry/tape_network.h"
#include "solver/model/clamp.h"
#include "solver/model/family.h"
#include "solver/model/gap_table.h"
#include "solver/model/line.h"
#include "solver/model/make.h"
#include "solver/model/motion.h"
#include "solver/model/tee.h"

namespace hosefit {

enum class CoolantFluid { water, ethylene_glycol, propylene_glycol };
enum class ShareBy { mass, volume };

/// What the shop says about the coolant side of the vehicle.
struct CoolantData {
  CoolantFluid fluid = CoolantFluid::ethylene_glycol;
  ShareBy share_by = ShareBy::volume;
  double share = 0.5;
  Pressure cap_gauge = Pressure::kpa(103);
  Length altitude;
  FlowResistance radiator_core, heater_core;
  double radiator_ua_w_per_k = 0, air_capacity_w_per_k = 0;
  Temperature air = Temperature::celsius(35);
};

/// A working point of the vehicle to solve the coolant flow at.
struct WorkingPoint {
  std::string name;  ///< "idle", "cruise", "high speed"
  double crank_rpm = 0;
  double heat_to_coolant_w = 0;
};

/// A gap of the table set by the shop.
struct GapSetByShop {
  Runner runner = Runner::hose;
  Hazard hazard = Hazard::smooth_metal;
  std::optional<bool> same_carrier;
  Length gap;
  Provenance provenance;
};

enum class Mounts { rubber, firm, solid };
std::string_view word(Mounts mounts);

/// A piece of hose on the vehicle or on the shelf that may be used again.
struct OwnedHose {
  std::string stock;  ///< id in the stock file; never of make bent_tube
  Length length;      ///< end to end; of an elbow the shorter leg, intersection point to end
  std::optional<Angle> angle = std::nullopt;  ///< of an elbow, and only there
  Place place = {};
};

/// What is on the vehicle or on the shelf already: names of parts, and hose.
struct PartsInHand {
  std::string pump, drive, housing, intake;  ///< fitted; empty = none
  std::vector<std::string> owned;
  std::vector<OwnedHose> hoses = {};
};

/// What of the chassis is the radiator, by name.
struct RadiatorParts {
  std::vector<std::string> obstacles;  ///< core, tanks, what else belongs to it
  std::vector<std::string> necks;
};

/// The question written in the vehicle file; the command line may change it.
struct Question {
  std::string intake;
  Length height;
};

struct Vehicle {
  std::string name, description;
  LengthUnit shown_in = LengthUnit::mm;
  std::string family;
  Measured<Vec3> engine_at_mm;  ///< engine frame origin, vehicle frame
  Angle engine_tilt;            ///< front of the engine up
  Mounts mounts = Mounts::rubber;
  std::optional<EngineMotion> motion;   ///< set by the shop in place of the figures for its mounts
  std::shared_ptr<const Body> chassis;  ///< radiator, frame, steering, battery, ...: vehicle frame
  std::shared_ptr<const Body> hood;     ///< vehicle frame; may hold no obstacle
  std::shared_ptr<const Body> fan;      ///< vehicle frame unless its carrier is the engine, then engine frame
  std::shared_ptr<const Body>
      on_engine;  ///< exhaust headers and whatever else the vehicle adds to the engine: engine frame
  std::vector<Neck> necks;                   ///< chassis necks, vehicle frame
  std::vector<Line> lines;                   ///< one that carries a tee is here in two parts
  std::vector<BoxShape> known_space;         ///< vehicle frame; empty = nothing is known to be complete
  std::vector<BoxShape> looked_behind = {};  ///< of those, where that holds behind and past scans too
  std::vector<GapSetByShop> gaps;
  CoolantData coolant;
  std::vector<WorkingPoint> working_points;
  PartsInHand in_hand;
  Question question;
  Place place;
  RadiatorParts radiator = {};
  TapeSurvey tape = {};                   ///< positions measured with tape from datums; may hold none
  std::optional<Tee> tee = std::nullopt;  ///< only when no neck has a choice
};

/// Everything one run needs, all names resolved, all values in range.
struct Job {
  Vehicle vehicle;
  Family family;
  std::vector<Stock> stock;
  GapTable gaps;                       ///< shop values applied
  std::string input_fingerprint;       ///< of every byte read, hexadecimal
  EngineMotion motion = {};            ///< the shop's, or that of the vehicle's mounts
  std::vector<ClampSize> clamps = {};  ///< the shop's own first
  std::vector<Reducer> reducers = {};  ///< the shop's own first
};

}  // namespace hosefit
