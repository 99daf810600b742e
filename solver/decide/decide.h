// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <stop_token>
#include <string>
#include <string_view>
#include <vector>

#include "solver/base/parallel.h"
#include "solver/decide/flow.h"
#include "solver/decide/motion.h"
#include "solver/model/bay.h"
#include "solver/model/finding.h"
#include "solver/model/verdict.h"
#include "solver/route/lines.h"
#include "solver/verify/clip_places.h"
#include "solver/verify/proof.h"

/// From a job and a question to a choice. The command line and the viewer call the same `decide`.
namespace hosefit {

/// A job with everything built once that candidates share. Immutable for its users; queries may run in
/// parallel.
class Prepared {
 public:
  /// `threads` build what is shared.
  explicit Prepared(Job job, Threads threads = {});
  const Job& job() const { return *job_; }
  const BodyStore& bodies() const { return bodies_; }
  FieldStore& fields() const { return *fields_; }  ///< fills itself on demand, thread-safe
  ProofStore& proofs() const {
    return *proofs_;
  }  ///< the same for the proof, which shares nothing with the search

 private:
  std::unique_ptr<const Job> job_;
  BodyStore bodies_;
  std::unique_ptr<FieldStore> fields_;
  std::unique_ptr<ProofStore> proofs_;
};

struct Query {
  std::size_t intake = 0;
  Length height;
  std::vector<std::size_t> pumps;  ///< only these; empty = all
};
/// The question written in the vehicle file.
Query question_of(const Job& job);

/// Counts units of work, never time, so that the answer is the same on every machine and thread count.
struct Budget {
  std::int64_t work_units_per_make = 8000;
  RunSeed seed{1};
  Threads threads{1};
};

/// Told from any thread, one call at a time; `done` never falls.
struct Progress {
  std::function<void(std::size_t done, std::size_t of, std::string_view what)> tell;
};

/// How near a candidate that does not fit comes to fitting: what would have to give way.
enum class Hindrance { none, line, part_in_the_way, parts_do_not_pair };

/// What ranks candidates, compared in this order; every quantity is shown with its reason. Never a single
/// score.
struct Comparison {
  int fit_order = 3;                      ///< fits 0, passage without stock 1, undecided 2, does not fit 3
  Hindrance hindrance = Hindrance::none;  ///< the gravest stop; none or line unless it does not fit
  double missing_mm = 0;                  ///< the largest shortfall of those stops; compared in steps of 1 mm
  int lines_open = 0;                     ///< of the lines tried those without a way proved at rest
  int necks_moved = 0;                    ///< to be ordered elsewhere than written
  int flags = 0;                          ///< findings that a person must look at
  int parts_changed = 0;  ///< parts that are neither fitted nor owned: pump, drive, housing, intake
  bool fitted_pump = false;
  int joints = 0;             ///< clamped hose ends over all lines
  double least_spare_mm = 0;  ///< proved, over all lines; compared in steps of 1 mm
  double length_mm = 0;       ///< of all lines; compared in steps of 10 mm
};

/// Where a neck with a choice stands.
struct StandingNeck {
  std::size_t neck = 0;  ///< index into Vehicle::necks
  NeckPlace place;
  Vec3 end_mm, outward;  ///< vehicle frame
  bool as_written = true;
};

struct CandidateResult {
  Candidate candidate;
  Verdict verdict;
  bool lines_tried = false;          ///< false when a part already cannot be used: nothing was routed then
  std::vector<LineSearch> searches;  ///< one per line of the bay, when tried
  std::vector<Route> routes;  ///< what was found, in the order of the lines; proof.lines runs beside it
  ProofReport proof;
  std::vector<std::vector<ClipPlace>> clips;  ///< what holds them between their necks; beside `routes`
  std::optional<MotionAnswer> motion;         ///< when the parts go together and every line is proved at rest
  std::vector<StandingNeck> necks;            ///< with a choice, in the order of the vehicle
  std::vector<Finding> findings;   ///< stops first, then flags, notes; within each the shortest margin first
  std::optional<FlowAnswer> flow;  ///< when all lines were found
  Comparison comparison;
  std::vector<std::string> changes;  ///< parts to change against what is fitted, as "housing: swivel 45"
};

/// One pump variant: its best candidate and how the others fared.
struct PumpAnswer {
  std::size_t pump = 0;             ///< index into Family::pumps
  std::size_t best = 0;             ///< index into Choice::candidates
  std::vector<std::size_t> others;  ///< the same pump with other drives, housings, clocks; best first
};

struct Choice {
  Query query;
  std::vector<CandidateResult> candidates;
  std::vector<PumpAnswer>
      ranking;  ///< every pump asked for (when stopped: of which a candidate was finished), best first
  bool stopped = false;  ///< interrupted: what is here was finished, the rest is missing
  std::int64_t candidates_left = 0;
};

/// Judges every candidate (all drives, housings and clocks for each pump), each alone; same answer on any
/// thread count.
Choice decide(const Prepared& prepared, const Query& query, const Budget& budget, const std::stop_token& stop,
              const Progress& progress);

/// An interval of intake heights. `fits` and `does_not_fit` only where a proof covers every height in it.
struct HeightWindow {
  Length from, to;
  Fit fit = Fit::undecided;
  std::optional<Finding> binds;  ///< what ends it above, or of all heights judged in it what misses by most
  Length binds_at = {};          ///< the height judged at which `binds` stands, with its figures
};

/// Height windows of one pump over the intake's range, ascending, without holes. A route proved at height h
/// with spare m to the intake's moving parts stays proved for |dh| <= m (a body moved by dh changes no
/// distance by more than dh); the chain of such proofs is the window. Steps that no proof covers are
/// undecided. `least_step` bounds the work. `known` is told each piece as soon as it is settled, ascending
/// and without holes (neighbours of one kind are not joined yet); nothing more once `stop` is requested.
std::vector<HeightWindow> height_windows(const Prepared& prepared, std::size_t pump, std::size_t intake,
                                         Length least_step, const Budget& budget, const std::stop_token& stop,
                                         const Progress& progress,
                                         const std::function<void(const HeightWindow&)>& known = {});

}  // namespace hosefit
