// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "solver/recheck/read_shapes.h"

namespace hosefit::recheck {
namespace {

Slide read_slide(Table in) {
  Slide slide{in.direction("along"), in.length_mm("from"), in.length_mm("to"), in.length_mm("step")};
  in.done();
  if (!(slide.step_mm > 0)) in.refuse("step", "want more than 0");
  if (!(slide.from_mm <= 0 && slide.to_mm >= 0)) in.refuse("", "a slide that leaves out the place written");
  return slide;
}

void read_turn(Table in, NeckChoice& choice) {
  choice.about_mm = in.point_mm("about");
  choice.axis = in.direction("axis");
  choice.turns_deg = in.numbers("by_deg");
  in.done();
}

NeckChoice read_choice(Table in) {
  NeckChoice choice;
  choice.with = in.words("with");
  for (const Table& slide : in.tables("slide")) choice.slides.push_back(read_slide(slide));
  if (in.has("turn")) read_turn(in.table("turn"), choice);
  in.done();
  return choice;
}

Neck read_neck_but_choice(Table& in) {
  Neck neck;
  neck.name = in.word("name");
  neck.end_mm = in.measured_point_mm("at");
  neck.outward = in.direction("outward");
  neck.outside_mm = in.length_mm("od");
  neck.bore_mm = in.length_mm("bore");
  neck.straight_mm = in.length_mm("straight");
  neck.on = in.words("on");
  for (const char* key : {"bead", "measured", "accuracy"}) in.set_aside(key);
  return neck;
}

}  // namespace

Neck read_neck(Table in) {
  Neck neck = read_neck_but_choice(in);
  in.done();
  return neck;
}

std::vector<Neck> read_necks(Table& in, const char* key) {
  std::vector<Neck> out;
  for (const Table& item : in.tables(key)) out.push_back(read_neck(item));
  return out;
}

std::vector<Neck> read_chassis_necks(Table& in, const char* key) {
  std::vector<Neck> out;
  for (Table& item : in.tables(key)) {
    out.push_back(read_neck_but_choice(item));
    if (item.has("choose")) out.back().choice = read_choice(item.table("choose"));
    item.done();
  }
  return out;
}

void refuse_false_companions(Table& in, const Job& job) {
  std::set<std::string> taken;
  for (const Neck& neck : job.chassis_necks) {
    if (!neck.choice) continue;
    for (const std::string& name : neck.choice->with) {
      const auto found = std::find_if(job.chassis.begin(), job.chassis.end(),
                                      [&](const Obstacle& o) { return o.name == name; });
      if (found == job.chassis.end() || found == job.chassis.begin())  // the core comes first
        in.refuse("necks", fmt::format("{} cannot go along with the neck {}", name, neck.name));
      else if (!taken.insert(name).second)
        in.refuse("necks", fmt::format("{} goes along with two necks", name));
    }
  }
}

}  // namespace hosefit::recheck
