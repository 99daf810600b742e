// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/recheck/engine_ways.h"

#include <fmt/format.h>

#include <cmath>

namespace hosefit::recheck {

std::array<EngineAt, 16> corners(const PlaceBox& box) {
  std::array<EngineAt, 16> out;
  for (unsigned k = 0; k < 16; ++k)
    for (Eigen::Index way = 0; way < 4; ++way)
      out[k][way] = box.centre[way] + ((k >> way & 1U) != 0 ? box.half[way] : -box.half[way]);
  return out;
}

std::array<PlaceBox, 2> halved(const PlaceBox& box, Eigen::Index way) {
  std::array<PlaceBox, 2> out{box, box};
  for (PlaceBox& part : out) part.half[way] /= 2;
  out[0].centre[way] -= out[0].half[way];
  out[1].centre[way] += out[1].half[way];
  return out;
}

Frame EngineWays::moved(const EngineAt& at) const {
  Frame frame;
  for (Eigen::Index k = 0; k < 3; ++k) frame.turn.col(k) = turned(V3::Unit(k), axis, at[kRoll]);
  frame.at_mm = axis_point_at(at) - frame.turn * axis_point_mm;
  return frame;
}

V3 EngineWays::axis_point_at(const EngineAt& at) const {
  return axis_point_mm + V3(at[kRearward], at[kRight], at[kUp]);
}

EngineWays engine_ways(const Frame& engine, const MountsFigures& figures) {
  EngineWays ways;
  ways.axis = engine.turn.col(0);
  ways.axis_point_mm = engine.point(V3(0, 0, -figures.axis_below_crank_mm));
  ways.all.half = {radians(figures.roll_deg), figures.lift_mm, (figures.rearward_mm + figures.forward_mm) / 2,
                   figures.sideways_mm};
  ways.all.centre[kRearward] = (figures.rearward_mm - figures.forward_mm) / 2;
  return ways;
}

std::string figures_words(const MountsFigures& f) {
  return fmt::format(
      "{:g} deg of roll to either side about an axis {:g} mm below the crank, {:g} mm up and down, {:g} mm "
      "forward, "
      "{:g} mm rearward, {:g} mm to either side",
      f.roll_deg, f.axis_below_crank_mm, f.lift_mm, f.forward_mm, f.rearward_mm, f.sideways_mm);
}

std::string place_words(const EngineAt& at) {
  std::string out;
  const auto add = [&](const std::string& words) { out += (out.empty() ? "" : ", ") + words; };
  constexpr double kTold = 0.05;
  if (const double roll = degrees(at[kRoll]); std::abs(roll) >= kTold)
    add(fmt::format("rolled {:.1f} deg {} side up", std::abs(roll), roll > 0 ? "right" : "left"));
  const auto way = [&](double mm, const char* more, const char* less) {
    if (std::abs(mm) >= kTold) add(fmt::format("{:.1f} mm {}", std::abs(mm), mm > 0 ? more : less));
  };
  way(at[kUp], "up", "down");
  way(at[kRearward], "rearward", "forward");
  way(at[kRight], "right", "left");
  return "with the engine " + (out.empty() ? "at rest" : out);
}

}  // namespace hosefit::recheck
