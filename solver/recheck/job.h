// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <map>
#include <optional>
#include <string>
#include <tuple>
#include <vector>

#include "solver/recheck/record.h"
#include "solver/recheck/refusals.h"
#include "solver/recheck/solids.h"

/// The input files as the recheck reads them. Only what it needs; words stay words, so that one that nobody
/// here knows cannot turn into another.
namespace hosefit::recheck {

struct Obstacle {
  std::string name, hazard;
  Solid solid;
  std::optional<double> own_gap_mm;
};
struct Slide {
  V3 along = V3::UnitX();
  double from_mm = 0, to_mm = 0, step_mm = 0;
};
/// Where else a neck may be ordered: first turned, then slid by whole steps.
struct NeckChoice {
  std::vector<std::string> with;  ///< obstacles of the chassis that go along
  std::vector<Slide> slides;
  V3 about_mm = V3::Zero(), axis = V3::UnitZ();
  std::vector<double> turns_deg;  ///< right-handed; not to turn is allowed besides
};
struct Neck {
  std::string name;
  V3 end_mm = V3::Zero(), outward = V3::UnitZ();
  double outside_mm = 0, bore_mm = 0, straight_mm = 0;
  std::vector<std::string> on;
  std::optional<NeckChoice> choice = {};  ///< of necks on the chassis only
};
struct Pump {
  std::string name;
  std::vector<Obstacle> obstacles;
  std::vector<Neck> necks;
  std::string seat_place, seat_flange;
  Frame seat;
  std::string rotation;
  double pulley_plane_mm = 0;
};
struct Drive {
  std::string name;
  std::vector<Obstacle> obstacles;
  double belt_plane_mm = 0, longest_span_mm = 0;
  std::string pump_contact;
};
struct Housing {
  std::string name;
  std::vector<Obstacle> obstacles;
  Neck neck;
  std::string flange;
  std::vector<std::string> places;
  std::vector<double> clocks_deg;
};
struct Intake {
  std::string name;
  double drawn_mm = 0, least_mm = 0, most_mm = 0;
  std::vector<Obstacle> base, stretch, top;
};
struct Line {
  std::string name, from, to, duty, grade;
  std::optional<std::string> stock;
  std::vector<std::string> makes;
};
struct TubeEnd {
  double outside_mm = 0, bore_mm = 0, straight_mm = 0;
};
/// Along the middle of the hose from the open end of a neck to the middle of the tee.
struct TeeRange {
  std::string from;
  double least_mm = 0, most_mm = 0;
};
/// A fitting in a line, which another line ends at.
struct Tee {
  std::string name, on;
  TubeEnd run, branch;
  double body_length_mm = 0, body_outside_mm = 0;
  double off_axis_mm = 0;                         ///< the branch's open end
  std::optional<TeeRange> range;                  ///< empty: anywhere
  std::optional<std::vector<double>> clocks_deg;  ///< empty: every 15 deg
  std::string starts_at, ends_at;                 ///< the necks of its line
  std::string before, after;                      ///< the two parts of its line, as Job::lines holds them
};
/// From the end marked A.
struct MouldedShape {
  std::string name;
  std::vector<double> straights_mm, radii_mm, angles_deg, turns_deg;
};
struct Stock {
  std::string id, make;
  double bore_mm = 0, outside_mm = 0;
  std::vector<double> radii_mm, angles_deg, lengths_mm;
  double most_bend_deg = 0, straight_between_mm = 0;
  double leg_mm = 0, cuff_mm = 0, cuff_trim_mm = 0, coupler_outside_mm = 0, coupler_gap_mm = 0;
  std::vector<MouldedShape> shapes;  ///< of the make moulded_shape, and of no other
};

/// Required gaps, by what runs past, the hazard, and whether both are carried alike.
class Gaps {
 public:
  void set(const std::string& runner, const std::string& hazard, bool alike, double at_rest_mm,
           double after_motion_mm) {
    rows_[{runner, hazard, alike}] = {at_rest_mm, after_motion_mm};
  }
  /// In the place of the table's gap at rest; that after motion keeps its share of it, the whole of nothing.
  void set_by_shop(const std::string& runner, const std::string& hazard, bool alike, double at_rest_mm) {
    Row& row = rows_[{runner, hazard, alike}];
    row = {at_rest_mm, row.at_rest_mm > 0 ? at_rest_mm * (row.after_mm / row.at_rest_mm) : at_rest_mm};
  }
  /// Empty when the table has no such row.
  std::optional<double> at(const std::string& runner, const std::string& hazard, bool alike) const {
    const auto found = rows_.find({runner, hazard, alike});
    return found == rows_.end() ? std::nullopt : std::optional(found->second.at_rest_mm);
  }
  /// The same with the engine anywhere on its mounts.
  std::optional<double> after_motion(const std::string& runner, const std::string& hazard, bool alike) const {
    const auto found = rows_.find({runner, hazard, alike});
    return found == rows_.end() ? std::nullopt : std::optional(found->second.after_mm);
  }

 private:
  struct Row {
    double at_rest_mm = 0, after_mm = 0;
  };
  std::map<std::tuple<std::string, std::string, bool>, Row> rows_;
};

/// How far the engine goes on its mounts, each way from where it was measured; roll to either side about an
/// axis along the crank.
struct MountsFigures {
  double roll_deg = 0, lift_mm = 0, forward_mm = 0, rearward_mm = 0, sideways_mm = 0;
  double axis_below_crank_mm = 0;
};

struct Job {
  std::string family;
  V3 engine_at_mm = V3::Zero();
  double tilt_deg = 0;
  std::string mounts;                        ///< their kind
  std::optional<MountsFigures> own_figures;  ///< the shop's, in place of those of the kind
  std::map<std::string, MountsFigures> figures_of_mounts;
  std::vector<Obstacle> chassis, hood, fan, on_engine, block;
  bool fan_on_engine = false;
  std::vector<Neck> chassis_necks, engine_necks;
  std::string crank_rotation;
  std::vector<Line> lines;  ///< that of a tee in two parts
  std::optional<Tee> tee;
  std::vector<Solid> known_space;
  std::vector<Pump> pumps;
  std::vector<Drive> drives;
  std::vector<Housing> housings;
  std::vector<Intake> intakes;
  std::vector<Stock> stock;  ///< the shelf's before those of the data folder
  Gaps gaps;                 ///< the shop's applied
};

/// Those that count; empty when the tables do not hold the kind.
std::optional<MountsFigures> mounts_figures(const Job& job);

struct JobFolders {
  std::string vehicle, family, data;
};

/// A job, or why there is none. `changed`: the files are not those of the record. `not_understood`: they are,
/// but hold something the recheck does not know.
struct JobRead {
  std::optional<Job> job;
  Problems missing, changed, not_understood;
};
JobRead read_job(const JobFolders& folders, const Record& record);

struct Report;
/// Every candidate of the record against the job; in motion when it holds at rest.
enum class Asked { at_rest, in_motion_too };
Report recheck_record(const Job& job, const Record& record, Asked asked = Asked::in_motion_too);

}  // namespace hosefit::recheck
