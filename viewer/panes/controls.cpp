// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "solver/report/words.h"
#include "viewer/panes/look.h"
#include "viewer/panes/panes.h"

namespace hosefit {
namespace {

constexpr std::array kBodies{std::pair{BayBody::chassis, "vehicle"},
                             std::pair{BayBody::hood, "hood"},
                             std::pair{BayBody::fan, "fan"},
                             std::pair{BayBody::on_engine, "exhaust and the like"},
                             std::pair{BayBody::engine, "engine"},
                             std::pair{BayBody::drive, "drive"},
                             std::pair{BayBody::pump, "pump"},
                             std::pair{BayBody::housing, "housing"},
                             std::pair{BayBody::intake_base, "intake base"},
                             std::pair{BayBody::intake_stretch, "intake stretch"},
                             std::pair{BayBody::intake_top, "intake top"}};
// In the order of axis and side: two for each axis, the side of greater coordinates first.
constexpr std::array kSides{"what is behind",      "what is in front", "what is to the right",
                            "what is to the left", "what is above",    "what is below"};

const Job& job_of(const State& state) {
  return state.prepared->job();
}

Intents draw_intake(const State& state) {
  Intents out;
  const auto& intakes = job_of(state).family.intakes;
  heading("Intake");
  ImGui::SetNextItemWidth(-1);
  if (ImGui::BeginCombo("##intake", safe_text(intakes[state.intake].name).c_str())) {
    for (std::size_t i = 0; i < intakes.size(); ++i) {
      ImGui::PushID(static_cast<int>(i));
      if (ImGui::Selectable(safe_text(intakes[i].name).c_str(), i == state.intake))
        out.push_back(SetIntake{i});
      ImGui::PopID();
    }
    ImGui::EndCombo();
  }
  return out;
}

Intents draw_housing(const State& state) {
  Intents out;
  if (state.chosen >= state.panes.size()) return out;
  const Family& family = job_of(state).family;
  const std::size_t pump = state.panes[state.chosen].pump;
  const auto held = state.changes.housings.find(pump);
  const auto words = [&](const HeldHousing& h) {
    const Housing& housing = family.housings[h.housing];
    return fmt::format("{}, clock {:.0f} deg", safe_text(housing.name), housing.clocks[h.clock].deg());
  };
  heading("Housing and its angle");
  text_cut("on the " + safe_text(family.pumps[pump].name) + " pump", ImGui::GetContentRegionAvail().x,
           ink::kQuiet);
  const std::string now = held == state.changes.housings.end() ? "whichever is best" : words(held->second);
  ImGui::SetNextItemWidth(-1);
  if (!ImGui::BeginCombo("##housing", now.c_str())) return out;
  if (ImGui::Selectable("whichever is best", held == state.changes.housings.end()))
    out.push_back(HoldHousing{pump, std::nullopt});
  for (std::size_t h = 0; h < family.housings.size(); ++h) {
    if (family.housings[h].flange != family.pumps[pump].seat.flange) continue;
    for (std::size_t clock = 0; clock < family.housings[h].clocks.size(); ++clock) {
      ImGui::PushID(static_cast<int>(h * 100 + clock));
      if (ImGui::Selectable(words({h, clock}).c_str()))
        out.push_back(HoldHousing{pump, HeldHousing{h, clock}});
      ImGui::PopID();
    }
  }
  ImGui::EndCombo();
  return out;
}

// One number with its steps; lengths in the unit shown.
bool draw_number(const char* label, double& value, double step, const char* format, bool changed) {
  ImGui::SetNextItemWidth(8.5F * em());
  const bool entered =
      ImGui::InputDouble(label, &value, step, step * 5, format, ImGuiInputTextFlags_EnterReturnsTrue);
  if (changed) {
    ImGui::SameLine();
    ImGui::TextColored(ImGui::ColorConvertU32ToFloat4(ink::kStrong), "changed");
  }
  return entered && std::isfinite(value);
}

Intents draw_engine(const State& state) {
  Intents out;
  const Vehicle& now = job_of(state).vehicle;
  const Vehicle& read = state.as_read->vehicle;
  const bool mm = state.unit == LengthUnit::mm;
  const double unit_mm = mm ? 1.0 : 25.4, step = mm ? 1.0 : 0.05;
  const char* format = mm ? "%.1f" : "%.3f";
  heading("Engine place");
  text_wrapped(mm ? "mm: rearward, to the right, up" : "inch: rearward, to the right, up", ink::kQuiet);
  Vec3 at_mm = now.engine_at_mm.value;
  double tilt_deg = now.engine_tilt.deg();
  bool asked = false;
  const std::array labels{"rear", "right", "up"};
  for (Eigen::Index i = 0; i < 3; ++i) {
    double value = at_mm[i] / unit_mm;
    if (!draw_number(labels[static_cast<std::size_t>(i)], value, step, format,
                     at_mm[i] != read.engine_at_mm.value[i]))
      continue;
    at_mm[i] = value * unit_mm;
    asked = true;
  }
  if (draw_number("tilt, deg", tilt_deg, 0.5, "%.1f", now.engine_tilt != read.engine_tilt)) asked = true;
  if (asked) out.push_back(SetEngine{at_mm, Angle::deg(tilt_deg)});
  return out;
}

Intents draw_makes(const State& state) {
  Intents out;
  heading("Makes of each line");
  const auto& lines = state.as_read->vehicle.lines;
  for (std::size_t i = 0; i < lines.size(); ++i) {
    ImGui::PushID(static_cast<int>(i));
    const auto off = std::count_if(lines[i].makes.begin(), lines[i].makes.end(), [&](Make make) {
      return state.changes.makes_off.contains({i, make});
    });
    const std::string label =
        safe_text(lines[i].name) + (off > 0 ? fmt::format("  ({} off)", off) : "") + "###line";
    if (ImGui::TreeNode(label.c_str())) {
      for (const Make make : lines[i].makes) {
        ImGui::PushID(static_cast<int>(make));
        bool on = !state.changes.makes_off.contains({i, make});
        if (ImGui::Checkbox(std::string(title(make)).c_str(), &on)) out.push_back(SetMake{i, make, on});
        ImGui::PopID();
      }
      if (lines[i].stock) text_wrapped("held to " + safe_text(*lines[i].stock) + " by the file", ink::kQuiet);
      ImGui::TreePop();
    }
    ImGui::PopID();
  }
  return out;
}

Intents draw_section(const State& state) {
  Intents out;
  heading("Section");
  if (state.panes.empty()) return out;
  const PaneScene& scene = state.panes[state.chosen].scene;
  Section section = state.section;
  bool asked = ImGui::Checkbox("cut away a side", &section.on);
  if (asked && state.section == Section{}) section = in_the_middle(section, scene);
  const AxisBox box = box_of(scene);
  if (section.on && !box.isEmpty()) {
    int side = 2 * section.axis + (section.cuts_less ? 1 : 0);
    ImGui::SetNextItemWidth(-1);
    if (ImGui::Combo("##side", &side, kSides.data(), static_cast<int>(kSides.size()))) {
      asked = true;
      const int axis_before = section.axis;
      section.axis = side / 2;
      section.cuts_less = side % 2 == 1;
      if (section.axis != axis_before) section = in_the_middle(section, scene);
    }
    const double unit_mm = state.unit == LengthUnit::mm ? 1.0 : 25.4;
    const double low = box.min()[section.axis] / unit_mm, high = box.max()[section.axis] / unit_mm;
    double at = section.at_mm / unit_mm;
    ImGui::SetNextItemWidth(-1);
    if (ImGui::SliderScalar("##at", ImGuiDataType_Double, &at, &low, &high,
                            state.unit == LengthUnit::mm ? "at %.0f mm" : "at %.2f in")) {
      section.at_mm = at * unit_mm;
      asked = true;
    }
  }
  if (asked) out.push_back(SetSection{section});
  return out;
}

Intents draw_looks(const State& state) {
  Intents out;
  heading("Show");
  for (const auto& [body, name] : kBodies) {
    ImGui::PushID(static_cast<int>(body));
    int look = static_cast<int>(state.looks[index(body)]);
    ImGui::SetNextItemWidth(6.5F * em());
    if (ImGui::Combo(name, &look, "solid\0dim\0outline\0hidden\0"))
      out.push_back(SetLook{body, static_cast<BodyLook>(look)});
    ImGui::PopID();
  }
  return out;
}

}  // namespace

Intents draw_controls(const State& state, Typing& typing) {
  Intents out;
  append(out, draw_intake(state));
  append(out, draw_housing(state));
  append(out, draw_engine(state));
  append(out, draw_stock(state, typing));
  append(out, draw_makes(state));
  if (state.changes.any()) {
    text_wrapped("Changed here only; no file is written.", ink::kQuiet);
    if (ImGui::Button("Take back all changes")) out.push_back(TakeBackChanges{});
  }
  append(out, draw_section(state));
  append(out, draw_looks(state));
  return out;
}

}  // namespace hosefit
