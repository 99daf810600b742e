// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <stop_token>
#include <string>
#include <variant>
#include <vector>

#include "solver/decide/decide.h"
#include "viewer/scene/hose_mesh.h"

/// What the window asks the solver, and what comes back. An answer carries the very question it was found
/// for; nothing else may be shown as its verdict.
namespace hosefit {

/// One candidate at one height in one state of the job. `job` counts states: every reload and every change
/// made in the window is a new one.
struct Asked {
  std::uint64_t job = 0;
  Candidate candidate;
  friend bool operator==(const Asked&, const Asked&) = default;
};

/// All but one, which is left to draw.
Threads solver_threads();

struct Answer {
  Asked question;
  std::shared_ptr<const CandidateResult> result;
  std::shared_ptr<const Bay> bay;                       ///< null when the parts do not bolt together
  std::vector<std::shared_ptr<const HoseMesh>> tubes;   ///< one per route of the result, painted by spare gap
  std::vector<std::shared_ptr<const HoseMesh>> ghosts;  ///< the same, painted as not proved
  bool best_of_pump = false;  ///< all drives, housings and clocks of its pump were judged at this height
};

/// The solving side as functions, so that tests can put another in place.
struct SolverCalls {
  /// Proves earlier routes at the candidate's height: as they are, else led along to where the necks are now.
  std::function<CandidateResult(const Prepared&, const Candidate&, const std::vector<LineSearch>&,
                                const std::stop_token&)>
      judge_again;
  std::function<CandidateResult(const Prepared&, const Candidate&, const std::stop_token&)> judge_fresh;
  std::function<Choice(const Prepared&, const Query&, const std::stop_token&, const Progress&)> choose;
  using KnownWindow = std::function<void(const HeightWindow&)>;
  std::function<void(const Prepared&, std::size_t pump, std::size_t intake, const std::stop_token&,
                     const KnownWindow&)>
      windows;
};
SolverCalls real_solver();

/// A housing, at one of its clocks, that the user holds for one pump.
struct HeldHousing {
  std::size_t housing = 0, clock = 0;
  friend bool operator==(const HeldHousing&, const HeldHousing&) = default;
};
using HeldHousings = std::map<std::size_t, HeldHousing>;  ///< by pump

/// One pump to be settled: its candidate on screen, and the routes it had before, if any.
struct PumpWanted {
  Candidate candidate;
  std::vector<LineSearch> earlier;
};

struct SettleRequest {
  std::uint64_t number = 0;  ///< of the request; newer ones are greater
  std::uint64_t job = 0;
  std::shared_ptr<const Prepared> prepared;
  std::size_t intake = 0;
  Length height;
  HeldHousings held;
  std::vector<PumpWanted> pumps;  ///< the one chosen on screen first
};

struct Judged {
  std::shared_ptr<const Answer> answer;
};
/// All pumps judged with all their parts; best first.
struct Ranked {
  std::uint64_t number = 0;
  std::vector<std::size_t> pumps;
};
struct Working {
  std::uint64_t number = 0;
  std::string what;  ///< safe to show
  std::size_t done = 0, of = 0;
};
struct Failed {
  std::string what;
};
struct WindowKnown {
  std::uint64_t job = 0;
  std::size_t intake = 0, pump = 0;
  HeightWindow window;
};
struct WindowsDone {
  std::uint64_t job = 0;
  std::size_t intake = 0, pump = 0;
};
using SolverMessage = std::variant<Judged, Ranked, Working, Failed, WindowKnown, WindowsDone>;
using PostSolver = std::function<void(SolverMessage)>;

/// Answers in the order that serves a moving slider: the chosen candidate first by proving its earlier routes
/// again, then searched for; the other pumps proved again; then every pump with all its parts, and the
/// ranking. What `stop` cuts short is not posted. A fit that was proved for the very question stays, whatever
/// a search for the same question ends with.
void settle(const SettleRequest& request, const SolverCalls& calls, const std::stop_token& stop,
            const PostSolver& post);

/// Height windows of the pumps in their order, piece by piece as they become known.
void find_windows(const SettleRequest& request, const SolverCalls& calls, const std::stop_token& stop,
                  const PostSolver& post);

/// True when every line has an earlier route in a make and stock that the job still allows.
bool routes_may_serve(const Job& job, const std::vector<LineSearch>& earlier);

}  // namespace hosefit
