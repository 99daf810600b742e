// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <numeric>

#include "solver/report/words.h"
#include "viewer/panes/look.h"
#include "viewer/panes/panes.h"

namespace hosefit {
namespace {

std::string title_of(const State& state) {
  if (!state.prepared) return safe_text(state.folder);
  const Job& job = state.prepared->job();
  return fmt::format("{}   |   {} intake at {}", safe_text(job.vehicle.name),
                     safe_text(job.family.intakes[state.intake].name),
                     length_words(state.height, state.unit));
}

}  // namespace

Intents draw_top_bar(const State& state) {
  Intents out;
  const bool narrow = ImGui::GetContentRegionAvail().x < 48 * em();
  if (ImGui::Button("Open")) out.push_back(ShowStart{true});
  ImGui::SameLine();
  const bool mm = state.unit == LengthUnit::mm;
  if (ImGui::Button(mm ? "mm###unit" : "inch###unit"))
    out.push_back(SetUnit{mm ? LengthUnit::inch : LengthUnit::mm});
  if (ImGui::IsItemHovered()) ImGui::SetTooltip("Show lengths in %s (U)", mm ? "inch" : "mm");
  ImGui::SameLine();
  if (!narrow && state.panes.size() > 1) {
    bool tied = state.cameras_tied;
    if (ImGui::Checkbox("views together", &tied)) out.push_back(TieCameras{tied});
    ImGui::SameLine();
    bool alone = state.alone;
    if (ImGui::Checkbox("chosen pump alone", &alone)) out.push_back(ShowAlone{alone});
    ImGui::SameLine();
  }
  if (ImGui::Button("Keys")) out.push_back(ShowKeys{true});
  ImGui::SameLine();
  ImGui::AlignTextToFramePadding();
  text_cut(title_of(state), ImGui::GetContentRegionAvail().x);
  return out;
}

Intents draw_status(const State& state) {
  Intents out;
  const float width = ImGui::GetContentRegionAvail().x;
  if (!state.failure.empty()) {
    text_cut("The work failed: " + state.failure + "   (R tries again)", width, ink::kWarn);
  } else if (state.loading) {
    text_cut("Reading the vehicle's files ...", width);
  } else if (!state.problems.empty()) {
    text_cut(
        "File has problems; nothing is claimed until they are cured. The last good state is shown dimmed.",
        width, ink::kWarn);
  } else if (state.solving) {
    const std::string count =
        state.work_of > 0 ? fmt::format(", {} of {}", state.work_done, state.work_of) : std::string();
    text_cut(state.working + count + "   (Esc stops)", width);
  } else if (state.stopped) {
    text_cut("Stopped. What is not proved says so. R goes on.", width, ink::kWarn);
  } else if (state.windows_running) {
    text_cut(
        "All pumps are settled at this height. Height windows are being worked out behind.   (Esc stops)",
        width, ink::kQuiet);
  } else {
    text_cut(
        "Planning aid; proofs hold for the engine at rest and on its mounts as written. Measured vehicle, "
        "maker's data and a qualified "
        "person decide. Coolant is hot and under pressure.",
        width, ink::kQuiet);
  }
  return out;
}

Intents draw_problems(const State& state) {
  Intents out;
  const ImVec2 screen = ImGui::GetIO().DisplaySize;
  const ImVec2 size{std::min(screen.x - 2 * em(), 60 * em()), std::min(screen.y - 4 * em(), 24 * em())};
  ImGui::SetNextWindowPos({(screen.x - size.x) / 2, (screen.y - size.y) / 2}, ImGuiCond_Always);
  ImGui::SetNextWindowSize(size);
  ImGui::PushStyleVar(ImGuiStyleVar_WindowBorderSize, 2);
  ImGui::PushStyleColor(ImGuiCol_Border, ink::kWarn);
  ImGui::Begin("problems", nullptr,
               ImGuiWindowFlags_NoDecoration | ImGuiWindowFlags_NoMove | ImGuiWindowFlags_NoSavedSettings);
  text_wrapped("The vehicle's files have problems", ink::kWarn);
  text_wrapped("Cure them in an editor and save: this window reads them again by itself.", ink::kQuiet);
  ImGui::Separator();
  if (ImGui::BeginChild("list", {0, -2.2F * em()})) {
    for (std::size_t at = 0; at < state.problems.size();) {
      const std::size_t end = std::min(state.problems.find('\n', at), state.problems.size());
      const std::string_view line = std::string_view(state.problems).substr(at, end - at);
      // A caret under the line needs letters of one width; the column stands in the text.
      if (line.find_first_not_of(" ^") != std::string_view::npos) text_wrapped(safe_text(line));
      at = end + 1;
    }
  }
  ImGui::EndChild();
  if (ImGui::Button("Open another vehicle")) out.push_back(ShowStart{true});
  ImGui::End();
  ImGui::PopStyleColor();
  ImGui::PopStyleVar();
  return out;
}

namespace {

// The rings that a hose of this class carries, on its swatch.
void draw_rings(ImDrawList& list, ImVec2 from, ImVec2 to, SpareClass c) {
  constexpr double kShown_mm = 50;  // of hose
  const std::vector<double> pattern = ring_pattern_mm(c);
  if (pattern.empty()) return;
  const double rings = std::accumulate(pattern.begin() + 1, pattern.end(), 0.0);
  const bool stripes = pattern.size() == 2 && pattern[1] > 5;
  double at = stripes ? pattern[0] / 2 : (kShown_mm - rings) / 2;
  for (std::size_t i = 1; at < kShown_mm; ++i) {
    const std::size_t k = stripes ? i % 2 : i;
    if (k >= pattern.size()) break;
    const auto x = [&](double mm) {
      return from.x + static_cast<float>(std::min(mm, kShown_mm) / kShown_mm) * (to.x - from.x);
    };
    if (k % 2 == 1)
      list.AddRectFilled({x(at), from.y}, {x(at + pattern[k]), to.y}, packed(ring_colour_of(c)));
    at += pattern[k];
  }
}

}  // namespace

void draw_legend(const State& state) {
  heading("Spare gap along the hoses");
  text_wrapped("What a place has beyond the gap it needs, at rest.", ink::kQuiet);
  ImDrawList& list = *ImGui::GetWindowDrawList();
  for (const SpareClass c : kSpareClasses) {
    const ImVec2 at = ImGui::GetCursorScreenPos();
    const float h = ImGui::GetTextLineHeight(), w = 2.2F * em();
    list.AddRectFilled(at, {at.x + w, at.y + h}, packed(colour_of(c)));
    draw_rings(list, at, {at.x + w, at.y + h}, c);
    list.AddRect(at, {at.x + w, at.y + h}, ink::kQuiet);
    ImGui::Dummy({w, h});
    ImGui::SameLine();
    const bool not_a_figure = c == SpareClass::is_short || c == SpareClass::not_proved;
    const std::string words = std::string(word(c, state.unit)) + (not_a_figure ? "" : " spare");
    ImGui::TextUnformatted(words.c_str());
  }
}

}  // namespace hosefit
