// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "solver/report/reasons.h"
#include "viewer/panes/look.h"
#include "viewer/panes/panes.h"

namespace hosefit {
namespace {

constexpr float kWheelStep = 1.12F;
constexpr float kLeastPaneWidth_em = 12, kLeastPaneHeight_em = 9;
constexpr float kStillAClick_em = 0.3F;  // a hand moves a little while it clicks

struct PaneArea {
  std::size_t pane = 0;
  ImVec2 from, size;  // picture
};

// The verdict in its colour, with its sign and words; as wide as it needs to be.
void draw_verdict(const ShownVerdict& verdict, float most_width) {
  const ImVec2 at = ImGui::GetCursorScreenPos();
  ImDrawList& list = *ImGui::GetWindowDrawList();
  const float h = ImGui::GetTextLineHeight() + 0.3F * em(), sign = 1.1F * em();
  const std::string words = cut_to(verdict.words, most_width - sign - 0.8F * em());
  const float w = std::min(most_width, ImGui::CalcTextSize(words.c_str()).x + sign + 0.9F * em());
  list.AddRectFilled(at, {at.x + w, at.y + h}, verdict_fill(verdict.fit), 2);
  if (!verdict.fit) list.AddRect(at, {at.x + w, at.y + h}, ink::kQuiet, 2, 0, 1.5F);
  draw_sign(list, {at.x + 0.75F * em(), at.y + h / 2}, 0.34F * em(), verdict.fit, verdict_ink(verdict.fit));
  list.AddText({at.x + sign + 0.3F * em(), at.y + 0.15F * em()}, verdict_ink(verdict.fit), words.c_str());
  ImGui::Dummy({w, h});
}

std::string name_words(const State& state, std::size_t index, float width) {
  const Pane& pane = state.panes[index];
  const Family& family = state.prepared->job().family;
  const auto parts = parts_words(family, pane.asked);
  std::string out = fmt::format("{}{}", state.ranked ? fmt::format("{}. ", index + 1) : "",
                                safe_text(family.pumps[pane.pump].name));
  const std::string full = fmt::format("{}   with {}, {}", out, parts[0], parts[1]);
  return ImGui::CalcTextSize(full.c_str()).x <= width ? full : out;
}

// Two lines for the reason where there is height for them.
void draw_header(const State& state, std::size_t index, ImVec2 size) {
  const float width = size.x;
  const Pane& pane = state.panes[index];
  const ShownVerdict verdict = shown_verdict(state, pane);
  const ImU32 ink = index == state.chosen ? ink::kStrong : ink::kText;
  draw_verdict(verdict, width * 0.62F);
  ImGui::SameLine();
  ImGui::SetCursorPosY(ImGui::GetCursorPosY() + 0.15F * em());
  const float room = ImGui::GetContentRegionAvail().x;
  text_cut(name_words(state, index, room), room, ink);
  const std::string settling = verdict.fit && verdict.settling ? "other parts still being looked at; " : "";
  const ImU32 reason_ink = verdict.fit && !verdict.settling ? ink::kText : ink::kQuiet;
  const std::string reason = settling + verdict.reason;
  const bool two_lines = size.y > 15 * em() && ImGui::CalcTextSize(reason.c_str()).x < 1.8F * width;
  if (two_lines)
    text_wrapped(reason, reason_ink);
  else
    text_cut(reason, width, reason_ink);
}

void draw_mark(const State& state, const PaneArea& area, ImDrawList& list) {
  const Pane& pane = state.panes[area.pane];
  const auto mark = tightest_mark(state, pane);
  if (!mark) return;
  const auto seen = project(pane.scene.camera, area.size.x / area.size.y, mark->at_mm);
  if (!seen || seen->x < 0 || seen->x > 1 || seen->y < 0 || seen->y > 1) return;
  const ImVec2 at{area.from.x + static_cast<float>(seen->x) * area.size.x,
                  area.from.y + static_cast<float>(seen->y) * area.size.y};
  const float r = 0.55F * em(), stroke = em() / 15;
  list.AddCircle(at, r, IM_COL32(255, 255, 255, 255), 0, 4.5F * stroke);
  list.AddCircle(at, r, ink::kText, 0, 2.0F * stroke);
  const std::string words = cut_to(mark->words, area.size.x - 2 * em());
  const ImVec2 text = ImGui::CalcTextSize(words.c_str());
  const float pad = 0.3F * em();
  // At the edge farther from the place, so that the words hide nothing near it.
  const bool below = at.y < area.from.y + area.size.y / 2;
  ImVec2 box{at.x - text.x / 2, below ? area.from.y + area.size.y - text.y - 3 * pad : area.from.y + pad};
  box.x = std::clamp(box.x, area.from.x + pad,
                     std::max(area.from.x + pad, area.from.x + area.size.x - text.x - 4 * pad - em()));
  const ImVec2 end{box.x + text.x + 3 * pad + 0.8F * em(), box.y + text.y + 2 * pad};
  const ImVec2 foot{std::clamp(at.x, box.x + pad, end.x - pad), below ? box.y : end.y};
  const float away = std::max(1.0F, std::hypot(foot.x - at.x, foot.y - at.y));
  const ImVec2 rim{at.x + (foot.x - at.x) * r / away, at.y + (foot.y - at.y) * r / away};
  list.AddLine(rim, foot, IM_COL32(255, 255, 255, 220), 4.0F * stroke);
  list.AddLine(rim, foot, ink::kText, 1.5F * stroke);
  list.AddRectFilled(box, end, IM_COL32(255, 255, 255, 240), 2);
  list.AddRect(box, end, ink::kText, 2);
  list.AddRectFilled({box.x + pad, box.y + pad}, {box.x + pad + 0.8F * em(), end.y - pad},
                     packed(colour_of(mark->kind)));
  list.AddText({box.x + 2 * pad + 0.8F * em(), box.y + pad}, ink::kText, words.c_str());
}

// The mouse over a picture: left turns, right or middle shifts, the wheel comes nearer, a click picks.
Intents read_mouse(const State& state, Typing& typing, const PaneArea& area) {
  Intents out;
  const ImGuiIO& io = ImGui::GetIO();
  const Orbit camera = state.panes[area.pane].scene.camera;
  if (ImGui::IsItemActivated()) {
    typing.pressed_at = io.MousePos;
    typing.dragged = false;
  }
  if (ImGui::IsItemActive()) {
    const float away = std::hypot(io.MousePos.x - typing.pressed_at.x, io.MousePos.y - typing.pressed_at.y);
    typing.dragged = typing.dragged || away > kStillAClick_em * em();
    const double across = io.MouseDelta.x / area.size.y, down = io.MouseDelta.y / area.size.y;
    if (typing.dragged && (across != 0 || down != 0)) {
      const bool shifts = !io.MouseDown[0] || io.KeyShift;
      out.push_back(
          MoveCamera{area.pane, shifts ? shifted(camera, across, down) : orbited(camera, across, down)});
    }
  }
  if (ImGui::IsItemDeactivated() && !typing.dragged) {
    const PicturePoint at{(typing.pressed_at.x - area.from.x) / area.size.x,
                          (typing.pressed_at.y - area.from.y) / area.size.y};
    out.push_back(PickAt{area.pane, at, area.size.x / area.size.y});
  }
  if (ImGui::IsItemHovered() && io.MouseWheel != 0)
    out.push_back(MoveCamera{area.pane, nearer(camera, std::pow(kWheelStep, io.MouseWheel))});
  return out;
}

Intents draw_pane(const State& state, Typing& typing, const PictureOf& picture, std::size_t index,
                  ImVec2 size) {
  Intents out;
  ImGui::PushID(static_cast<int>(state.panes[index].pump));
  ImGui::PushStyleColor(ImGuiCol_Border, index == state.chosen ? ink::kStrong : ink::kLine);
  ImGui::PushStyleVar(ImGuiStyleVar_ChildBorderSize, index == state.chosen ? 2.0F : 1.0F);
  ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, {0.4F * em(), 0.3F * em()});
  const bool open = ImGui::BeginChild("pane", size, true,
                                      ImGuiWindowFlags_NoScrollbar | ImGuiWindowFlags_NoScrollWithMouse);
  ImGui::PopStyleVar(2);
  ImGui::PopStyleColor();
  if (open) {
    draw_header(state, index, ImGui::GetContentRegionAvail());
    PaneArea area{index, ImGui::GetCursorScreenPos(), ImGui::GetContentRegionAvail()};
    if (area.size.x >= 8 && area.size.y >= 8) {
      ImDrawList& list = *ImGui::GetWindowDrawList();
      const ImVec2 end{area.from.x + area.size.x, area.from.y + area.size.y};
      const ImGuiIO& io = ImGui::GetIO();
      const auto pixels = [](float points, float scale) {
        return std::max(1, static_cast<int>(std::lround(points * scale)));
      };
      if (const ImTextureID texture = picture(index, pixels(area.size.x, io.DisplayFramebufferScale.x),
                                              pixels(area.size.y, io.DisplayFramebufferScale.y)))
        list.AddImage(texture, area.from, end, {0, 1}, {1, 0});
      if (current_answer(state, state.panes[index]) == nullptr)  // dimmed: nothing is claimed
        list.AddRectFilled(area.from, end, IM_COL32(250, 250, 247, state.problems.empty() ? 90 : 170));
      ImGui::InvisibleButton("picture", area.size,
                             ImGuiButtonFlags_MouseButtonLeft | ImGuiButtonFlags_MouseButtonRight |
                                 ImGuiButtonFlags_MouseButtonMiddle);
      append(out, read_mouse(state, typing, area));
      list.PushClipRect(area.from, end, true);
      draw_mark(state, area, list);
      list.PopClipRect();
    }
  }
  ImGui::EndChild();
  ImGui::PopID();
  return out;
}

}  // namespace

GridShape grid_shape(std::size_t count, float width, float height) {
  GridShape best;
  float largest = -1;
  for (std::size_t columns = 1; columns <= std::max<std::size_t>(1, count); ++columns) {
    const std::size_t rows = (count + columns - 1) / columns;
    const float w = width / static_cast<float>(columns), h = height / static_cast<float>(rows);
    const float size = std::min(w, h * 1.35F);  // width of a picture about four to three
    if (size > largest + 0.5F) {
      largest = size;
      best = {columns, std::max<std::size_t>(1, rows)};
    }
  }
  return best;
}

Intents draw_grid(const State& state, Typing& typing, const PictureOf& picture) {
  Intents out;
  std::vector<std::size_t> shown = panes_shown(state);
  if (shown.empty() || !state.prepared) {
    if (state.problems.empty())
      text_wrapped(state.loading ? "Reading the vehicle's files ..." : "", ink::kQuiet);
    return out;
  }
  const ImVec2 room = ImGui::GetContentRegionAvail();
  GridShape shape = grid_shape(shown.size(), room.x, room.y);
  // In a small window one readable pump is worth more than seven that are not.
  if (room.x < kLeastPaneWidth_em * em() * static_cast<float>(shape.columns) ||
      room.y < kLeastPaneHeight_em * em() * static_cast<float>(shape.rows)) {
    shown = {std::min(state.chosen, state.panes.size() - 1)};
    shape = {};
  }
  const ImVec2 gap = ImGui::GetStyle().ItemSpacing;
  const float columns = static_cast<float>(shape.columns), rows = static_cast<float>(shape.rows);
  const ImVec2 size{std::floor((room.x - gap.x * (columns - 1)) / columns),
                    std::floor((room.y - gap.y * (rows - 1)) / rows)};
  for (std::size_t i = 0; i < shown.size(); ++i) {
    if (i % shape.columns != 0) ImGui::SameLine();
    append(out, draw_pane(state, typing, picture, shown[i], size));
  }
  return out;
}

}  // namespace hosefit
