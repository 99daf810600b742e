// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "viewer/scene/pane_scene.h"
#include "viewer/solving.h"

/// What a user asks for by mouse, key or drop. Panes return these; the session carries them out.
namespace hosefit {

struct OpenVehicle {
  std::string folder;  ///< or a file in it
};
struct BrowseTo {
  std::string folder;
};
struct ShowStart {
  bool on = true;
};
struct SetHeight {
  Length height;
};
struct ChoosePane {
  std::size_t pane = 0;
};
struct ShowAlone {
  bool on = true;  ///< the chosen pane fills the window
};
struct SetMostPanes {
  std::size_t count = 7;
};
struct SetIntake {
  std::size_t intake = 0;
};
struct SetEngine {
  Vec3 at_mm;
  Angle tilt;
};
struct HoldHousing {
  std::size_t pump = 0;
  std::optional<HeldHousing> housing;  ///< none: the best of all
};
struct SetMake {
  std::size_t line = 0;
  Make make = Make::straight_hose;
  bool on = true;
};
/// Pieces of stock that may be used, or not.
struct SetStock {
  std::vector<std::string> ids;
  bool on = true;
};
struct TakeBackChanges {};
struct SetUnit {
  LengthUnit unit = LengthUnit::mm;
};
struct SetSection {
  Section section;
};
struct SetLook {
  BayBody body = BayBody::chassis;
  BodyLook look = BodyLook::solid;
};
struct MoveCamera {
  std::size_t pane = 0;
  Orbit camera;
};
struct TieCameras {
  bool on = true;
};
struct Select {
  std::optional<Selected> what;
};
struct PickAt {
  std::size_t pane = 0;
  PicturePoint at;
  double aspect = 1;
};
struct StopSolving {};
struct SolveAgain {};
struct ShowKeys {
  bool on = true;
};
struct Quit {};

using Intent =
    std::variant<OpenVehicle, BrowseTo, ShowStart, SetHeight, ChoosePane, ShowAlone, SetMostPanes, SetIntake,
                 SetEngine, HoldHousing, SetMake, SetStock, TakeBackChanges, SetUnit, SetSection, SetLook,
                 MoveCamera, TieCameras, Select, PickAt, StopSolving, SolveAgain, ShowKeys, Quit>;
using Intents = std::vector<Intent>;

}  // namespace hosefit
