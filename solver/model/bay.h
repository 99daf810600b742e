// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cstddef>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "solver/model/vehicle.h"

namespace hosefit {

/// pump x drive x housing (at one of its clocks) x intake at a height; indexes into the Family.
struct Candidate {
  std::size_t pump = 0, drive = 0, housing = 0, clock = 0, intake = 0;
  Length height;
  /// Beside BodyStore::chosen_necks(): which of its places each neck has. Empty: all as written.
  std::vector<std::size_t> neck_places = {};
  std::vector<TeeStand> tees = {};  ///< of the vehicle's tee; empty: its place is not known, or there is none
  friend bool operator==(const Candidate&, const Candidate&) = default;
};

/// A body where it stands. Frame of the pose: body frame to vehicle frame.
struct PlacedBody {
  std::shared_ptr<const Body> body;
  Pose pose;
};

struct ObstacleRef {
  std::size_t body = 0, obstacle = 0;
  friend bool operator==(const ObstacleRef&, const ObstacleRef&) = default;
};

/// A neck in the vehicle frame. OwnPart: obstacles it grows out of. Along the hose pushed over the neck they
/// do not count; along the least lead of the line beyond the neck's end they must not be touched (gap >= 0),
/// further on their full gap holds. The hose over the neck and its clamp go with the neck's carrier, so their
/// gaps are those of that carrier.
struct PlacedNeck {
  std::string name;
  Vec3 end_mm;
  Vec3 outward;
  Length outside_diameter, bore, straight;
  bool bead = true;
  std::size_t body = 0;
  std::vector<ObstacleRef> own_part;
  std::optional<std::size_t> goes_along =
      std::nullopt;  ///< body that moves with it, when its place is chosen
  Carrier carrier = Carrier::chassis;
  MeasuredBy method = MeasuredBy::assumed;
  Length accuracy;
};

bool is_own_part(const PlacedNeck& neck, ObstacleRef ref);

struct BayLine {
  Line line;
  std::size_t from = 0, to = 0;  ///< indexes into Bay::necks
  LineCarrier carrier = LineCarrier::both;
};

/// A vehicle's tee in a bay. Where nobody has said where it stands its body holds nothing, and its necks
/// stand for nothing: no line may be led to them.
struct PlacedTee {
  std::size_t body = 0;                                ///< the last one
  std::size_t neck = 0;                                ///< the first of its three, in the order of TeeNeck
  std::size_t before = 0, after = 0, branch_line = 0;  ///< indexes into Bay::lines
  bool stands = false;
  /// The line that carries it runs between engine and chassis: nobody knows how the tee moves with the
  /// engine. Its body then counts as one of the chassis, and its lines as lines between both.
  bool floats = false;
};

/// Everything around the engine in one vehicle with one candidate, as bodies. Vehicle frame.
struct Bay {
  std::vector<PlacedBody> bodies;
  std::vector<PlacedNeck> necks;
  std::vector<BayLine> lines;  ///< in the order of the vehicle file
  std::vector<BoxShape> known_space;
  std::vector<BoxShape> looked_behind = {};  ///< where it holds behind and past scans too
  std::optional<PlacedTee> tee = std::nullopt;
};

const Obstacle& obstacle(const Bay& bay, ObstacleRef ref);
/// Inside one of the boxes (their union; a point on a face counts as inside).
bool in_known_space(const Bay& bay, const Vec3& p_mm);

/// The bodies in this order: chassis, hood, fan, on_engine, engine, drive, pump, housing, intake base, intake
/// stretch, intake top. After these, one for each neck with a choice: what goes along with it; or the tee.
enum class BayBody {
  chassis,
  hood,
  fan,
  on_engine,
  engine,
  drive,
  pump,
  housing,
  intake_base,
  intake_stretch,
  intake_top
};
inline constexpr std::size_t index(BayBody b) {
  return static_cast<std::size_t>(b);
}

inline constexpr std::size_t kFirstNeckBody = index(BayBody::intake_top) + 1;
/// The chassis, or what of it goes along with a neck, or the tee: what is drawn as the vehicle's own.
inline constexpr bool is_of_chassis(std::size_t body) {
  return body == index(BayBody::chassis) || body >= kFirstNeckBody;
}

/// A neck whose place is chosen together with the lines.
struct ChosenNeck {
  std::size_t neck = 0;               ///< index into Vehicle::necks, and so into Bay::necks
  std::shared_ptr<const Body> parts;  ///< what of the chassis goes along; may hold no obstacle
  std::vector<NeckPlace> places;      ///< as places_of gives them
};

/// The bodies of a job that are not in its files as such, each made once, so that candidates share Body
/// objects and the indexes built for them.
class BodyStore {
 public:
  explicit BodyStore(const Job& job);
  /// Without what goes along with a neck.
  const std::shared_ptr<const Body>& chassis() const { return chassis_; }
  const std::vector<ChosenNeck>& chosen_necks() const { return chosen_necks_; }
  /// In its own frame; null when the vehicle has none.
  const std::shared_ptr<const Body>& tee() const { return tee_; }
  std::shared_ptr<const Body> intake_base(std::size_t intake) const { return base_[intake]; }
  std::shared_ptr<const Body> intake_top(std::size_t intake) const { return top_[intake]; }
  /// The stretch at a height; the same Body object whenever the same height is asked for again. Safe from
  /// several threads.
  std::shared_ptr<const Body> intake_stretch(std::size_t intake, Length height) const;

 private:
  struct Stretches;
  const Job* job_;  ///< outlives the store
  std::shared_ptr<const Body> chassis_;
  std::vector<ChosenNeck> chosen_necks_;
  std::shared_ptr<const Body> tee_;
  std::vector<std::shared_ptr<const Body>> base_, top_;
  std::shared_ptr<Stretches> stretches_;
};

/// Where the candidate has a neck with a choice.
const NeckPlace& place_of(const ChosenNeck& chosen, const Candidate& candidate, std::size_t which);
bool necks_as_written(const Candidate& candidate);
/// Equal but for the places of necks and tee.
bool same_parts(const Candidate& a, const Candidate& b);
/// Its places of necks are ones that the job's necks have; a tee stands in it only if the job has one.
bool has_its_places(const BodyStore& store, const Candidate& candidate);

/// Precondition: the housing's flange and place match the pump's seat, and the height is within the intake's
/// range.
Bay assemble(const Job& job, const BodyStore& store, const Candidate& candidate);

/// Engine frame to vehicle frame.
Pose engine_pose(const Vehicle& vehicle);

}  // namespace hosefit
