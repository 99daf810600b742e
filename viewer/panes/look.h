// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <imgui.h>

#include <optional>
#include <string>
#include <string_view>

#include "solver/model/verdict.h"
#include "solver/view/palette.h"

/// Colours, sizes and small drawn things that all panes share. Light, like a drawing on paper.
namespace hosefit {

/// Sets colours and sizes of the current ImGui context for a screen of this scale (1 = 96 dots per inch).
void set_look(float scale);
/// One em of the text: every size on screen is told in it.
float em();

namespace ink {
inline constexpr ImU32 kPaper = IM_COL32(250, 250, 247, 255);
inline constexpr ImU32 kText = IM_COL32(22, 28, 36, 255);
inline constexpr ImU32 kQuiet = IM_COL32(88, 96, 106, 255);
inline constexpr ImU32 kLine = IM_COL32(176, 182, 190, 255);
inline constexpr ImU32 kStrong = IM_COL32(20, 66, 114, 255);
inline constexpr ImU32 kWarn = IM_COL32(160, 58, 0, 255);
}  // namespace ink

ImU32 packed(const Colour& colour, float alpha = 1.0F);
/// Fill of a verdict, empty = not proved.
ImU32 verdict_fill(std::optional<Fit> fit);
ImU32 verdict_ink(std::optional<Fit> fit);

/// Draws a filled sign for a verdict, told apart by shape as well: disc, ring, square, diamond, open ring.
void draw_sign(ImDrawList& list, ImVec2 centre, float radius, std::optional<Fit> fit, ImU32 colour);

/// Text on one line, cut with "..." at a width; the whole text is the tooltip where it was cut.
void text_cut(const std::string& text, float width, ImU32 colour = ink::kText);
std::string cut_to(const std::string& text, float width);
/// Wrapped text in a colour.
void text_wrapped(const std::string& text, ImU32 colour = ink::kText);
void heading(const char* text);

/// Strokes a rectangle diagonally, so that a kind of bar is known without its colour.
void hatch(ImDrawList& list, ImVec2 from, ImVec2 to, ImU32 colour);

}  // namespace hosefit
