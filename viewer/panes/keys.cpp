// SPDX-License-Identifier: GPL-3.0-or-later
#include <array>
#include <numbers>
#include <string_view>

#include "viewer/panes/look.h"
#include "viewer/panes/panes.h"

namespace hosefit {
namespace {

struct KeyRow {
  std::string_view key, what;
};
constexpr std::array kKeys{
    KeyRow{"F1 or ?", "this list"},
    KeyRow{"Esc", "close what is open on top, else stop solving"},
    KeyRow{"R", "solve again"},
    KeyRow{"O", "open another vehicle"},
    KeyRow{"Page Up, Page Down", "intake 1 mm up or down; with Shift 10 mm"},
    KeyRow{"N, Shift N", "next or previous pump"},
    KeyRow{"S", "the chosen pump alone, or all"},
    KeyRow{"U", "mm or inch"},
    KeyRow{"T", "views together or apart"},
    KeyRow{"1 2 3 4", "view from the front, the left, above, aslant"},
    KeyRow{"F, Shift F", "pump and hoses in view; the whole bay"},
    KeyRow{"Ctrl with arrows", "turn the view; with Shift too: shift it"},
    KeyRow{"+ and -", "nearer, farther"},
    KeyRow{"X, Shift X", "section on or off; cut from another side"},
    KeyRow{"[ and ]", "the section 5 mm this way or that"},
    KeyRow{"H", "hood: outline, dim, solid, hidden"},
    KeyRow{"L", "next hose to read about"},
    KeyRow{"B", "next obstacle to read about"},
    KeyRow{"arrows, Space, Tab", "move among the controls and press them"},
    KeyRow{"Ctrl Q", "leave"},
    KeyRow{"mouse", "left turns, right shifts, wheel comes nearer, a click reads"},
};

constexpr double kTurnStep = 0.05, kShiftStep = 0.05, kNearStep = 1.15, kSectionStep_mm = 5;

Orbit view_from(Orbit camera, ImWchar key) {
  constexpr double kQuarter = std::numbers::pi / 2, kAbove = 1.5;
  const Orbit aslant;
  camera.turn_rad = key == '4' ? aslant.turn_rad : key == '2' ? -kQuarter : 0;
  camera.rise_rad = key == '4' ? aslant.rise_rad : key == '3' ? kAbove : 0;
  return camera;
}

BodyLook next_look(BodyLook look) {
  switch (look) {
    case BodyLook::outline:
      return BodyLook::dim;
    case BodyLook::dim:
      return BodyLook::solid;
    case BodyLook::solid:
      return BodyLook::hidden;
    case BodyLook::hidden:
      break;
  }
  return BodyLook::outline;
}

// Both sides of one axis, then those of the next.
Section from_next_side(Section section, const PaneScene& scene) {
  section.on = true;
  section.cuts_less = !section.cuts_less;
  if (section.cuts_less) return section;
  section.axis = (section.axis + 1) % 3;
  return in_the_middle(section, scene);
}

std::optional<Selected> next_line(const State& state) {
  const std::size_t n = state.prepared->job().vehicle.lines.size();
  if (n == 0) return std::nullopt;
  const auto* now = state.selected ? std::get_if<SelectedLine>(&*state.selected) : nullptr;
  return SelectedLine{now != nullptr ? (now->line + 1) % n : 0};
}

std::optional<Selected> next_obstacle(const State& state) {
  const auto& bodies = state.panes[state.chosen].scene.bodies;
  const auto* now = state.selected ? std::get_if<ObstacleRef>(&*state.selected) : nullptr;
  ObstacleRef next = now != nullptr ? ObstacleRef{now->body, now->obstacle + 1} : ObstacleRef{0, 0};
  for (std::size_t tried = 0; tried <= bodies.size(); ++tried) {
    if (next.body < bodies.size() && next.obstacle < bodies[next.body].mesh->obstacles.size()) return next;
    next = {next.body + 1 >= bodies.size() ? 0 : next.body + 1, 0};
  }
  return std::nullopt;
}

void read_letter(const State& state, ImWchar key, Intents& out) {
  const std::size_t n = state.panes.size();
  const Orbit camera = state.panes[state.chosen].scene.camera;
  const auto look = [&](const Orbit& to) { out.push_back(MoveCamera{state.chosen, to}); };
  switch (key) {
    case 'r':
      return out.push_back(SolveAgain{});
    case 'n':
      return out.push_back(ChoosePane{(state.chosen + 1) % n});
    case 'N':
      return out.push_back(ChoosePane{(state.chosen + n - 1) % n});
    case 's':
      return out.push_back(ShowAlone{!state.alone});
    case 't':
      return out.push_back(TieCameras{!state.cameras_tied});
    case '1':
    case '2':
    case '3':
    case '4':
      return look(view_from(camera, key));
    case 'f':
      return look(fitted(camera, focus_of(state.panes[state.chosen].scene), 1.3));
    case 'F':
      return look(fitted(camera, box_of(state.panes[state.chosen].scene), 1.3));
    case '+':
    case '=':
      return look(nearer(camera, kNearStep));
    case '-':
      return look(nearer(camera, 1 / kNearStep));
    case 'x': {
      Section section = state.section;
      if (section == Section{}) section = in_the_middle(section, state.panes[state.chosen].scene);
      section.on = !section.on;
      return out.push_back(SetSection{section});
    }
    case 'X':
      return out.push_back(SetSection{from_next_side(state.section, state.panes[state.chosen].scene)});
    case '[':
    case ']': {
      Section section = state.section;
      section.at_mm += key == '[' ? -kSectionStep_mm : kSectionStep_mm;
      if (section.on) out.push_back(SetSection{section});
      return;
    }
    case 'h':
      return out.push_back(SetLook{BayBody::hood, next_look(state.looks[index(BayBody::hood)])});
    case 'l':
      return out.push_back(Select{next_line(state)});
    case 'b':
      return out.push_back(Select{next_obstacle(state)});
    default:
      return;
  }
}

bool pressed(ImGuiKey key) {
  return ImGui::IsKeyPressed(ImGui::GetKeyIndex(key));
}

void read_arrows(const State& state, Intents& out) {
  const ImGuiIO& io = ImGui::GetIO();
  if (!io.KeyCtrl) return;
  const double across = (pressed(ImGuiKey_RightArrow) ? 1 : 0) - (pressed(ImGuiKey_LeftArrow) ? 1 : 0);
  const double down = (pressed(ImGuiKey_DownArrow) ? 1 : 0) - (pressed(ImGuiKey_UpArrow) ? 1 : 0);
  if (across == 0 && down == 0) return;
  const Orbit camera = state.panes[state.chosen].scene.camera;
  out.push_back(MoveCamera{state.chosen, io.KeyShift
                                             ? shifted(camera, kShiftStep * across, kShiftStep * down)
                                             : orbited(camera, kTurnStep * across, kTurnStep * down)});
}

void read_height_keys(const State& state, Intents& out) {
  const double step_mm = ImGui::GetIO().KeyShift ? 10 : 1;
  if (pressed(ImGuiKey_PageUp)) out.push_back(SetHeight{state.height + Length::mm(step_mm)});
  if (pressed(ImGuiKey_PageDown)) out.push_back(SetHeight{state.height - Length::mm(step_mm)});
}

void read_escape(const State& state, Intents& out) {
  if (state.keys_shown)
    out.push_back(ShowKeys{false});
  else if (state.start_shown)
    out.push_back(ShowStart{false});
  else
    out.push_back(StopSolving{});
}

}  // namespace

Intents read_keys(const State& state) {
  Intents out;
  const ImGuiIO& io = ImGui::GetIO();
  if (io.WantTextInput) return out;
  if (pressed(ImGuiKey_Escape)) read_escape(state, out);
  for (const ImWchar key : io.InputQueueCharacters) {
    if (key == '?') out.push_back(ShowKeys{!state.keys_shown});
    if (key == 'o') out.push_back(ShowStart{true});
    if (key == 'u') out.push_back(SetUnit{state.unit == LengthUnit::mm ? LengthUnit::inch : LengthUnit::mm});
    if (state.prepared && !state.panes.empty() && !state.start_shown && !io.KeyCtrl)
      read_letter(state, key, out);
  }
  if (!state.prepared || state.panes.empty() || state.start_shown) return out;
  read_height_keys(state, out);
  read_arrows(state, out);
  return out;
}

Intents draw_keys(const State&) {
  Intents out;
  const ImVec2 screen = ImGui::GetIO().DisplaySize;
  const ImVec2 size{std::min(screen.x - em(), 40 * em()), std::min(screen.y - em(), 34 * em())};
  ImGui::SetNextWindowPos({(screen.x - size.x) / 2, (screen.y - size.y) / 2});
  ImGui::SetNextWindowSize(size);
  ImGui::PushStyleVar(ImGuiStyleVar_WindowBorderSize, 1);
  ImGui::Begin("keys", nullptr,
               ImGuiWindowFlags_NoDecoration | ImGuiWindowFlags_NoMove | ImGuiWindowFlags_NoSavedSettings);
  ImGui::PopStyleVar();
  heading("Keys");
  if (ImGui::BeginChild("rows", {0, -2.2F * em()})) {
    for (const KeyRow& row : kKeys) {
      ImGui::TextUnformatted(row.key.data(), row.key.data() + row.key.size());
      ImGui::SameLine(13 * em());
      text_wrapped(std::string(row.what));
    }
  }
  ImGui::EndChild();
  if (ImGui::Button("Close")) out.push_back(ShowKeys{false});
  ImGui::End();
  return out;
}

}  // namespace hosefit
