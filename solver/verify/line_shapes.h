// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <array>
#include <map>
#include <memory>
#include <optional>
#include <span>
#include <vector>

#include "solver/model/bay.h"
#include "solver/model/motion.h"
#include "solver/model/route.h"
#include "solver/rod/rod.h"
#include "solver/verify/clip_places.h"
#include "solver/verify/tube.h"

namespace hosefit {

/// A stretch of a line between two of its nodes.
struct LineLink {
  double from_s_mm = 0, to_s_mm = 0;
  double radius_mm = 0;
  Runner runner = Runner::hose;
  OwnPart own_from = OwnPart::full_gap, own_to = OwnPart::full_gap;
  LineCarrier carrier = LineCarrier::both;  ///< of the neck, over a neck
  bool over_neck = false;
  OnTee on_tee = OnTee::no;
};

/// A line at one place of the engine, in the vehicle frame.
struct LineShape {
  std::vector<Vec3> nodes_mm;              ///< links + 1
  std::vector<double> bent;                ///< of the limit of each place that has one; 1 = at the limit
  std::optional<double> tightest_bend_mm;  ///< empty for a line that goes as it is
  RodShape rod;
  EnginePlace place = EnginePlace::Zero();
  int family = 0;  ///< 0: reached from the shape at rest; k: from the k-th of others_at_rest()
};

/// A part of a line between two places where it is held in place and direction: necks or clips.
struct FreeStretch {
  double from_s_mm = 0, to_s_mm = 0;  ///< along the route
  Carrier from = Carrier::chassis, to = Carrier::chassis;
  bool from_neck = true, to_neck = true;
};
/// In order along the route; clips that are fixed to nothing hold nothing.
std::vector<FreeStretch> free_stretches(const Bay& bay, const Route& route, std::span<const ClipPlace> clips);

/// The shapes that one free stretch of a line takes while the engine moves. Between ends on different
/// carriers it is an elastic rod of the route's own length:
///   straight and corrugated hose is straight when free and flexed into place, turned until it holds no
///   twist; elbows with straights are made to the route's shape; a bent tube is made to its shape and stiff;
///   only the free hose in its two couplers flexes.
/// Between ends on one carrier it goes with that: flexed hose in the shape that it springs into, all else as
/// it was made. Lengths do not change; weight and pressure are left out.
class LineInMotion {
 public:
  /// Preconditions: those of tube_of(); the route is whole and ends on its necks.
  LineInMotion(const Bay& bay, const Route& route, const Stock* stock, const EnginePlaces& places,
               const FreeStretch& stretch);

  /// Something stiff that goes with one of the line's necks: a clamp.
  LineInMotion(std::size_t line, const Straight& along, const LineLink& link, bool moves,
               const EnginePlaces& places);

  /// Something stiff that sits on this stretch where its link says, planned to lie `along`, and goes with the
  /// line there: a clamp inside the run. Precondition: a line's stretch, not something stiff.
  LineInMotion riding(const Straight& along, const LineLink& link) const;

  std::size_t line() const { return line_; }
  const std::vector<LineLink>& links() const { return links_; }
  /// Its ends move against each other.
  bool between_carriers() const { return from_moves_ != to_moves_; }
  double length_mm() const { return stretch_.to_s_mm - stretch_.from_s_mm; }
  bool holds(double s_mm) const { return s_mm >= stretch_.from_s_mm && s_mm <= stretch_.to_s_mm; }
  double chord_mm(const EnginePlace& place) const;
  /// What `bent` of a shape is measured against: for hose that is flexed every joint against its least
  /// radius, for bent tube the turn in the free hose of each coupler against 5 deg (common practice, no
  /// source).
  struct BendLimit {
    std::optional<double> least_radius_mm, most_turn_rad;
    Provenance provenance;
  };
  const std::optional<BendLimit>& bend_limit() const { return bend_limit_; }

  /// The shape with the engine at rest. Empty: the rod finds no stable one.
  const std::optional<LineShape>& at_rest() const { return at_rest_; }
  /// Other stable shapes at rest that a push brings the line to, each at least 5 mm from all others
  /// somewhere.
  std::vector<LineShape> others_at_rest() const;
  /// What this, riding on a stretch, looks like in a shape at rest of that stretch.
  LineShape riding_in(const LineShape& of_stretch) const;
  /// The shape at another place of the engine, reached from `near`, in steps where one does not lead there.
  /// Empty: no stable one was found. What was found at a place is kept and serves what rides on the line too,
  /// so an object and its riders may be used by one thread at a time.
  std::optional<LineShape> at(const EnginePlace& place, const LineShape& near) const;

 private:
  struct Rider {
    std::size_t link = 0;  ///< of the rod
    Vec3 from_mm, to_mm;   ///< in that link's frame, from its first node
  };

  void divide(const Tube& tube, LineCarrier carrier);
  void make_rod(const Route& route, const Stock* stock);
  void settle_at_rest(const Route& route);
  using Known = std::map<std::array<double, 5>, std::optional<RodShape>>;  // by family and place
  std::optional<RodShape> step_to(const EnginePlace& place, const RodShape& near) const;
  std::optional<RodShape> reached(const EnginePlace& place, const LineShape& near) const;
  RodEnd from_at(const EnginePlace& place) const;
  RodEnd to_at(const EnginePlace& place) const;
  std::vector<Vec3> nodes_of(const RodEnd& from, const RodShape& rod, const EnginePlace& place) const;
  std::vector<Vec3> rider_at(const RodEnd& from, const RodShape& rod) const;
  LineShape shape_of(const RodEnd& from, const RodEnd& to, RodShape rod, const EnginePlace& place) const;

  std::size_t line_ = 0;
  EnginePlaces places_;
  FreeStretch stretch_;
  double route_length_mm_ = 0;
  bool from_moves_ = false, to_moves_ = false;
  bool is_rod_ = false;  ///< else it goes with its carrier as it was made
  std::vector<LineLink> links_;
  std::size_t first_ = 0;  ///< link of the rod's first link; the links before it lie over the neck
  std::vector<Vec3> nodes_at_rest_mm_;
  Rod rod_;
  RodEnd from_, to_;
  std::vector<std::size_t> from_coupler_, to_coupler_;  ///< joints in the free hose of the couplers
  std::optional<BendLimit> bend_limit_;
  std::vector<Mat3> planned_frames_;  ///< of the rod's links
  std::optional<Rider> rider_;        ///< then its two ends are all nodes
  std::optional<LineShape> at_rest_;
  std::shared_ptr<Known> known_ = std::make_shared<Known>();
};

}  // namespace hosefit
