// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <iterator>

#include "solver/report/words.h"
#include "viewer/panes/look.h"
#include "viewer/panes/panes.h"

namespace hosefit {
namespace {

constexpr float kSide_em = 17;        // width of a side panel
constexpr float kWideEnough_em = 62;  // for the controls at the left
constexpr float kVeryWide_em = 80;    // for the details at the right as well

constexpr ImGuiWindowFlags kFixed =
    ImGuiWindowFlags_NoDecoration | ImGuiWindowFlags_NoMove | ImGuiWindowFlags_NoSavedSettings |
    ImGuiWindowFlags_NoBringToFrontOnFocus | ImGuiWindowFlags_NoBackground;  // cleared to paper before

// A part of the screen with its own scrolling.
template <class Draw>
void part(const char* id, ImVec2 size, bool border, Intents& out, const Draw& draw) {
  if (ImGui::BeginChild(id, size, border)) append(out, draw());
  ImGui::EndChild();
}

std::size_t bar_rows(const State& state, float height) {
  const std::size_t all = std::min(state.panes.size(), kMostPanes);
  if (height < 26 * em()) return 0;
  return height < 40 * em() ? std::min<std::size_t>(all, 2) : all;
}

float bars_height(const State& state, std::size_t rows) {
  const float row = ImGui::GetTextLineHeightWithSpacing();
  return (state.prepared ? 4.6F * em() + row * static_cast<float>(rows) : 0.0F);
}

Intents draw_work(const State& state, Typing& typing, const PictureOf& picture) {
  Intents out;
  append(out, draw_top_bar(state));
  const ImVec2 room = ImGui::GetContentRegionAvail();
  const std::size_t rows = bar_rows(state, room.y);
  const float status = ImGui::GetTextLineHeightWithSpacing() + 2;
  const float middle =
      std::max(room.y - bars_height(state, rows) - status - ImGui::GetStyle().ItemSpacing.y * 2, em() * 4);
  const float side = kSide_em * em();
  const bool left = room.x >= kWideEnough_em * em() && state.prepared,
             right = room.x >= kVeryWide_em * em() && state.prepared;
  if (left) {
    part("controls", {side, middle}, false, out, [&] {
      Intents more = draw_controls(state, typing);
      if (!right) append(more, draw_details(state));
      return more;
    });
    ImGui::SameLine();
  }
  const float centre =
      ImGui::GetContentRegionAvail().x - (right ? side + ImGui::GetStyle().ItemSpacing.x : 0.0F);
  part("grid", {centre, middle}, false, out, [&] { return draw_grid(state, typing, picture); });
  if (right) {
    ImGui::SameLine();
    part("details", {0, middle}, false, out, [&] { return draw_details(state); });
  }
  if (state.prepared)
    part("height", {0, bars_height(state, rows)}, false, out,
         [&] { return draw_height(state, typing, rows); });
  append(out, draw_status(state));
  return out;
}

}  // namespace

void append(Intents& to, Intents more) {
  to.insert(to.end(), std::make_move_iterator(more.begin()), std::make_move_iterator(more.end()));
}

Intents draw_screen(const State& state, Typing& typing, const PictureOf& picture) {
  Intents out = read_keys(state);
  const ImVec2 size = ImGui::GetIO().DisplaySize;
  ImGui::SetNextWindowPos({0, 0});
  ImGui::SetNextWindowSize(size);
  ImGui::Begin("screen", nullptr, kFixed);
  if (state.start_shown)
    append(out, draw_start(state, typing));
  else
    append(out, draw_work(state, typing, picture));
  ImGui::End();
  if (!state.start_shown && !state.problems.empty()) append(out, draw_problems(state));
  if (state.keys_shown) append(out, draw_keys(state));
  return out;
}

}  // namespace hosefit
