// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <imgui.h>

#include <functional>
#include <string>

#include "viewer/state.h"

/// Every part of the screen is a function that reads the state, draws with ImGui and returns what the user
/// asked for. What a text field holds while it is typed into lives in Typing, between frames.
namespace hosefit {

/// Picture of a pane, drawn elsewhere: pane index, width and height in pixels of the screen. May return null.
using PictureOf = std::function<ImTextureID(std::size_t pane, int width, int height)>;

/// What is being typed or dragged and not asked for yet.
struct Typing {
  std::string path, height, height_shown_for;
  bool height_problem = false;
  std::string stock_search;
  ImVec2 pressed_at{0, 0};
  bool dragged = false;
  float slider_left = 0, slider_right = 0, slider_y = 0;  ///< where the height slider was drawn
};

/// The whole screen: start, or the candidates with their controls.
Intents draw_screen(const State& state, Typing& typing, const PictureOf& picture);

Intents draw_start(const State& state, Typing& typing);
Intents draw_top_bar(const State& state);
Intents draw_controls(const State& state, Typing& typing);
Intents draw_stock(const State& state, Typing& typing);
Intents draw_details(const State& state);
Intents draw_grid(const State& state, Typing& typing, const PictureOf& picture);
Intents draw_height(const State& state, Typing& typing, std::size_t most_rows);
Intents draw_status(const State& state);
Intents draw_keys(const State& state);
void draw_legend(const State& state);
Intents draw_problems(const State& state);
/// Keys that act wherever the focus is, unless text is being typed.
Intents read_keys(const State& state);

/// Where a height stands on a bar from `left` to `right`, and back; the back way is held within the range.
float bar_x(Length height, Length least, Length most, float left, float right);
Length height_at(float x, Length least, Length most, float left, float right);

/// One stretch of a height bar as it is drawn; empty `fit` = not worked out yet, with `before` as it was
/// before a change.
struct BarStretch {
  Length from, to;
  std::optional<Fit> fit;
  const HeightWindow* window = nullptr;
  std::optional<Fit> before = std::nullopt;
};
/// Covers least .. most without holes.
std::vector<BarStretch> bar_stretches(const WindowBar* bar, Length least, Length most);

/// Indexes of the pieces of stock whose make, bore or description holds every word of `search`, whatever its
/// letters' case; by make and bore.
std::vector<std::size_t> stock_found(const std::vector<Stock>& stock, const std::string& search,
                                     LengthUnit unit);

/// Rows and columns that make `count` panes largest in an area, for pictures wider than high.
struct GridShape {
  std::size_t columns = 1, rows = 1;
};
GridShape grid_shape(std::size_t count, float width, float height);

void append(Intents& to, Intents more);

}  // namespace hosefit
