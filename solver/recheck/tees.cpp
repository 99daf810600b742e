// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/recheck/tees.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "solver/recheck/line_checks.h"

namespace hosefit::recheck {
namespace {

constexpr double kUnit = 1e-6;  // how far a direction of the record may be from one of length 1
constexpr double kSameClock_deg = 1e-6;
constexpr double kSameWay_mm = 0.06;  // a little more than the first proof lets pass
constexpr double kFreeClocks_deg = 15;
constexpr double kSteep = 0.9;  // cosine to the vertical

TubeEnd read_end(Table& in) {
  const TubeEnd end{in.length_mm("od"), in.length_mm("bore"), in.length_mm("straight")};
  in.set_aside("bead");
  if (!(end.outside_mm > 0 && end.straight_mm > 0)) in.refuse("", "a tube end without size");
  return end;
}

Tee read_one(Table in) {
  Tee tee;
  tee.name = in.word("name");
  tee.on = in.word("on");
  Table run = in.table("run"), body = in.table("body"), branch = in.table("branch");
  tee.run = read_end(run);
  tee.branch = read_end(branch);
  tee.off_axis_mm = branch.length_mm("off_axis");
  tee.body_length_mm = body.length_mm("length");
  tee.body_outside_mm = body.length_mm("od");
  run.done();
  body.done();
  branch.done();
  if (in.is_word("place")) {
    in.one_of("place", {"free"});
  } else {
    Table place = in.table("place");
    tee.range = TeeRange{place.word("from"), place.length_mm("least"), place.length_mm("most")};
    place.done();
  }
  if (in.is_word("clock_deg"))
    in.one_of("clock_deg", {"free"});
  else
    tee.clocks_deg = in.numbers("clock_deg");
  in.done();
  if (!(tee.body_length_mm > 0 && tee.body_outside_mm > 0 &&
        tee.off_axis_mm >= tee.body_outside_mm / 2 + tee.branch.straight_mm))
    in.refuse("branch", "a branch that does not stand out of its body");
  return tee;
}

// Its line in two, and the line at its branch.
void cut_lines(Table& in, Tee& tee, std::vector<Line>& lines) {
  std::vector<Line> out;
  int carried = 0, ends = 0;
  for (Line line : lines) {
    if (line.name == tee.on) {
      ++carried;
      tee.starts_at = line.from;
      tee.ends_at = line.to;
      if (line.grade != "free") in.refuse("tees", "a tee in a line that must rise or fall");
      for (const std::string& make : line.makes)
        if (make != "straight_hose" && make != "elbows_and_straights")
          in.refuse("tees", fmt::format("a tee in a line of make {}", make));
      tee.before = line.name + " to " + tee.name;
      tee.after = line.name + " from " + tee.name;
      Line first = line, second = line;
      first.name = tee.before;
      first.to = tee.name + ".run start";
      second.name = tee.after;
      second.from = tee.name + ".run end";
      out.push_back(std::move(first));
      out.push_back(std::move(second));
      continue;
    }
    for (std::string* end : {&line.from, &line.to})
      if (*end == tee.name) {
        *end = tee.name + ".branch";
        ++ends;
      }
    out.push_back(std::move(line));
  }
  if (carried != 1 || ends != 1 || tee.starts_at == tee.name || tee.ends_at == tee.name)
    in.refuse("tees", "want one line that the tee is in and one other that ends at it");
  for (std::size_t i = 0; i < out.size(); ++i)
    for (std::size_t k = i + 1; k < out.size(); ++k)
      if (out[i].name == out[k].name) in.refuse("tees", fmt::format("two lines are named {}", out[i].name));
  lines = std::move(out);
}

double bare_mm(const TubeEnd& end) {
  Neck neck;
  neck.outside_mm = end.outside_mm;
  return std::max(0.0, end.straight_mm - least_engagement_mm(neck));
}

Obstacle round(const std::string& name, const V3& a, const V3& b, double across_mm) {
  return {name, "smooth_metal", Round{a, b, across_mm / 2, across_mm / 2}, std::nullopt};
}

double half_mm(const Tee& tee) {
  return tee.body_length_mm / 2 + tee.run.straight_mm;
}

// As round bars with flat ends.
Solid bar(const Stretch& stretch) {
  const auto& along = std::get<StraightPiece>(stretch.piece);
  return Round{along.from_mm, along.to_mm, stretch.radius_mm, stretch.radius_mm};
}

void add_meeting_hoses(std::span<const Tube> tubes, std::vector<Fault>& faults) {
  for (std::size_t a = 0; a < tubes.size(); ++a)
    for (std::size_t b = a + 1; b < tubes.size(); ++b)
      for (const Stretch& one : tubes[a].stretches)
        for (const Stretch& other : tubes[b].stretches) {
          if (!one.on_tee || !other.on_tee) continue;
          const Apart found = apart(bar(one), bar(other), 1.0);
          if (found.at_least_mm <= 0)
            faults.push_back({fmt::format("the hoses of {} and {} meet on the tee, or nearly",
                                          tubes[a].recorded->name, tubes[b].recorded->name),
                              found.where_mm, true});
        }
}

void add_unknown_space(const Job& job, const Bay& bay, std::vector<Fault>& faults) {
  Tube bars;
  for (const PlacedObstacle& o : bay.obstacles) {
    if (o.part != Part::tee) continue;
    const auto& rod = std::get<Round>(o.solid);
    Stretch stretch;
    stretch.piece = StraightPiece{rod.a_mm, rod.b_mm};
    stretch.to_mm = (rod.b_mm - rod.a_mm).norm();
    stretch.radius_mm = rod.radius_a_mm;
    stretch.box = box_of(stretch.piece);
    bars.stretches.push_back(stretch);
  }
  for (const Fault& fault : known_space_faults(job.known_space, bars))
    faults.push_back({fmt::format("the tee {} leaves the known space", job.tee->name), fault.where_mm});
}

}  // namespace

void read_tee(Table& in, Job& job) {
  const std::vector<Table> tees = in.tables("tees");
  if (tees.empty()) return;
  if (tees.size() > 1) return in.refuse("tees", "more than one tee");
  Tee tee = read_one(tees.front());
  cut_lines(in, tee, job.lines);
  if (tee.range && tee.range->from != tee.starts_at && tee.range->from != tee.ends_at)
    in.refuse("tees", "a range from a neck that its line does not end at");
  for (const Neck& neck : job.chassis_necks)
    if (neck.choice || neck.name == tee.name || neck.name.rfind(tee.name + ".", 0) == 0)
      in.refuse("tees", "a tee beside a neck with a choice or of its name");
  if (tee.name == "pump" || tee.name == "engine") in.refuse("tees", "a tee with a name of the engine family");
  job.tee = std::move(tee);
}

std::optional<Frame> tee_frame(const Job& job, const RecordedCandidate& candidate,
                               std::vector<Fault>& faults) {
  const RecordedTee* told = nullptr;
  for (const RecordedTee& tee : candidate.tees) {
    if (!job.tee || tee.name != job.tee->name)
      faults.push_back(
          {fmt::format("the record places the tee {}, and the input has none of that name", tee.name)});
    else if (told != nullptr)
      faults.push_back({fmt::format("the record says twice where the tee {} stands", tee.name)});
    else
      told = &tee;
  }
  if (!job.tee) return std::nullopt;
  if (told == nullptr) {
    faults.push_back({fmt::format("the record does not say where the tee {} stands", job.tee->name)});
    return std::nullopt;
  }
  if (!(std::abs(told->along.norm() - 1) <= kUnit)) {
    faults.push_back({fmt::format("the record gives the tee {} no direction", told->name)});
    return std::nullopt;
  }
  const auto same = [&](double offered_deg) {
    return std::abs(offered_deg - told->clock_deg) <= kSameClock_deg;
  };
  const auto& clocks = job.tee->clocks_deg;
  const double steps = std::round(told->clock_deg / kFreeClocks_deg);
  const bool offered = clocks ? std::any_of(clocks->begin(), clocks->end(), same)
                              : steps >= 0 && steps < 360 / kFreeClocks_deg && same(steps * kFreeClocks_deg);
  if (!offered)
    faults.push_back(
        {fmt::format("the record turns the branch of the tee {} to {} deg, and the input does not offer "
                     "that",
                     told->name, told->clock_deg),
         told->middle_mm});
  const V3 along = told->along.normalized();
  Frame frame = axes(told->middle_mm, along, std::abs(along.z()) > kSteep ? V3(1, 0, 0) : V3(0, 0, 1));
  for (Eigen::Index k = 0; k < 2; ++k)
    frame.turn.col(k) = turned(frame.turn.col(k), along, radians(told->clock_deg));
  return frame;
}

std::vector<Obstacle> tee_solids(const Tee& tee) {
  const double half = tee.body_length_mm / 2 + bare_mm(tee.run);
  const double out = tee.off_axis_mm - tee.branch.straight_mm + bare_mm(tee.branch);
  return {round(tee.name + " body", V3(0, 0, -half), V3(0, 0, half), tee.body_outside_mm),
          round(tee.name + " branch", V3::Zero(), V3(out, 0, 0), tee.branch.outside_mm)};
}

std::vector<Neck> tee_necks(const Tee& tee) {
  const auto neck = [&](const char* which, const TubeEnd& end, const V3& at, const V3& outward) {
    Neck out;
    out.name = tee.name + which;
    out.end_mm = at;
    out.outward = outward;
    out.outside_mm = end.outside_mm;
    out.bore_mm = end.bore_mm;
    out.straight_mm = end.straight_mm;
    out.on = {tee.name + " body", tee.name + " branch"};
    return out;
  };
  return {neck(".run start", tee.run, V3(0, 0, -half_mm(tee)), V3(0, 0, -1)),
          neck(".run end", tee.run, V3(0, 0, half_mm(tee)), V3(0, 0, 1)),
          neck(".branch", tee.branch, V3(tee.off_axis_mm, 0, 0), V3(1, 0, 0))};
}

std::vector<Fault> tee_faults(const Job& job, const Bay& bay, std::span<const Tube> tubes) {
  std::vector<Fault> faults;
  if (!job.tee) return faults;
  const Tee& tee = *job.tee;
  if (bay.tee_floats)
    faults.push_back(
        {fmt::format("the tee {} hangs between engine and chassis, and how it moves is not known", tee.name),
         {},
         true});
  add_meeting_hoses(tubes, faults);
  add_unknown_space(job, bay, faults);
  if (!tee.range) return faults;
  const std::string& part = tee.range->from == tee.starts_at ? tee.before : tee.after;
  for (const Tube& tube : tubes) {
    if (bay.lines[tube.line].line->name != part) continue;
    const double way_mm = length_mm(tube.recorded->curve) + half_mm(tee);
    if (way_mm < tee.range->least_mm - kSameWay_mm || way_mm > tee.range->most_mm + kSameWay_mm)
      faults.push_back(
          {fmt::format("the tee {} sits {:.2f} mm along its line from {}, and the input wants {:g} to {:g} "
                       "mm",
                       tee.name, way_mm, tee.range->from, tee.range->least_mm, tee.range->most_mm)});
  }
  return faults;
}

}  // namespace hosefit::recheck
