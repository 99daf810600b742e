// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "solver/base/measured.h"
#include "solver/model/body.h"
#include "solver/model/neck.h"

/// One engine family: the engine and the parts that can be bolted to it. Parts are written in the engine
/// frame (housings in the frame of the seat they bolt to); obstacles and necks of a part share the part's
/// frame.
namespace hosefit {

/// Pressure rise of the pump at `at_rpm` of its shaft: a0 + a1 Q + a2 Q|Q|, Q in m3/s, rise in Pa. Scales
/// with speed by similarity. A flow figure is never shown without `provenance` and `band`.
struct PumpCurve {
  double at_rpm = 0, a0_pa = 0, a1_pa_per_m3s = 0, a2_pa_per_m3s2 = 0;
  double band = 0.2;  ///< relative half-width of the rise
  Provenance provenance;
};
/// Pressure drop a Q + b Q|Q| of a core or jacket.
struct FlowResistance {
  double a_pa_per_m3s = 0, b_pa_per_m3s2 = 0;
  Provenance provenance;
};

enum class Rotation {
  clockwise,
  counterclockwise
};  ///< of the pump shaft, seen facing the front of the engine
std::string_view word(Rotation rotation);
enum class BeltContact { grooved_side, back_side };  ///< of the belt on the pump pulley
std::string_view word(BeltContact contact);
enum class SeatPlace { outlet, inlet };  ///< which port of the pump the thermostat housing bolts to
std::string_view word(SeatPlace place);

struct Seat {
  SeatPlace place = SeatPlace::outlet;
  std::string flange;  ///< bolt pattern; a housing fits a seat of the same pattern
  Pose frame;          ///< origin on the flange face, Z out of the port, X = clock zero; engine frame
};

struct Engine {
  std::string name, description;
  std::shared_ptr<const Body> body;  ///< block, heads, covers
  std::vector<Neck> necks;           ///< "engine.vent", ...
  bool crank_clockwise = true;       ///< seen facing the front of the engine
  FlowResistance jacket, bypass;
  double thermostat_r_open = 0;  ///< Pa/(m3/s)^2 at full opening
  Temperature thermostat_starts, thermostat_full;
  Place place;
};

struct Pump {
  std::string name, description;
  std::shared_ptr<const Body> body;  ///< casting, snout, pulley
  std::vector<Neck>
      necks;  ///< "pump.outlet" and "pump.inlet" but for the one that comes from the housing; heater ports
  Seat seat;
  Rotation rotation = Rotation::clockwise;
  Measured<double> pulley_plane_mm;  ///< belt plane ahead of the block's front face
  Length pulley_diameter;            ///< pitch diameter
  Length depth;                      ///< foremost point ahead of the block's front face
  PumpCurve curve;
  double price = 0;
  int lead_days = 0;
  Place place;
};

struct Drive {
  std::string name, description;
  std::shared_ptr<const Body> body;  ///< crank damper, brackets, alternator, compressor, belt run
  Measured<double> belt_plane_mm;    ///< ahead of the block's front face
  Length crank_pulley_diameter;      ///< pitch diameter
  BeltContact pump_contact = BeltContact::grooved_side;
  Length longest_span;  ///< of the belt at the pump pulley: turns an offset into an angle
  double price = 0;
  int lead_days = 0;
  Place place;
};

struct Housing {
  std::string name, description;
  std::shared_ptr<const Body> body;  ///< seat frame, at clock 0
  Neck neck;                         ///< seat frame, at clock 0; named "housing"
  std::string flange;
  std::vector<SeatPlace> places;  ///< where it may be used
  std::vector<Angle>
      clocks;  ///< turns about the seat's Z it can be fixed at, right-handed; {0} when it does not swivel
  double price = 0;
  int lead_days = 0;
  Place place;
};

/// Base + stretch + top, all solid. `height` is that of the top's reference plane above the crank centreline
/// along the engine's Z. At `drawn_height_mm` every obstacle stands as written; the top moves up and down
/// with the height, the base stays, the stretch boxes keep their lower face and grow.
struct Intake {
  std::string name, description;
  Length drawn_height, least_height, most_height;
  std::vector<Obstacle> base;
  std::vector<Obstacle> stretch;  ///< BoxShape, axis-aligned in the engine frame
  std::vector<Obstacle> top;      ///< plenum, throttle body, duct, linkage sweep, small valves and lines
  double price = 0;
  int lead_days = 0;
  Place place;
};

struct Family {
  std::string name;
  Engine engine;
  std::vector<Pump> pumps;
  std::vector<Drive> drives;
  std::vector<Housing> housings;
  std::vector<Intake> intakes;
};

}  // namespace hosefit
