// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <functional>

#include "viewer/pane_contents.h"
#include "viewer/solver_worker.h"

namespace hosefit {

/// A job as read from its files, or what is wrong with them.
struct Loaded {
  std::uint64_t number = 0;
  std::string folder;
  JobPaths paths;     ///< empty when the places were not found
  FileStamps stamps;  ///< of the files before they were read
  std::shared_ptr<const Job> job;
  std::string problems;
};

/// Owns the state and the workers, carries out intents. All its functions are called by the drawing thread
/// and return soon: reading, solving and proving happen on its workers.
class Session {
 public:
  /// `wake` is called from workers when something new waits to be taken in.
  Session(SolverCalls calls, InstallPlaces places, std::function<void()> wake);

  const State& state() const { return state_; }
  void apply(const Intents& intents);
  void apply(const Intent& intent);
  /// Takes in what the workers have sent; about once a second looks whether files changed. `seconds` never
  /// falls.
  void tick(double seconds);
  /// Nothing is being read, answered or about to be; height windows may still be running.
  bool settled() const;

  // One for each intent; what they do is said at the intent.
  void carry_out(const OpenVehicle& intent);
  void carry_out(const BrowseTo& intent);
  void carry_out(const ShowStart& intent);
  void carry_out(const SetHeight& intent);
  void carry_out(const ChoosePane& intent);
  void carry_out(const ShowAlone& intent);
  void carry_out(const SetMostPanes& intent);
  void carry_out(const SetIntake& intent);
  void carry_out(const SetEngine& intent);
  void carry_out(const HoldHousing& intent);
  void carry_out(const SetMake& intent);
  void carry_out(const SetStock& intent);
  void carry_out(const TakeBackChanges& intent);
  void carry_out(const SetUnit& intent);
  void carry_out(const SetSection& intent);
  void carry_out(const SetLook& intent);
  void carry_out(const MoveCamera& intent);
  void carry_out(const TieCameras& intent);
  void carry_out(const Select& intent);
  void carry_out(const PickAt& intent);
  void carry_out(const StopSolving& intent);
  void carry_out(const SolveAgain& intent);
  void carry_out(const ShowKeys& intent);
  void carry_out(const Quit& intent);

 private:
  void load(bool only_if_changed);
  void take(const Loaded& loaded);
  void take(const Judged& message);
  void take(const Ranked& message);
  void take(const Working& message);
  void take(const Failed& message);
  void take(const WindowKnown& message);
  void take(const WindowsDone& message);
  void take_job(const Loaded& loaded);
  void remake_job();
  void begin_panes();
  void ask_again();
  void ask_windows();
  void leave_windows();
  SettleRequest request();
  void refill_panes();
  void fit_cameras();

  SolverCalls calls_;
  InstallPlaces places_;
  std::function<void()> wake_;
  State state_;
  std::shared_ptr<MeshStore> meshes_ = std::make_shared<MeshStore>();
  std::uint64_t loads_ = 0, requests_ = 0;
  JobPaths watched_;
  FileStamps stamps_;
  double next_look_ = 0;
  std::shared_ptr<Mailbox<SolverMessage>> answers_ = std::make_shared<Mailbox<SolverMessage>>();
  std::shared_ptr<Mailbox<Loaded>> loaded_ = std::make_shared<Mailbox<Loaded>>();
  SolverWorker reader_{Precedence::normal}, solver_{Precedence::behind},
      window_finder_{Precedence::idle};  // last: their tasks use the mailboxes
};

}  // namespace hosefit
