// SPDX-License-Identifier: GPL-3.0-or-later
#include <imgui.h>
#include <imgui_stdlib.h>

#include "solver/report/words.h"
#include "viewer/panes/look.h"
#include "viewer/panes/panes.h"

namespace hosefit {
namespace {

// "harrow_half_ton" reads as "Harrow half ton".
std::string as_title(const std::string& folder) {
  std::string out = safe_text(folder);
  for (char& c : out)
    if (c == '_') c = ' ';
  if (!out.empty() && out[0] >= 'a' && out[0] <= 'z') out[0] = static_cast<char>(out[0] - 'a' + 'A');
  return out;
}

Intents draw_demos(const State& state) {
  Intents out;
  heading("Begin with a demo vehicle");
  text_wrapped("Invented vehicles, measured with a tape. One click opens and solves them.", ink::kQuiet);
  const float width = std::min(ImGui::GetContentRegionAvail().x, 26 * em());
  for (const VehicleFolder& demo : state.demos) {
    ImGui::PushID(demo.path.c_str());
    if (ImGui::Button(as_title(demo.name).c_str(), {width, 2.4F * em()}))
      out.push_back(OpenVehicle{demo.path});
    ImGui::PopID();
  }
  if (state.demos.empty()) text_wrapped("No demo vehicles were found beside the program.", ink::kQuiet);
  return out;
}

Intents draw_path(Typing& typing) {
  Intents out;
  heading("Open your own");
  text_wrapped(
      "Drop a vehicle's folder or its vehicle.yaml on this window, or type its path and press Enter.",
      ink::kQuiet);
  ImGui::SetNextItemWidth(std::max(6 * em(), ImGui::GetContentRegionAvail().x - 6 * em()));
  const bool entered = ImGui::InputTextWithHint("##path", "folder that holds vehicle.yaml", &typing.path,
                                                ImGuiInputTextFlags_EnterReturnsTrue);
  ImGui::SameLine();
  if ((ImGui::Button("Open") || entered) && !typing.path.empty()) out.push_back(OpenVehicle{typing.path});
  return out;
}

Intents draw_folders(const State& state) {
  Intents out;
  const FolderListing& listing = state.browsed;
  text_cut("In " + safe_text(listing.folder), ImGui::GetContentRegionAvail().x, ink::kQuiet);
  if (ImGui::BeginChild("folders", {0, std::max(ImGui::GetContentRegionAvail().y, 6 * em())}, true)) {
    if (!listing.problem.empty()) text_wrapped("Cannot be read: " + safe_text(listing.problem), ink::kWarn);
    if (!listing.parent.empty() && ImGui::Selectable("..  (one up)")) out.push_back(BrowseTo{listing.parent});
    for (const VehicleFolder& vehicle : listing.vehicles) {
      ImGui::PushID(vehicle.path.c_str());
      if (ImGui::Selectable("##open")) out.push_back(OpenVehicle{vehicle.path});
      ImGui::SameLine();
      text_cut(safe_text(vehicle.name) + "   - vehicle", ImGui::GetContentRegionAvail().x, ink::kStrong);
      ImGui::PopID();
    }
    for (const VehicleFolder& other : listing.others) {
      ImGui::PushID(other.path.c_str());
      if (ImGui::Selectable("##browse")) out.push_back(BrowseTo{other.path});
      ImGui::SameLine();
      text_cut(safe_text(other.name) + " /", ImGui::GetContentRegionAvail().x);
      ImGui::PopID();
    }
  }
  ImGui::EndChild();
  return out;
}

}  // namespace

Intents draw_start(const State& state, Typing& typing) {
  Intents out;
  const float room = ImGui::GetContentRegionAvail().x, width = std::min(room, 52 * em());
  ImGui::SetCursorPosX(ImGui::GetCursorPosX() + (room - width) / 2);
  if (ImGui::BeginChild("start", {width, 0}, false)) {
    ImGui::Dummy({0, std::min(em(), ImGui::GetContentRegionAvail().y * 0.03F)});
    ImGui::SetWindowFontScale(1.5F);
    ImGui::TextUnformatted("hosefit");
    ImGui::SetWindowFontScale(1.0F);
    text_wrapped(
        "Which coolant pump goes under this intake, in this vehicle? Move the intake, see every pump "
        "side by side, and read in millimetres what is in the way.");
    append(out, draw_demos(state));
    append(out, draw_path(typing));
    append(out, draw_folders(state));
  }
  ImGui::EndChild();
  return out;
}

}  // namespace hosefit
