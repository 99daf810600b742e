// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>
#include <imgui.h>
#include <imgui_stdlib.h>

#include <algorithm>
#include <cmath>

#include "solver/report/words.h"
#include "viewer/panes/look.h"
#include "viewer/panes/panes.h"

namespace hosefit {
namespace {

struct Track {
  float left = 0, right = 0;
  Length least, most;
  float x(Length height) const { return bar_x(height, least, most, left, right); }
};

const Intake& intake_of(const State& state) {
  return state.prepared->job().family.intakes[state.intake];
}

void draw_ruler(const State& state, const Track& track, float top, float bottom) {
  ImDrawList& list = *ImGui::GetWindowDrawList();
  const float y = bottom - 0.15F * em();
  list.AddLine({track.left, y}, {track.right, y}, ink::kText, 2);
  const double unit_mm = state.unit == LengthUnit::mm ? 1.0 : 25.4;
  const double step = state.unit == LengthUnit::mm ? 10.0 : 0.5;
  for (double v = std::ceil(track.least.mm() / unit_mm / step) * step; v * unit_mm <= track.most.mm() + 1e-9;
       v += step) {
    const float x = track.x(Length::mm(v * unit_mm));
    list.AddLine({x, y - 0.35F * em()}, {x, y}, ink::kText);
  }
  const auto told = [&](Length h, float x, float align) {
    const std::string words = length_words(h, state.unit);
    const float w = ImGui::CalcTextSize(words.c_str()).x;
    list.AddText({x - align * w, top}, ink::kQuiet, words.c_str());
  };
  told(track.least, track.left, 0);
  told(track.most, track.right, 1);
}

void draw_knob(const State& state, const Track& track, float top, float bottom, float foot) {
  ImDrawList& list = *ImGui::GetWindowDrawList();
  const float x = track.x(state.height), r = 0.5F * em(), y = bottom - 0.15F * em();
  list.AddLine({x, y}, {x, foot}, ink::kStrong, 2);
  list.AddTriangleFilled({x - r, y - 1.6F * r}, {x + r, y - 1.6F * r}, {x, y}, ink::kStrong);
  const std::string words = length_words(state.height, state.unit);
  const float w = ImGui::CalcTextSize(words.c_str()).x, pad = 0.3F * em();
  const float left = std::clamp(x - w / 2, track.left, std::max(track.left, track.right - w));
  list.AddRectFilled({left - pad, top - 0.1F * em()}, {left + w + pad, top + 1.15F * em()}, ink::kPaper);
  list.AddText({left, top}, ink::kStrong, words.c_str());
}

std::string stretch_words(const BarStretch& stretch) {
  if (stretch.fit) return std::string(word(*stretch.fit));
  return stretch.before ? fmt::format("old: {}", word(*stretch.before)) : "not worked out yet";
}

// So faint that nobody takes it for the colour of a verdict.
ImU32 before_fill(Fit fit) {
  return (verdict_fill(fit) & ~IM_COL32_A_MASK) | (static_cast<ImU32>(0x28) << IM_COL32_A_SHIFT);
}

void draw_stretch(const BarStretch& stretch, const Track& track, float top, float bottom) {
  ImDrawList& list = *ImGui::GetWindowDrawList();
  const ImVec2 from{track.x(stretch.from), top},
      to{std::max(track.x(stretch.to), track.x(stretch.from) + 1), bottom};
  list.AddRectFilled(from, to, verdict_fill(stretch.fit));
  if (stretch.fit == Fit::does_not_fit) hatch(list, from, to, IM_COL32(255, 255, 255, 90));
  if (stretch.before) list.AddRectFilled(from, to, before_fill(*stretch.before));
  if (stretch.before) hatch(list, from, to, IM_COL32(120, 124, 130, 110));
  if (!stretch.fit) list.AddRect(from, to, ink::kLine);
  const std::string words = stretch_words(stretch);
  const float w = ImGui::CalcTextSize(words.c_str()).x;
  if (w + 0.6F * em() < to.x - from.x)
    list.AddText({(from.x + to.x - w) / 2, top + (bottom - top - em()) / 2},
                 stretch.fit ? verdict_ink(stretch.fit) : ink::kQuiet, words.c_str());
}

void tell_stretch(const State& state, const BarStretch& stretch) {
  ImGui::BeginTooltip();
  ImGui::PushTextWrapPos(em() * 28);
  const std::string range = fmt::format(
      "{} to {}: {}{}", length_words(stretch.from, state.unit), length_words(stretch.to, state.unit),
      stretch_words(stretch), stretch.before ? "; it was so before the change, nothing is proved now" : "");
  ImGui::TextUnformatted(range.c_str());
  if (stretch.window != nullptr && stretch.window->binds) {
    WordsContext context;
    context.unit = state.unit;
    const std::string binds = words_of(*stretch.window->binds, context).brief;
    ImGui::TextUnformatted((stretch.fit == Fit::fits ? "ends where: " + binds : binds).c_str());
  }
  ImGui::PopTextWrapPos();
  ImGui::EndTooltip();
}

// Bars of one pump; hovering tells a stretch in words.
void draw_row(const State& state, const Pane& pane, const Track& track, float names) {
  const ImVec2 at = ImGui::GetCursorScreenPos();
  const float h = ImGui::GetTextLineHeight();
  text_cut(safe_text(state.prepared->job().family.pumps[pane.pump].name), names - 0.5F * em());
  const auto bar = state.windows.find(pane.pump);
  const WindowBar* known = bar == state.windows.end() ? nullptr : &bar->second;
  const ImVec2 mouse = ImGui::GetIO().MousePos;
  const bool over = ImGui::IsWindowHovered() && mouse.y >= at.y && mouse.y < at.y + h &&
                    mouse.x >= track.left && mouse.x <= track.right;
  const Length under = height_at(mouse.x, track.least, track.most, track.left, track.right);
  for (const BarStretch& stretch : bar_stretches(known, track.least, track.most)) {
    draw_stretch(stretch, track, at.y, at.y + h);
    if (over && under >= stretch.from && under <= stretch.to) tell_stretch(state, stretch);
  }
}

Intents draw_typed_height(const State& state, Typing& typing, float width) {
  Intents out;
  const std::string shown = length_words(state.height, state.unit);
  ImGui::SetNextItemWidth(width);
  if (ImGui::InputText("##height", &typing.height,
                       ImGuiInputTextFlags_EnterReturnsTrue | ImGuiInputTextFlags_AutoSelectAll)) {
    const auto height = parse_length(typing.height, state.unit);
    typing.height_problem = !height;
    if (height) out.push_back(SetHeight{*height});
  }
  if (!ImGui::IsItemActive() && (typing.height_shown_for != shown || !typing.height_problem)) {
    typing.height = format_length(state.height, state.unit, state.unit == LengthUnit::mm ? 1 : 3);
    typing.height_shown_for = shown;
    typing.height_problem = false;
  }
  if (ImGui::IsItemHovered())
    ImGui::SetTooltip("Intake height above the crank: 312, 312 mm or 12-1/4 in, then Enter");
  return out;
}

}  // namespace

float bar_x(Length height, Length least, Length most, float left, float right) {
  const double range_mm = (most - least).mm();
  const double share = range_mm > 0 ? (height - least).mm() / range_mm : 0.0;
  return left + static_cast<float>(share) * (right - left);
}

Length height_at(float x, Length least, Length most, float left, float right) {
  const double share = right > left ? std::clamp((x - left) / (right - left), 0.0F, 1.0F) : 0.0;
  return least + share * (most - least);
}

std::vector<BarStretch> bar_stretches(const WindowBar* bar, Length least, Length most) {
  std::vector<BarStretch> out;
  const auto open = [&](Length from, Length to) {
    const std::size_t first = out.size();
    for (const HeightWindow& old : bar == nullptr ? std::vector<HeightWindow>{} : bar->before) {
      const Length begin = std::max(from, old.from), end = std::min(to, old.to);
      if (begin >= end) continue;
      if (begin > from) out.push_back({from, begin, std::nullopt, nullptr});
      out.push_back({begin, end, std::nullopt, nullptr, old.fit});
      from = end;
    }
    if (from < to || out.size() == first) out.push_back({from, to, std::nullopt, nullptr});
  };
  Length at = least;
  if (bar != nullptr)
    for (const HeightWindow& window : bar->known) {
      if (window.from > at) open(at, window.from);
      out.push_back({window.from, window.to, window.fit, &window});
      at = window.to;
    }
  if (at < most || out.empty()) open(at, most);
  return out;
}

Intents draw_height(const State& state, Typing& typing, std::size_t most_rows) {
  Intents out;
  const Intake& intake = intake_of(state);
  const ImVec2 at = ImGui::GetCursorScreenPos();
  const float room = ImGui::GetContentRegionAvail().x;
  const float names = std::min(11 * em(), room * 0.3F);
  const Track track{at.x + names + 0.5F * em(), at.x + room - 1.0F * em(), intake.least_height,
                    intake.most_height};
  text_cut("Intake height", names - 0.5F * em(), ink::kStrong);
  append(out, draw_typed_height(state, typing, names - 0.5F * em()));
  const float ruler_bottom = ImGui::GetCursorScreenPos().y - ImGui::GetStyle().ItemSpacing.y;
  const float first_row = ImGui::GetCursorScreenPos().y;
  const float row = ImGui::GetTextLineHeightWithSpacing();
  const float foot = first_row + row * static_cast<float>(most_rows);
  ImGui::SetCursorScreenPos({track.left - 0.5F * em(), at.y});
  ImGui::InvisibleButton("slider", {track.right - track.left + em(), std::max(foot - at.y, 2 * em())});
  typing.slider_left = track.left;
  typing.slider_right = track.right;
  typing.slider_y = ruler_bottom - 0.3F * em();
  if (ImGui::IsItemActive()) {
    const double step_mm = state.unit == LengthUnit::mm ? 0.5 : 25.4 / 64;
    const Length raw = height_at(ImGui::GetIO().MousePos.x, track.least, track.most, track.left, track.right);
    out.push_back(SetHeight{Length::mm(std::round(raw.mm() / step_mm) * step_mm)});
  }
  ImGui::SetCursorScreenPos({at.x, first_row});
  for (std::size_t i = 0; i < std::min(most_rows, state.panes.size()); ++i)
    draw_row(state, state.panes[i], track, names);
  draw_ruler(state, track, at.y, ruler_bottom);
  draw_knob(state, track, at.y, ruler_bottom, foot);
  return out;
}

}  // namespace hosefit
