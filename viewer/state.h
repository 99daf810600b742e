// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <array>
#include <map>
#include <memory>
#include <optional>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include "viewer/files.h"
#include "viewer/intents.h"

/// Everything the panes read. Only the session writes it.
namespace hosefit {

/// One pump on screen.
struct Pane {
  std::size_t pump = 0;
  Candidate asked;                     ///< what the pane is about now, at the height of the slider
  std::shared_ptr<const Answer> held;  ///< the latest answer, perhaps for another question
  std::shared_ptr<const Bay>
      bay;          ///< where things stand for `asked`; null when the parts do not bolt together
  PaneScene scene;  ///< what is drawn, camera included
};

/// Height windows of one pump as far as they are known: ascending, without holes from the least height on.
struct WindowBar {
  std::vector<HeightWindow> known;
  bool done = false;
  std::vector<HeightWindow> before;  ///< as they were before a change; kept until done, never a claim for now
};

struct Changes {
  std::optional<Vec3> engine_at_mm;
  std::optional<Angle> engine_tilt;
  std::set<std::pair<std::size_t, Make>> makes_off;  ///< by line
  std::set<std::string> stock_off;                   ///< ids
  HeldHousings housings;
  bool any() const {
    return engine_at_mm || engine_tilt || !makes_off.empty() || !stock_off.empty() || !housings.empty();
  }
};

/// A piece of stock that the file holds a line to stays on.
bool may_be_off(const Job& job, const Stock& stock);

inline constexpr std::size_t kMostPanes = 7;

struct State {
  bool start_shown = true, keys_shown = false, quit = false;
  std::vector<VehicleFolder> demos;
  FolderListing browsed;

  std::string folder;  ///< of the vehicle on screen, or the one that failed to open
  bool loading = false;
  std::string problems;                ///< of its files, as text with places; empty when they are in order
  std::shared_ptr<const Job> as_read;  ///< the last good state of the files
  std::shared_ptr<const Prepared> prepared;  ///< with the changes made here
  std::uint64_t job = 0;                     ///< counts states of the job
  Changes changes;

  std::size_t intake = 0;
  Length height;
  std::vector<Pane> panes;  ///< best pump first, as far as ranked
  bool ranked = false;      ///< their order is that of the height on screen
  std::size_t chosen = 0;
  bool chosen_by_hand = false;  ///< else the best pump is the chosen one
  bool alone = false;
  std::size_t most_panes = kMostPanes;
  std::map<std::size_t, WindowBar> windows;  ///< by pump

  LengthUnit unit = LengthUnit::mm;
  Section section;
  std::array<BodyLook, 11> looks{};  ///< by BayBody
  bool cameras_tied = true;
  std::optional<Selected> selected;

  bool solving = false, stopped = false, windows_running = false;
  std::string working;  ///< what is being done, in words
  std::size_t work_done = 0, work_of = 0;
  std::string failure;  ///< a fault of the program or the system, in words
};

/// Panes that are on screen, as indexes into State::panes.
std::vector<std::size_t> panes_shown(const State& state);

/// What a pane may claim. `fit` is empty unless the answer held was found for exactly what is on screen and
/// the files are in order; everything else says so in words.
struct ShownVerdict {
  std::optional<Fit> fit;
  std::string words;      ///< "fits", "not proved yet", ...
  std::string reason;     ///< what it hangs on
  std::string limits;     ///< where the limits come from
  bool settling = false;  ///< other housings, drives or routes for it are still being looked at
};
ShownVerdict shown_verdict(const State& state, const Pane& pane);

/// The answer of a pane when it was found for exactly what is on screen, else null.
const Answer* current_answer(const State& state, const Pane& pane);

/// The place to mark in a pane and what to write there; empty when nothing is known for what is on screen.
struct Mark {
  Vec3 at_mm;
  std::string words;
  SpareClass kind = SpareClass::not_proved;
};
std::optional<Mark> tightest_mark(const State& state, const Pane& pane);

}  // namespace hosefit
