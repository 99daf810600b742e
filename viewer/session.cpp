// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/session.h"

#include <algorithm>
#include <cmath>

#include "viewer/scene/picking.h"

namespace hosefit {
namespace {

constexpr double kFarthestEngine_mm = 10000;  // beyond it the value is a slip of the finger
constexpr double kMostTilt_rad = 0.8;

}  // namespace

Session::Session(SolverCalls calls, InstallPlaces places, std::function<void()> wake)
    : calls_(std::move(calls)), places_(std::move(places)), wake_(std::move(wake)) {
  state_.looks[index(BayBody::hood)] = BodyLook::outline;  // a solid one hides all
  state_.demos = demo_vehicles(places_);
  state_.browsed = list_folder(".");
}

void Session::apply(const Intents& intents) {
  for (const Intent& intent : intents) apply(intent);
}

void Session::apply(const Intent& intent) {
  std::visit([this](const auto& one) { carry_out(one); }, intent);
}

bool Session::settled() const {
  return !state_.loading && !state_.solving;
}

void Session::carry_out(const OpenVehicle& intent) {
  const std::string folder = vehicle_folder_of(intent.folder);
  if (folder != state_.folder) {
    solver_.abandon();
    window_finder_.abandon();
    State fresh;
    fresh.demos = std::move(state_.demos);
    fresh.browsed = std::move(state_.browsed);
    fresh.unit = state_.unit;
    fresh.looks = state_.looks;
    fresh.most_panes = state_.most_panes;
    fresh.job = state_.job + 1;
    state_ = std::move(fresh);
    watched_ = {};
  }
  state_.folder = folder;
  state_.start_shown = false;
  load(false);
}

void Session::carry_out(const BrowseTo& intent) {
  state_.browsed = list_folder(intent.folder);
}

void Session::carry_out(const ShowStart& intent) {
  state_.start_shown = intent.on || state_.folder.empty();
}

void Session::carry_out(const SetHeight& intent) {
  if (!state_.prepared || !std::isfinite(intent.height.mm())) return;
  const Intake& intake = state_.prepared->job().family.intakes[state_.intake];
  const Length height = std::clamp(intent.height, intake.least_height, intake.most_height);
  if (height == state_.height) return;
  state_.height = height;
  for (Pane& pane : state_.panes) pane.asked.height = height;
  ask_again();
}

void Session::carry_out(const ChoosePane& intent) {
  if (intent.pane >= state_.panes.size()) return;
  state_.chosen = intent.pane;
  state_.chosen_by_hand = true;
  refill_panes();
  const auto bar = state_.windows.find(state_.panes[intent.pane].pump);
  if (state_.windows_running && (bar == state_.windows.end() || !bar->second.done)) ask_windows();
}

void Session::carry_out(const ShowAlone& intent) {
  state_.alone = intent.on && !state_.panes.empty();
}

void Session::carry_out(const SetMostPanes& intent) {
  state_.most_panes = std::clamp(intent.count, std::size_t{1}, kMostPanes);
}

void Session::carry_out(const SetIntake& intent) {
  if (!state_.prepared || intent.intake >= state_.prepared->job().family.intakes.size()) return;
  if (intent.intake == state_.intake) return;
  state_.intake = intent.intake;
  const Intake& intake = state_.prepared->job().family.intakes[intent.intake];
  state_.height = std::clamp(state_.height, intake.least_height, intake.most_height);
  state_.windows.clear();
  begin_panes();
  leave_windows();
  ask_again();
}

void Session::carry_out(const SetEngine& intent) {
  if (!state_.as_read || !intent.at_mm.allFinite() || !std::isfinite(intent.tilt.rad())) return;
  const Vec3 at_mm = intent.at_mm.cwiseMax(-kFarthestEngine_mm).cwiseMin(kFarthestEngine_mm);
  state_.changes.engine_at_mm = at_mm;
  state_.changes.engine_tilt = Angle::rad(std::clamp(intent.tilt.rad(), -kMostTilt_rad, kMostTilt_rad));
  remake_job();
}

void Session::carry_out(const HoldHousing& intent) {
  if (!state_.prepared || intent.pump >= state_.prepared->job().family.pumps.size()) return;
  if (intent.housing)
    state_.changes.housings[intent.pump] = *intent.housing;
  else
    state_.changes.housings.erase(intent.pump);
  for (Pane& pane : state_.panes)
    if (pane.pump == intent.pump)
      pane.asked = first_candidate(state_.prepared->job(), pane.pump, state_.intake, state_.height,
                                   state_.changes.housings);
  ask_again();
}

void Session::carry_out(const SetMake& intent) {
  if (!state_.as_read || intent.line >= state_.as_read->vehicle.lines.size()) return;
  const auto& makes = state_.as_read->vehicle.lines[intent.line].makes;
  const auto still_on = std::count_if(makes.begin(), makes.end(), [&](Make make) {
    return !state_.changes.makes_off.contains({intent.line, make});
  });
  if (intent.on)
    state_.changes.makes_off.erase({intent.line, intent.make});
  else if (still_on > 1)  // a line needs one way to be made
    state_.changes.makes_off.insert({intent.line, intent.make});
  remake_job();
}

void Session::carry_out(const SetStock& intent) {
  if (!state_.as_read) return;
  const std::set<std::string> before = state_.changes.stock_off;
  for (const Stock& stock : state_.as_read->stock) {
    if (std::find(intent.ids.begin(), intent.ids.end(), stock.id) == intent.ids.end()) continue;
    if (intent.on)
      state_.changes.stock_off.erase(stock.id);
    else if (may_be_off(*state_.as_read, stock))
      state_.changes.stock_off.insert(stock.id);
  }
  if (state_.changes.stock_off != before) remake_job();
}

void Session::carry_out(const TakeBackChanges&) {
  if (!state_.as_read) return;
  state_.changes = {};
  remake_job();
}

void Session::carry_out(const SetUnit& intent) {
  state_.unit = intent.unit;
}

void Session::carry_out(const SetSection& intent) {
  state_.section = intent.section;
  refill_panes();
}

void Session::carry_out(const SetLook& intent) {
  state_.looks[index(intent.body)] = intent.look;
  refill_panes();
}

void Session::carry_out(const MoveCamera& intent) {
  if (intent.pane >= state_.panes.size()) return;
  for (std::size_t i = 0; i < state_.panes.size(); ++i)
    if (state_.cameras_tied || i == intent.pane) state_.panes[i].scene.camera = intent.camera;
}

void Session::carry_out(const TieCameras& intent) {
  state_.cameras_tied = intent.on;
  if (intent.on && state_.chosen < state_.panes.size())
    carry_out(MoveCamera{state_.chosen, state_.panes[state_.chosen].scene.camera});
}

void Session::carry_out(const Select& intent) {
  state_.selected = intent.what;
  refill_panes();
}

void Session::carry_out(const PickAt& intent) {
  if (intent.pane >= state_.panes.size()) return;
  carry_out(ChoosePane{intent.pane});
  const PaneScene& scene = state_.panes[intent.pane].scene;
  const auto hit = pick(scene, ray_through(scene.camera, intent.aspect, intent.at));
  carry_out(Select{hit ? std::optional(hit->what) : std::nullopt});
}

void Session::carry_out(const StopSolving&) {
  if (!state_.solving && !state_.windows_running) return;
  solver_.abandon();
  window_finder_.abandon();
  ++requests_;  // what the abandoned request still sends is not its end
  state_.solving = state_.windows_running = false;
  state_.stopped = true;
  state_.working.clear();
}

void Session::carry_out(const SolveAgain&) {
  if (!state_.prepared) return;
  ask_again();
}

void Session::carry_out(const ShowKeys& intent) {
  state_.keys_shown = intent.on;
}

void Session::carry_out(const Quit&) {
  state_.quit = true;
}

}  // namespace hosefit
