// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "solver/geometry/vec.h"

/// Points measured with tape and plumb line from points whose coordinates are known. Millimetres, vehicle
/// frame, Z up.
namespace hosefit {

/// A point with known coordinates. `accuracy_mm` (plus or minus, each coordinate) takes part: a datum that is
/// 5 mm off moves what is measured from it.
struct TapeDatum {
  std::string name;
  Vec3 at_mm = Vec3::Zero();
  double accuracy_mm = 0;  ///< above 0
};
/// A point to be worked out.
struct TapePoint {
  std::string name;
  std::optional<Vec3> near_mm = std::nullopt;  ///< rough place: chooses among mirror images, nothing else
};

enum class TapeKind {
  distance,  ///< from the point to the other end, straight
  drop       ///< how far the point is above the other end, plumb; negative when below it
};
struct TapeEnd {
  bool datum = true;      ///< or another point of the network
  std::size_t index = 0;  ///< in `datums` or `points`
};
struct TapeReading {
  TapeKind kind = TapeKind::distance;
  std::size_t point = 0;
  TapeEnd to;
  double reads_mm = 0;
  double accuracy_mm = 0;  ///< plus or minus, above 0
};
struct TapeNetwork {
  std::vector<TapeDatum> datums;
  std::vector<TapePoint> points;
  std::vector<TapeReading> readings;
};

/// Where a point was found to be.
struct TapePlace {
  Vec3 at_mm = Vec3::Zero();  ///< to 0.001 mm
  double accuracy_mm = 0;  ///< twice the standard deviation in the worst direction, at least 0.01; see below
  Vec3 worst = Vec3::UnitZ();  ///< that direction
};
/// How one reading agrees with the rest.
struct TapeResidual {
  double off_mm = 0;          ///< what it reads less what the places found give, datums where they are stated
  double times_accuracy = 0;  ///< off_mm over the reading's accuracy
  /// Studentised: its share of the misfit over the standard deviation of that share. Empty when no other
  /// reading checks it, so that a slip in it goes unseen.
  std::optional<double> studentised;
  double slip_mm = 0;       ///< how far wrong it would be if it alone were; when studentised
  double seen_from_mm = 0;  ///< least slip found in four cases out of five (Baarda 1968, from memory: 4.13
                            ///< standard deviations for the limit below); when studentised
};

enum class TapeFault {
  too_few,        ///< fewer than three readings lead to known places (or to points found from such)
  not_fixed,      ///< the readings leave a direction open: `direction`, within `figure` mm
  two_places,     ///< `places`: mirror images, and nothing says which
  near_excluded,  ///< `places`: what the readings give, and the rough place, which is nearer to what they
                  ///< exclude or more than 300 mm off
  near_between,   ///< `places`: the rough place is about as far from both
  do_not_meet,    ///< `figure`: least misfit in mm
  bad_reading,    ///< `readings`: one; without it all others agree
  bad_among,      ///< `readings`: without any of these the others agree; which it is cannot be told
  no_agreement    ///< more than one is off: `readings` with the largest misfit first
};
struct TapeRefusal {
  TapeFault fault = TapeFault::too_few;
  std::size_t point = 0;
  std::vector<std::size_t> readings = {};
  std::vector<Vec3> places = {};
  double figure = 0;
  Vec3 direction = Vec3::Zero();
};

struct TapeSolution {
  std::vector<TapePlace> places;        ///< of every point
  std::vector<TapeResidual> residuals;  ///< of every reading
  std::vector<TapeRefusal> refusals;  ///< empty: all can be used. Otherwise places of no use may stand above
};

/// What was measured and what came out of it.
struct TapeSurvey {
  TapeNetwork network;
  TapeSolution solution;
};

/// Weighted least squares over points and datums at once: every reading and every coordinate of a datum
/// counts as (misfit / standard deviation)^2, where an accuracy is two standard deviations (coverage factor 2
/// as in JCGM 100:2008, 6.2). The covariance of the places is that of the accuracies stated, not of the
/// misfit found. A point needs three readings to datums or to points found from such; after that all are
/// solved together.
///   Readings are held against the rest by the studentised residual (Baarda, A testing procedure for use in
/// geodetic networks, 1968: limit 3.29, one false alarm in a thousand) and by the sum of squares (chi-square,
/// the same odds). The one to blame is found by leaving each suspect out in turn, where the rest still fixes
/// all places; two suspects are told apart when the rest speaks twenty times more strongly for one (kAlike).
///   Precondition: indices in range, no reading from a point to itself, accuracies above 0.
TapeSolution solve(const TapeNetwork& network);

inline constexpr double kStudentisedLimit = 3.29;
inline constexpr double kAlike = 5.99;     ///< 2 ln 20, between sums of squares
inline constexpr double kLoosest_mm = 30;  ///< a place known no better is refused: a guess by eye is as good,
                                           ///< and straight-line error bounds fail there
/// The chi-square that is exceeded once in a thousand (Wilson and Hilferty 1931; within 3.1 % of the tables).
double chi_square_limit(std::size_t degrees);

}  // namespace hosefit
