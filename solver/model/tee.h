// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <array>
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "solver/model/body.h"
#include "solver/model/line.h"
#include "solver/model/neck.h"

namespace hosefit {

/// Where along its line a tee may sit: the way along the centreline from the end of one of the line's necks
/// to the tee's middle.
struct TeeStretch {
  bool from_start = true;  ///< measured from the neck where the line starts; else from that where it ends
  Length least, most;      ///< least <= most
};

/// One of a tee's tube ends.
struct TeeEnd {
  Length outside_diameter, bore;
  Length straight;  ///< that hose can be pushed over
  bool bead = true;
};

/// A fitting put into a line, which another line starts or ends at. The line that carries it is cut in two:
/// in Vehicle::lines stand its two parts in its place, each of them a line between two necks.
struct Tee {
  std::string name;
  TeeEnd run;                         ///< both ends alike
  Length body_length, body_outside;   ///< between the tube ends of the run
  TeeEnd branch;                      ///< square to the run, from its middle
  Length branch_off_axis;             ///< from the run's axis to the branch's open end
  std::optional<TeeStretch> within;   ///< empty: anywhere
  std::vector<Angle> clocks;          ///< the branch may point; empty: any multiple of kTeeClockStep_deg
  Line whole;                         ///< the line that carries it, as written
  std::size_t before = 0, after = 0;  ///< its parts, in Vehicle::lines: up to the tee, and on from it
  std::size_t branch_line = 0;        ///< the line that starts or ends at the tee, in Vehicle::lines
  Place place;
};

inline constexpr double kTeeClockStep_deg = 15.0;

/// Where a tee stands. Vehicle frame.
struct TeeStand {
  Vec3 middle_mm;  ///< where the axes of run and branch cross
  Vec3 along;      ///< unit; the way the line that carries it goes
  Angle clock;     ///< of the branch, see tee_pose
  friend bool operator==(const TeeStand&, const TeeStand&) = default;
};

/// The tee's own frame: Z along the run the way its line goes, X along the branch. At clock 0 the branch
/// points up, or rearward where the run is steeper than 64 deg; it turns clockwise seen the way the line
/// goes.
Pose tee_pose(const TeeStand& stand);

/// From the middle to either end of the run.
double half_run_mm(const Tee& tee);

/// The angles that its branch may have, without doubles, in the order of the input.
std::vector<Angle> clocks_of(const Tee& tee);

/// What of it no hose covers, in its own frame: the body as far as the ends of the hoses pushed on, and the
/// branch.
std::vector<Obstacle> tee_obstacles(const Tee& tee);

enum class TeeNeck { before, after, branch };
std::string tee_neck_name(const std::string& tee, TeeNeck which);
/// In the order of TeeNeck, in the tee's own frame.
std::array<Neck, 3> tee_necks(const Tee& tee);

/// The names of the two parts of a line that carries a tee.
std::string part_before(const std::string& line, const std::string& tee);
std::string part_after(const std::string& line, const std::string& tee);

/// The lines with that of the tee cut in two and the end at the tee turned into its branch; the tee is told
/// which they are. Precondition: `on` names a line that neither starts nor ends at the tee, and one other
/// line does.
std::vector<Line> split_at_tee(const std::vector<Line>& lines, const std::string& on, Tee& tee);

}  // namespace hosefit
