// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/input/check_report.h"

#include <fmt/format.h>

#include <algorithm>
#include <tuple>

#include "solver/input/mesh_words.h"
#include "solver/input/tape_words.h"
#include "solver/model/bay.h"

namespace hosefit {
namespace {

constexpr std::size_t kMostAdvice = 5;
constexpr double kNearMm = 600;  // obstacles farther from every neck of a line rarely come near a hose

struct Weighed {
  ReviewEntry entry;
  double weight = 0;
  std::string cure;  // how to do better; may be empty
};

class Reviewer {
 public:
  explicit Reviewer(const Job& job) : job_(job), engine_(engine_pose(job.vehicle)) {}

  InputReview review() {
    places();
    parts();
    obstacles();
    figures();
    gone_missing();
    unchecked_tapes();
    InputReview out;
    std::vector<Weighed> wanting = assumed_;
    wanting.insert(wanting.end(), missing_.begin(), missing_.end());
    order(wanting);
    for (const Weighed& w : wanting)
      if (!w.cure.empty() && out.advice.size() < kMostAdvice) out.advice.push_back(w.cure);
    out.measured = ranked(measured_);
    out.assumed = ranked(assumed_);
    out.missing = ranked(missing_);
    out.scans = mesh_sentences(job_);
    return out;
  }

 private:
  static void order(std::vector<Weighed>& list) {
    std::sort(list.begin(), list.end(), [](const Weighed& a, const Weighed& b) {
      return std::tie(b.weight, a.entry.what) < std::tie(a.weight, b.entry.what);
    });
  }
  static std::vector<ReviewEntry> ranked(std::vector<Weighed>& list) {
    order(list);
    std::vector<ReviewEntry> out;
    for (Weighed& w : list) {
      w.entry.rank = static_cast<int>(out.size()) + 1;
      out.push_back(std::move(w.entry));
    }
    return out;
  }

  void place(std::string what, MeasuredBy method, Length accuracy, std::string why, double weight) {
    std::string cure =
        fmt::format("Measure the {}: now {}, plus or minus {}; a tape gives {}.", what, word(method),
                    format_length(accuracy, job_.vehicle.shown_in, 1),
                    format_length(default_accuracy(MeasuredBy::tape), job_.vehicle.shown_in, 1));
    Weighed w{{std::move(what), method, accuracy, std::move(why)}, weight, std::move(cure)};
    (method == MeasuredBy::assumed ? assumed_ : measured_).push_back(std::move(w));
  }

  bool ends_a_line(const std::string& neck) const {
    return std::any_of(job_.vehicle.lines.begin(), job_.vehicle.lines.end(),
                       [&](const Line& l) { return l.from == neck || l.to == neck; });
  }

  // A wide hose bends in a wider arc and has fewer ways round, so its ends count for more.
  void neck(const Neck& n, const std::string& of, const std::string& used_as) {
    if (!ends_a_line(used_as)) return;
    place(fmt::format("place of the neck {}{}", n.name, of), n.end_mm.method, n.end_mm.accuracy,
          fmt::format("a line of {} bore begins or ends there",
                      format_length(n.bore, job_.vehicle.shown_in, 1)),
          2000 + 10 * n.outside_diameter.mm() + n.end_mm.accuracy.mm());
  }

  void places() {
    const Vehicle& v = job_.vehicle;
    place("place of the engine", v.engine_at_mm.method, v.engine_at_mm.accuracy,
          "everything on the engine stands where it puts it", 5000 + v.engine_at_mm.accuracy.mm());
    for (const Neck& n : v.necks) neck(n, "", n.name);
    for (const Neck& n : job_.family.engine.necks) neck(n, "", n.name);
  }

  void parts() {
    for (const Pump& pump : job_.family.pumps) {
      const std::string of = fmt::format(" of pump {}", pump.name);
      for (const Neck& n : pump.necks) neck(n, of, n.name);
      place("pulley plane" + of, pump.pulley_plane_mm.method, pump.pulley_plane_mm.accuracy,
            "the belt must run straight onto it", 400 + pump.pulley_plane_mm.accuracy.mm());
    }
    for (const Drive& drive : job_.family.drives)
      place(fmt::format("belt plane of drive {}", drive.name), drive.belt_plane_mm.method,
            drive.belt_plane_mm.accuracy, "the pump's pulley must lie in it",
            400 + drive.belt_plane_mm.accuracy.mm());
    for (const Housing& housing : job_.family.housings)
      for (const char* port : {"pump.outlet", "pump.inlet"})
        if (std::find(housing.places.begin(), housing.places.end(),
                      port == std::string_view("pump.inlet") ? SeatPlace::inlet : SeatPlace::outlet) !=
                housing.places.end() &&
            ends_a_line(port)) {
          neck(housing.neck, fmt::format(" {}", housing.name), port);
          break;
        }
  }

  // Distance of an obstacle's bounding box from the nearest neck that a line uses, all in the obstacle's
  // frame.
  double from_necks_mm(const Obstacle& o, bool in_engine_frame) const {
    double nearest = 1e9;
    const AxisBox box = bounds(o.shape);
    const auto look = [&](const Vec3& end, const std::string& used_as) {
      if (ends_a_line(used_as)) nearest = std::min(nearest, box.exteriorDistance(end));
    };
    for (const Neck& n : job_.vehicle.necks)
      look(in_engine_frame ? engine_.point_inverse(n.end_mm.value) : n.end_mm.value, n.name);
    const auto on_engine = [&](const Vec3& p) { return in_engine_frame ? p : engine_.point(p); };
    for (const Pump& pump : job_.family.pumps) {
      for (const Neck& n : pump.necks) look(on_engine(n.end_mm.value), n.name);
      look(on_engine(pump.seat.frame.origin_mm), fmt::format("pump.{}", word(pump.seat.place)));
    }
    return nearest;
  }

  void body(const Body& body, bool in_engine_frame) {
    for (const Obstacle& o : body.obstacles) {
      const double off = from_necks_mm(o, in_engine_frame);
      if (off > kNearMm && o.method == MeasuredBy::assumed) continue;
      place(fmt::format("place of {} ({})", o.name, body.name), o.method, o.accuracy,
            fmt::format("{} from the nearest neck of a line",
                        format_length(Length::mm(off), job_.vehicle.shown_in, 0)),
            1000 - std::min(off, 900.0) + o.accuracy.mm());
    }
  }

  void obstacles() {
    const Vehicle& v = job_.vehicle;
    body(*v.chassis, false);
    body(*v.hood, false);
    body(*v.fan, v.fan->carrier == Carrier::engine);
    body(*v.on_engine, true);
  }

  void figure(std::string what, const Provenance& p, std::string why, double weight) {
    if (is_sourced(p) || p.source == Source::shop || p.source == Source::derived) return;
    Weighed w{
        {std::move(what), MeasuredBy::assumed, std::nullopt, fmt::format("{} ({})", why, word(p.source))},
        weight,
        ""};
    assumed_.push_back(std::move(w));
  }

  void figures() {
    for (const Pump& pump : job_.family.pumps)
      figure(fmt::format("pressure curve of pump {}", pump.name), pump.curve.provenance,
             "flow is worked out from it", 300);
    const CoolantData& c = job_.vehicle.coolant;
    figure("resistance of the radiator's core", c.radiator_core.provenance, "flow is worked out from it",
           250);
    if (c.heater_core.b_pa_per_m3s2 > 0)
      figure("resistance of the heater's core", c.heater_core.provenance, "flow is worked out from it", 200);
    figure("resistance of the engine's jacket", job_.family.engine.jacket.provenance,
           "flow is worked out from it", 240);
    const auto unsourced =
        std::count_if(job_.gaps.rows().begin(), job_.gaps.rows().end(),
                      [](const GapRow& r) { return !is_sourced(r.provenance) && !is_signed(r.provenance); });
    if (unsourced > 0)
      assumed_.push_back(
          {{fmt::format("{} of {} required gaps", unsourced, job_.gaps.rows().size()), MeasuredBy::assumed,
            std::nullopt, "they have no source that a reader can find and the shop has not signed them"},
           350,
           "Look through the required gaps and sign those that the shop stands for under `gaps`."});
  }

  void missing(std::string what, std::string why, double weight, std::string cure) {
    missing_.push_back(
        {{std::move(what), MeasuredBy::assumed, std::nullopt, std::move(why)}, weight, std::move(cure)});
  }

  bool any_obstacle(std::initializer_list<Hazard> hazards) const {
    const Vehicle& v = job_.vehicle;
    for (const Body* b : {v.chassis.get(), v.hood.get(), v.fan.get(), v.on_engine.get()})
      for (const Obstacle& o : b->obstacles)
        if (std::find(hazards.begin(), hazards.end(), o.hazard) != hazards.end()) return true;
    return false;
  }

  void gone_missing() {
    const Vehicle& v = job_.vehicle;
    if (v.known_space.empty())
      missing("known_space", "without it no line can be more than undecided", 3000,
              "Say in which boxes all obstacles are recorded (known_space).");
    if (!any_obstacle({Hazard::bare_exhaust, Hazard::shielded_exhaust}))
      missing("exhaust", "hoses die of its heat", 1800,
              "Measure where the exhaust runs and add it to on_engine.");
    if (v.hood->obstacles.empty())
      missing("hood", "whether a tall intake or a high hose fits under it cannot be told", 1700,
              "Measure the underside of the closed hood and add it as hood.");
    if (v.fan->obstacles.empty())
      missing("fan", "a hose in the fan is the end of both", 1600,
              "Measure where the fan turns and add it as fan.");
    if (!any_obstacle({Hazard::steering}))
      missing("steering", "a hose must never touch it", 1500,
              "Measure the steering shaft and add it to obstacles, with hazard steering.");
    if (!any_obstacle({Hazard::electrics}))
      missing("electrics", "battery, looms and boxes are usually near the upper hose", 700,
              "Add the battery and the looms to obstacles, with hazard electrics.");
    if (v.in_hand.pump.empty() && v.in_hand.owned.empty())
      missing("in_hand", "parts that are there already cost nothing", 50,
              "Say under in_hand which parts are fitted or on the shelf.");
  }

  void unchecked_tapes() {
    const TapeSurvey& tape = job_.vehicle.tape;
    for (std::size_t p = 0; p < tape.network.points.size(); ++p)
      if (const std::string& name = tape.network.points[p].name; is_unchecked(tape, p))
        missing(fmt::format("a tape to spare at {}", name), "a slip in one of those it has goes unseen", 900,
                fmt::format("Measure {} from one more datum: nothing checks the tapes it has.", name));
  }

  const Job& job_;
  Pose engine_;
  std::vector<Weighed> measured_, assumed_, missing_;
};

}  // namespace

InputReview review(const Job& job) {
  return Reviewer(job).review();
}

}  // namespace hosefit
