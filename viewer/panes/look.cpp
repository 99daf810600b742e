// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/panes/look.h"

#include <algorithm>
#include <string_view>

namespace hosefit {
namespace {

ImVec4 v(ImU32 colour) {
  return ImGui::ColorConvertU32ToFloat4(colour);
}

void set_colours(ImGuiStyle& style) {
  ImGui::StyleColorsLight(&style);
  ImVec4* c = style.Colors;
  c[ImGuiCol_Text] = v(ink::kText);
  c[ImGuiCol_TextDisabled] = v(ink::kQuiet);
  c[ImGuiCol_WindowBg] = v(ink::kPaper);
  c[ImGuiCol_ChildBg] = v(IM_COL32(0, 0, 0, 0));
  c[ImGuiCol_PopupBg] = v(IM_COL32(255, 255, 255, 252));
  c[ImGuiCol_Border] = v(ink::kLine);
  c[ImGuiCol_FrameBg] = v(IM_COL32(255, 255, 255, 255));
  c[ImGuiCol_FrameBgHovered] = v(IM_COL32(228, 236, 245, 255));
  c[ImGuiCol_FrameBgActive] = v(IM_COL32(212, 226, 241, 255));
  c[ImGuiCol_Button] = v(IM_COL32(232, 236, 240, 255));
  c[ImGuiCol_ButtonHovered] = v(IM_COL32(210, 224, 240, 255));
  c[ImGuiCol_ButtonActive] = v(IM_COL32(184, 208, 232, 255));
  c[ImGuiCol_Header] = v(IM_COL32(226, 233, 241, 255));
  c[ImGuiCol_HeaderHovered] = v(IM_COL32(210, 224, 240, 255));
  c[ImGuiCol_HeaderActive] = v(IM_COL32(184, 208, 232, 255));
  c[ImGuiCol_CheckMark] = v(ink::kStrong);
  c[ImGuiCol_SliderGrab] = v(ink::kStrong);
  c[ImGuiCol_SliderGrabActive] = v(IM_COL32(12, 44, 80, 255));
  c[ImGuiCol_NavHighlight] = v(IM_COL32(0, 90, 180, 255));
  c[ImGuiCol_PlotHistogram] = v(ink::kStrong);
}

}  // namespace

void set_look(float scale) {
  ImGuiStyle style;
  set_colours(style);
  style.WindowRounding = 0;
  style.ChildRounding = 0;
  style.FrameRounding = 2;
  style.PopupRounding = 2;
  style.FrameBorderSize = 1;
  style.WindowBorderSize = 0;
  style.PopupBorderSize = 1;
  style.ItemSpacing = {7, 5};
  style.FramePadding = {6, 3};
  style.WindowPadding = {10, 8};
  style.IndentSpacing = 14;
  style.ScaleAllSizes(scale);
  ImGui::GetStyle() = style;
}

float em() {
  return ImGui::GetFontSize();
}

ImU32 packed(const Colour& c, float alpha) {
  return ImGui::ColorConvertFloat4ToU32(
      {static_cast<float>(c.red), static_cast<float>(c.green), static_cast<float>(c.blue), alpha});
}

ImU32 verdict_fill(std::optional<Fit> fit) {
  if (!fit) return IM_COL32(255, 255, 255, 255);
  switch (*fit) {
    case Fit::fits:
      return IM_COL32(0, 92, 150, 255);
    case Fit::passage_no_stock:
      return IM_COL32(240, 190, 80, 255);
    case Fit::does_not_fit:
      return IM_COL32(168, 60, 0, 255);
    case Fit::undecided:
      return IM_COL32(98, 98, 106, 255);
  }
  return 0;
}

ImU32 verdict_ink(std::optional<Fit> fit) {
  if (!fit) return ink::kText;
  return *fit == Fit::passage_no_stock ? ink::kText : IM_COL32(255, 255, 255, 255);
}

void draw_sign(ImDrawList& list, ImVec2 at, float r, std::optional<Fit> fit, ImU32 colour) {
  if (!fit) return list.AddCircle(at, r * 0.85F, colour, 0, r * 0.25F);
  switch (*fit) {
    case Fit::fits:
      return list.AddCircleFilled(at, r, colour);
    case Fit::passage_no_stock:
      list.AddCircle(at, r * 0.85F, colour, 0, r * 0.3F);
      return list.AddCircleFilled(at, r * 0.35F, colour);
    case Fit::does_not_fit:
      return list.AddRectFilled({at.x - r * 0.9F, at.y - r * 0.9F}, {at.x + r * 0.9F, at.y + r * 0.9F},
                                colour);
    case Fit::undecided:
      return list.AddQuadFilled({at.x, at.y - r}, {at.x + r, at.y}, {at.x, at.y + r}, {at.x - r, at.y},
                                colour);
  }
}

std::string cut_to(const std::string& text, float width) {
  if (ImGui::CalcTextSize(text.c_str(), text.c_str() + text.size()).x <= width) return text;
  std::string out = text.substr(0, 400);  // wider than any screen; names from files may be endless
  while (!out.empty()) {
    while (!out.empty() && (static_cast<unsigned char>(out.back()) & 0xC0U) == 0x80U) out.pop_back();
    if (!out.empty()) out.pop_back();
    const std::string shown = out + "...";
    if (ImGui::CalcTextSize(shown.c_str()).x <= width) return shown;
  }
  return "";
}

void text_cut(const std::string& text, float width, ImU32 colour) {
  const std::string shown = cut_to(text, width);
  ImGui::PushStyleColor(ImGuiCol_Text, colour);
  ImGui::TextUnformatted(shown.c_str(), shown.c_str() + shown.size());
  ImGui::PopStyleColor();
  if (shown.size() == text.size() || !ImGui::IsItemHovered()) return;
  ImGui::BeginTooltip();
  ImGui::PushTextWrapPos(em() * 30);
  ImGui::TextUnformatted(text.c_str(), text.c_str() + text.size());
  ImGui::PopTextWrapPos();
  ImGui::EndTooltip();
}

// How much of a text goes on one line: as many whole words as there is room for; at least one letter.
template <class Width>
std::size_t line_length(std::string_view rest, float room, const Width& width) {
  std::size_t fitting = 0;
  for (std::size_t at = 0; at < rest.size();) {
    const std::size_t end = std::min(rest.find(' ', at + 1), rest.size());
    if (width(rest.substr(0, end)) > room) break;
    fitting = at = end;
  }
  if (fitting > 0) return fitting;
  fitting = 1;  // a word that is too wide is broken between letters
  while (fitting < rest.size() && width(rest.substr(0, fitting + 1)) <= room) ++fitting;
  while (fitting < rest.size() && (static_cast<unsigned char>(rest[fitting]) & 0xC0U) == 0x80U) ++fitting;
  return fitting;
}

// ImGui also breaks after a point, which would tear figures apart; here lines end at blanks only, and within
// a word only where it is wider than the room.
void text_wrapped(const std::string& text, ImU32 colour) {
  const float room = std::max(ImGui::GetContentRegionAvail().x, 2 * em());
  const auto width = [](std::string_view part) {
    return ImGui::CalcTextSize(part.data(), part.data() + part.size()).x;
  };
  ImGui::PushStyleColor(ImGuiCol_Text, colour);
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, {ImGui::GetStyle().ItemSpacing.x, 0});
  ImGui::BeginGroup();
  std::string_view rest = text;
  while (!rest.empty()) {
    const std::size_t length = line_length(rest, room, width);
    ImGui::TextUnformatted(rest.data(), rest.data() + length);
    rest.remove_prefix(length);
    if (!rest.empty() && rest.front() == ' ') rest.remove_prefix(1);
  }
  ImGui::PopStyleVar();
  ImGui::EndGroup();
  ImGui::PopStyleColor();
}

void heading(const char* text) {
  ImGui::Dummy({0, em() * 0.2F});
  ImGui::PushStyleColor(ImGuiCol_Text, ink::kStrong);
  ImGui::TextUnformatted(text);
  ImGui::PopStyleColor();
  const ImVec2 at = ImGui::GetCursorScreenPos();
  const float y = at.y - ImGui::GetStyle().ItemSpacing.y * 0.6F;
  ImGui::GetWindowDrawList()->AddLine({at.x, y}, {at.x + ImGui::GetContentRegionAvail().x, y}, ink::kLine);
}

void hatch(ImDrawList& list, ImVec2 from, ImVec2 to, ImU32 colour) {
  list.PushClipRect(from, to, true);
  const float step = std::max(4.0F, em() * 0.45F), height = to.y - from.y;
  for (float x = from.x - height; x < to.x; x += step) list.AddLine({x, to.y}, {x + height, from.y}, colour);
  list.PopClipRect();
}

}  // namespace hosefit
