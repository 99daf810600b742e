// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/input/tee_yaml.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "solver/input/vehicle_yaml.h"
#include "solver/model/route.h"

namespace hosefit {
namespace {

// A moulded shape or a corrugated hose has ends that must stay, and what a bent tube would need at a tee is
// not known here.
constexpr std::array kCutMakes{Make::straight_hose, Make::elbows_and_straights};

bool is_cut(Make make) {
  return std::find(kCutMakes.begin(), kCutMakes.end(), make) != kCutMakes.end();
}

TeeEnd end_of(const MapView& in) {
  return {in.length("od"), in.length("bore"), in.length("straight"), in.boolean("bead", true)};
}

class TeeReader {
 public:
  TeeReader(const MapView& vehicle, const Vehicle& read, const MapView& in, ProblemLog& log)
      : vehicle_(vehicle), read_(read), in_(in), log_(log) {}

  std::optional<WrittenTee> read() {
    WrittenTee out;
    out.on = in_.text("on");
    Tee& tee = out.tee;
    tee.name = in_.text("name");
    tee.place = in_.place();
    tee.run = end_of(in_.map("run"));
    tee.branch = end_of(in_.map("branch"));
    tee.branch_off_axis = in_.map("branch").length("off_axis");
    tee.body_length = in_.map("body").length("length");
    tee.body_outside = in_.map("body").length("od");
    sizes(tee);
    clocks(tee);
    names(tee.name, out.on);
    no_choices();
    if (lines_are_read()) {
      lines(tee, out.on);
    } else {
      fine_ = false;  // what is wrong with a line is told there
    }
    return fine_ ? std::optional(std::move(out)) : std::nullopt;
  }

 private:
  void refuse(const MapView& at, std::string_view key, std::string text) {
    fine_ = false;
    at.refuse(log_, key, std::move(text));
  }

  void end(const MapView& in, const TeeEnd& end) {
    const double least_mm = least_engagement_mm(end.outside_diameter);
    if (end.straight.mm() < least_mm)
      refuse(in, "straight",
             fmt::format("want at least {:g} mm, hose and clamp need that on a tube of {:g} mm", least_mm,
                         end.outside_diameter.mm()));
    if (end.bore >= end.outside_diameter) refuse(in, "bore", "want less than od, the tube has a wall");
  }

  void sizes(const Tee& tee) {
    const MapView branch = in_.map("branch"), body = in_.map("body");
    end(in_.map("run"), tee.run);
    end(branch, tee.branch);
    if (tee.body_outside < tee.run.outside_diameter)
      refuse(body, "od",
             fmt::format("want at least run.od, {:g} mm: the body carries both its tube ends",
                         tee.run.outside_diameter.mm()));
    if (tee.body_length < tee.branch.outside_diameter)
      refuse(body, "length",
             fmt::format("want at least branch.od, {:g} mm: the branch grows out of the body",
                         tee.branch.outside_diameter.mm()));
    const double root_mm = tee.body_outside.mm() / 2 + tee.branch.straight.mm();
    if (tee.branch_off_axis.mm() < root_mm)
      refuse(
          branch, "off_axis",
          fmt::format(
              "want at least {:g} mm, half of body.od and branch.straight: hose is pushed over the straight",
              root_mm));
  }

  void clocks(Tee& tee) {
    if (in_.text("clock_deg") == "free") return;
    const std::vector<double> degrees = in_.numbers("clock_deg");
    for (std::size_t i = 0; i < degrees.size(); ++i) {
      if (std::find(degrees.begin(), degrees.begin() + static_cast<std::ptrdiff_t>(i), degrees[i]) !=
          degrees.begin() + static_cast<std::ptrdiff_t>(i)) {
        fine_ = false;
        in_.refuse_item(log_, "clock_deg", i, fmt::format("{:g} stands twice; keep one", degrees[i]));
      }
      tee.clocks.push_back(Angle::deg(degrees[i]));
    }
  }

  void place(Tee& tee, const Line& line) {
    if (in_.text("place") == "free") return;
    const MapView place = in_.map("place");
    const std::string from = place.text("from");
    if (from != line.from && from != line.to)
      refuse(place, "from",
             fmt::format("want one of the two ends of \"{}\", {} or {}", line.name, line.from, line.to));
    tee.within = TeeStretch{from == line.from, place.length("least"), place.length("most")};
    if (tee.within->most < tee.within->least) refuse(place, "most", "want at least `least`");
  }

  void carrier(const std::string& tee, const Line& line) {
    if (line.from == tee || line.to == tee)
      return refuse(in_, "on", "a line cannot carry the tee that it starts or ends at");
    if (line.grade != Grade::free)
      refuse(in_, "on",
             fmt::format(
                 "\"{}\" has the grade {}, and rising or falling past a tee cannot be proved yet; give the "
                 "line `grade: free` and look yourself, or put the tee into another line",
                 line.name, word(line.grade)));
    for (const Make make : line.makes)
      if (!is_cut(make))
        refuse(
            in_, "on",
            fmt::format("\"{}\" may be of make {}, which cannot be cut in two for a tee here; give the line "
                        "`makes` with straight_hose or elbows_and_straights only",
                        line.name, word(make)));
  }

  void names(const std::string& tee, const std::string& on) {
    for (const std::string_view taken : {"pump.", "engine."})
      if (tee.starts_with(taken))
        refuse(
            in_, "name",
            fmt::format("names that begin with \"{}\" belong to the engine family; give the tee another name",
                        taken));
    if (tee.find('.') != std::string::npos && !tee.starts_with("pump.") && !tee.starts_with("engine."))
      refuse(in_, "name", "the name of a tee holds no dot, its ends are told with one; give it another name");
    if (tee == "pump" || tee == "engine")
      refuse(in_, "name", "that name belongs to the engine family; give the tee another name");
    for (const Neck& neck : read_.necks) {
      if (neck.name == tee) refuse(in_, "name", "a neck has that name already; give the tee another name");
      for (const TeeNeck end : {TeeNeck::before, TeeNeck::after, TeeNeck::branch})
        if (neck.name == tee_neck_name(tee, end))
          refuse(in_, "name",
                 fmt::format(
                     "the neck \"{}\" has the name of one of the tee's ends; give one of them another name",
                     neck.name));
    }
    const auto known = line_names();
    for (const std::string& name : {tee, part_before(on, tee), part_after(on, tee)})
      if (std::find(known.begin(), known.end(), name) != known.end())
        refuse(in_, "name",
               fmt::format(
                   "a line has the name \"{}\", which is taken here for the tee or a part of its line; give "
                   "the tee another name",
                   name));
  }

  bool lines_are_read() const {
    const std::vector<MapView> lines = vehicle_.maps("lines");
    return std::all_of(lines.begin(), lines.end(), [](const MapView& line) { return line.ok(); });
  }

  void lines(Tee& tee, const std::string& on) {
    const Line* line = line_named(on);
    if (line == nullptr)
      return refuse(in_, "on",
                    fmt::format("no line has the name \"{}\"{}", on, did_you_mean(on, line_names())));
    place(tee, *line);
    carrier(tee.name, *line);
    const auto at_it = [&](const Line& other) { return other.from == tee.name || other.to == tee.name; };
    if (std::none_of(read_.lines.begin(), read_.lines.end(), at_it))
      refuse(in_, "name",
             fmt::format("no line starts or ends at the tee; give one `from: {}` or `to: {}`", tee.name,
                         tee.name));
  }

  void no_choices() {
    for (const MapView& neck : chassis_necks(vehicle_.file()))
      if (neck.has("choose"))
        refuse(neck, "choose",
               "a neck cannot be ordered elsewhere in a vehicle with a tee yet: the two are not chosen "
               "together; leave "
               "out `choose`, or the tee");
  }

  const Line* line_named(const std::string& name) const {
    for (const Line& line : read_.lines)
      if (line.name == name) return &line;
    return nullptr;
  }
  std::vector<std::string> line_names() const {
    std::vector<std::string> names;
    for (const Line& line : read_.lines) names.push_back(line.name);
    return names;
  }

  const MapView& vehicle_;
  const Vehicle& read_;
  const MapView& in_;
  ProblemLog& log_;
  bool fine_ = true;
};

}  // namespace

std::optional<WrittenTee> read_tee(const MapView& vehicle, const Vehicle& read, ProblemLog& log) {
  const std::vector<MapView> tees = vehicle.maps("tees");
  if (tees.size() != 1 || !tees.front().ok()) return std::nullopt;
  return TeeReader(vehicle, read, tees.front(), log).read();
}

}  // namespace hosefit
