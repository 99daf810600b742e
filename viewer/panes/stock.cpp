// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>
#include <imgui.h>
#include <imgui_stdlib.h>

#include <algorithm>
#include <sstream>
#include <tuple>

#include "solver/report/words.h"
#include "viewer/panes/look.h"
#include "viewer/panes/panes.h"

namespace hosefit {
namespace {

constexpr float kRowsShown = 4.5F;  // half a row tells that the list goes on

// Letters beyond ASCII stay as they are.
std::string lower(std::string text) {
  for (char& c : text)
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  return text;
}

std::string headline(const Stock& stock, LengthUnit unit) {
  return fmt::format("{} {}", length_words(stock.bore, unit), title(stock.make));
}

bool is_found(const Stock& stock, const std::vector<std::string>& words, LengthUnit unit) {
  const std::string text = lower(headline(stock, unit) + " " + stock.description + " " + stock.id);
  return std::all_of(words.begin(), words.end(),
                     [&](const std::string& word) { return text.find(word) != std::string::npos; });
}

void draw_tooltip(const Stock& stock, LengthUnit unit, bool held) {
  ImGui::BeginTooltip();
  ImGui::PushTextWrapPos(em() * 28);
  const std::string text = fmt::format(
      "{}\n{}\n{}, bore {}, outside {}{}", safe_text(stock.id), safe_text(stock.description),
      title(stock.make), length_words(stock.bore, unit), length_words(stock.outside_diameter, unit),
      held ? "\nThe vehicle's file holds a line to it: it stays on." : "");
  ImGui::TextUnformatted(text.c_str());
  ImGui::PopTextWrapPos();
  ImGui::EndTooltip();
}

// A tick, make and bore; below them what it is.
void draw_piece(const State& state, const Stock& stock, Intents& out) {
  bool on = !state.changes.stock_off.contains(stock.id);
  const bool held = !may_be_off(*state.as_read, stock);
  ImGui::PushID(stock.id.c_str());
  ImGui::BeginGroup();
  if (ImGui::Checkbox("##on", &on)) out.push_back(SetStock{{stock.id}, on});
  ImGui::SameLine();
  ImGui::BeginGroup();
  const float width = ImGui::GetContentRegionAvail().x;
  ImGui::TextUnformatted(cut_to(headline(stock, state.unit), width).c_str());
  ImGui::PushStyleColor(ImGuiCol_Text, ink::kQuiet);
  ImGui::TextUnformatted(
      cut_to(safe_text(held ? "held: " + stock.description : stock.description), width).c_str());
  ImGui::PopStyleColor();
  ImGui::EndGroup();
  ImGui::EndGroup();
  if (ImGui::IsItemHovered()) draw_tooltip(stock, state.unit, held);
  ImGui::PopID();
}

void draw_switches(const std::vector<std::string>& found, Intents& out) {
  if (ImGui::SmallButton("on###found_on")) out.push_back(SetStock{found, true});
  ImGui::SameLine();
  if (ImGui::SmallButton("off###found_off")) out.push_back(SetStock{found, false});
}

}  // namespace

std::vector<std::size_t> stock_found(const std::vector<Stock>& stock, const std::string& search,
                                     LengthUnit unit) {
  std::vector<std::string> words;
  std::istringstream in(lower(search));
  for (std::string word; in >> word;) words.push_back(word);
  std::vector<std::size_t> out;
  for (std::size_t i = 0; i < stock.size(); ++i)
    if (is_found(stock[i], words, unit)) out.push_back(i);
  std::stable_sort(out.begin(), out.end(), [&](std::size_t a, std::size_t b) {
    return std::tuple(stock[a].make, stock[a].bore) < std::tuple(stock[b].make, stock[b].bore);
  });
  return out;
}

Intents draw_stock(const State& state, Typing& typing) {
  Intents out;
  const std::vector<Stock>& stock = state.as_read->stock;
  heading("Shelf stock");
  const std::size_t off = state.changes.stock_off.size();
  text_wrapped(off == 0 ? fmt::format("all {} pieces may be used", stock.size())
                        : fmt::format("{} of {} pieces may be used", stock.size() - off, stock.size()),
               off == 0 ? ink::kQuiet : ink::kStrong);
  ImGui::SetNextItemWidth(-1);
  ImGui::InputTextWithHint("##stock", "find: make, bore, words", &typing.stock_search);
  std::vector<std::string> found;
  const float height = kRowsShown * (2 * ImGui::GetTextLineHeight() + 2 * ImGui::GetStyle().ItemSpacing.y);
  if (ImGui::BeginChild("pieces", {0, height}, true)) {
    for (const std::size_t i : stock_found(stock, typing.stock_search, state.unit)) {
      draw_piece(state, stock[i], out);
      found.push_back(stock[i].id);
    }
    if (found.empty()) text_wrapped("No piece has these words.", ink::kQuiet);
  }
  ImGui::EndChild();
  if (found.empty()) return out;
  ImGui::AlignTextToFramePadding();
  ImGui::TextUnformatted(typing.stock_search.empty() ? fmt::format("all {}:", found.size()).c_str()
                                                     : fmt::format("the {} found:", found.size()).c_str());
  ImGui::SameLine();
  draw_switches(found, out);
  return out;
}

}  // namespace hosefit
