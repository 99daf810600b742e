// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cstdint>
#include <map>
#include <stop_token>
#include <utility>
#include <vector>

#include "solver/decide/judge.h"

/// Necks whose place is chosen together with the lines: a radiator ordered with its necks moved.
namespace hosefit {

/// Which places of the necks leave room for what goes along with them: against everything in the bay with one
/// candidate, except what goes along with other necks; at rest and wherever the engine goes on its mounts.
/// And hose can be pushed onto the neck there as far as where it is written: its tube is not moved into its
/// tank. Measured once for each place asked for. Not for several threads.
class NeckRoom {
 public:
  enum class Room { clear, taken, undecided };
  /// Precondition: bolts_together(job, candidate).
  NeckRoom(const Prepared& prepared, const Candidate& candidate) : prepared_(prepared), base_(candidate) {
    base_.neck_places.clear();
  }
  Room at(std::size_t which, std::size_t place);
  bool clear(std::size_t which, std::size_t place) { return at(which, place) == Room::clear; }
  /// Each neck at the nearest place that is clear; where none is, as written.
  Candidate nearest_clear();

 private:
  Room measure(std::size_t which, std::size_t place) const;
  const Prepared& prepared_;
  Candidate base_;
  std::map<std::pair<std::size_t, std::size_t>, Room> known_;
};

/// The candidate with some necks elsewhere.
Candidate with_neck_at(const BodyStore& bodies, Candidate candidate, std::size_t which, std::size_t place);

/// The candidates that differ in the places of the necks of one line, those first whose necks are moved least
/// in all. Without `candidate` itself and those with a neck at a place without room. Empty for a line without
/// such necks.
enum class Places { clear, not_taken };
std::vector<Candidate> with_other_places(const Prepared& prepared, NeckRoom& room, const Candidate& candidate,
                                         const BayLine& line, Places places = Places::clear);

bool has_chosen_neck(const Prepared& prepared, const BayLine& line);

/// An argument against a line stands only if it stands at every place of its necks that is not taken, with
/// nothing there of what goes along with other necks: searched for alone at each, until one says otherwise.
/// Those that do not become budget_spent. At most kMostArgued places are looked at; a line with more keeps no
/// argument.
inline constexpr std::size_t kMostArgued = 400;
void keep_arguments_of_all_places(const Prepared& prepared, NeckRoom& room, const Candidate& candidate,
                                  const Budget& budget, const std::stop_token& stop,
                                  std::vector<LineSearch>& searches);

/// Of a candidate that can be put together.
std::vector<StandingNeck> standing_necks(const Prepared& prepared, const Bay& bay,
                                         const Candidate& candidate);

/// One flag (neck_elsewhere) for each that is not where it is written: subject = the neck, where = its end.
/// Parameters: by how much its end goes forward_mm or rearward_mm, left_mm or right_mm, up_mm or down_mm, and
/// turned_deg; those that are not there are 0.
std::vector<Finding> moved_neck_findings(const Job& job, std::span<const StandingNeck> necks);

/// For each line that is not proved and has a neck to choose, the other places of its necks in turn, nearest
/// first, with little work each and then with the budget of a make. Of more than 24 places so many that lie
/// all over them; after these the rest, with little work. Together up to kNeckWork times the budget of a
/// make. The other lines stay, or are laid anew where one of them is in the way. A place is taken when with
/// it more lines are proved and the parts hold as before. A line that is proved keeps its necks.
inline constexpr std::int64_t kNeckWork = 100;
Judgement place_necks(const Prepared& prepared, NeckRoom& room, Judgement first, const Budget& budget,
                      const std::stop_token& stop, const JudgeRouted& judge);

}  // namespace hosefit
