// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/panes/panes.h"

#include <catch2/catch.hpp>

#include "solver/decide/judge.h"
#include "tests/support/box_job.h"
#include "viewer/pane_contents.h"
#include "viewer/panes/look.h"

using namespace hosefit;

namespace {

// ImGui with neither window nor graphics: a display size, a font and a mouse.
class Paper {
 public:
  Paper(float width, float height) {
    ImGui::CreateContext();
    ImGuiIO& io = ImGui::GetIO();
    io.IniFilename = nullptr;
    io.DisplaySize = {width, height};
    unsigned char* pixels = nullptr;
    int w = 0, h = 0;
    io.Fonts->GetTexDataAsRGBA32(&pixels, &w, &h);
    set_look(1);
  }
  ~Paper() { ImGui::DestroyContext(); }
  Paper(const Paper&) = delete;
  Paper& operator=(const Paper&) = delete;

  Intents frame(const State& state, ImVec2 mouse = {-1, -1}, bool pressed = false, const char* typed = "") {
    ImGuiIO& io = ImGui::GetIO();
    io.DeltaTime = 1.0F / 60;
    io.MousePos = mouse;
    io.MouseDown[0] = pressed;
    io.AddInputCharactersUTF8(typed);
    ImGui::NewFrame();
    const auto none = [](std::size_t, int, int) { return ImTextureID{}; };
    Intents out = draw_screen(state, typing, none);
    ImGui::Render();
    return out;
  }
  Intents click(const State& state, ImVec2 at) {
    Intents out;
    frame(state, at);
    append(out, frame(state, at, true));
    append(out, frame(state, at, false));
    return out;
  }
  Typing typing;
};

template <class Kind>
const Kind* first_of(const Intents& intents) {
  for (const Intent& intent : intents)
    if (const auto* found = std::get_if<Kind>(&intent)) return found;
  return nullptr;
}

State box_state(const std::string& pump_name = "low") {
  Job job = box_job::make();
  job.family.pumps[0].name = pump_name;
  State state;
  state.start_shown = false;
  state.as_read = std::make_shared<const Job>(job);
  state.prepared = std::make_shared<const Prepared>(job);
  state.height = Length::mm(300);
  state.job = 1;
  MeshStore meshes;
  for (std::size_t pump = 0; pump < 2; ++pump) {
    Pane pane;
    pane.pump = pump;
    pane.asked = Candidate{pump, 0, 0, 0, 0, state.height};
    state.panes.push_back(pane);
  }
  for (Pane& pane : state.panes) {
    fill_pane(state, meshes, pane);
    pane.scene.camera = fitted(Orbit{}, box_of(pane.scene), 1.3);
  }
  return state;
}

}  // namespace

TEST_CASE("one click on the first screen opens a demo") {
  Paper paper(1000, 700);
  State state;
  state.demos = {{"/demos/first_one", "first_one"}};
  const OpenVehicle* open = nullptr;
  Intents found;
  for (float y = 20; y < 400 && open == nullptr; y += 12) {
    found = paper.click(state, {300, y});
    open = first_of<OpenVehicle>(found);
  }
  REQUIRE(open != nullptr);
  CHECK(open->folder == "/demos/first_one");
}

TEST_CASE("dragging the slider asks for the height under the mouse") {
  Paper paper(1200, 800);
  const State state = box_state();
  paper.frame(state);
  paper.frame(state);
  const Typing& t = paper.typing;
  REQUIRE(t.slider_right > t.slider_left);
  const Intake& intake = state.prepared->job().family.intakes[0];
  for (const double want_mm : {250.0, 280.0, 333.0, 350.0}) {
    const float x =
        bar_x(Length::mm(want_mm), intake.least_height, intake.most_height, t.slider_left, t.slider_right);
    paper.frame(state, {x, t.slider_y});
    const Intents intents = paper.frame(state, {x, t.slider_y}, true);
    paper.frame(state, {x, t.slider_y}, false);
    const auto* set = first_of<SetHeight>(intents);
    REQUIRE(set != nullptr);
    CHECK(set->height.mm() == Approx(want_mm).margin(0.6));
  }
}

TEST_CASE("a click on a picture picks, a drag turns, and neither does the other") {
  Paper paper(1200, 800);
  const State state = box_state();
  paper.frame(state);
  const ImVec2 at{420, 200};
  const Intents clicked = paper.click(state, at);
  const auto* picked = first_of<PickAt>(clicked);
  REQUIRE(picked != nullptr);
  CHECK((picked->at.x > 0 && picked->at.x < 1 && picked->at.y > 0 && picked->at.y < 1));
  CHECK(first_of<MoveCamera>(clicked) == nullptr);
  Intents dragged;
  append(dragged, paper.frame(state, at, true));
  append(dragged, paper.frame(state, {at.x + 40, at.y}, true));
  append(dragged, paper.frame(state, {at.x + 40, at.y}, false));
  CHECK(first_of<PickAt>(dragged) == nullptr);
  const auto* moved = first_of<MoveCamera>(dragged);
  REQUIRE(moved != nullptr);
  CHECK(moved->camera.turn_rad != state.panes[0].scene.camera.turn_rad);
}

TEST_CASE("letters ask for what the list of keys says") {
  Paper paper(1200, 800);
  const State state = box_state();
  paper.frame(state);
  CHECK(first_of<SetUnit>(paper.frame(state, {-1, -1}, false, "u"))->unit == LengthUnit::inch);
  CHECK(first_of<ChoosePane>(paper.frame(state, {-1, -1}, false, "n"))->pane == 1);
  CHECK(first_of<ShowAlone>(paper.frame(state, {-1, -1}, false, "s"))->on);
  CHECK(first_of<SetSection>(paper.frame(state, {-1, -1}, false, "x"))->section.on);
  CHECK(first_of<SetSection>(paper.frame(state, {-1, -1}, false, "X"))->section.cuts_less);
  CHECK(first_of<SolveAgain>(paper.frame(state, {-1, -1}, false, "r")) != nullptr);
  CHECK(first_of<ShowKeys>(paper.frame(state, {-1, -1}, false, "?"))->on);
  CHECK(first_of<Select>(paper.frame(state, {-1, -1}, false, "l"))->what == Selected(SelectedLine{0}));
  CHECK(first_of<Select>(paper.frame(state, {-1, -1}, false, "b"))->what.has_value());
}

TEST_CASE("Escape stops the solving, and first closes the list of keys") {
  Paper paper(1200, 800);
  ImGui::GetIO().KeyMap[ImGuiKey_Escape] = 300;
  State state = box_state();
  paper.frame(state);
  const auto escape = [&] {
    ImGui::GetIO().KeysDown[300] = true;
    Intents out = paper.frame(state);
    ImGui::GetIO().KeysDown[300] = false;
    paper.frame(state);
    return out;
  };
  CHECK(first_of<StopSolving>(escape()) != nullptr);
  state.keys_shown = true;
  const Intents closing = escape();
  CHECK(first_of<StopSolving>(closing) == nullptr);
  REQUIRE(first_of<ShowKeys>(closing) != nullptr);
  CHECK_FALSE(first_of<ShowKeys>(closing)->on);
}

TEST_CASE("every screen is drawn at any size, with hostile names, without a claim or an intent of its own") {
  for (const ImVec2 size : {ImVec2{160, 120}, ImVec2{320, 240}, ImVec2{1200, 800}, ImVec2{3840, 2160}}) {
    CAPTURE(size.x);
    Paper paper(size.x, size.y);
    State state = box_state("%s%n##\x1b[2J\xff<script>" + std::string(5000, 'W'));
    state.problems =
        "vehicle.yaml:1:1: \x01\x02 %s\n    units: x\n           ^\n  \n" + std::string(3000, 'x');
    state.keys_shown = true;
    for (int i = 0; i < 3; ++i) CHECK(paper.frame(state).empty());
    state.problems.clear();
    state.alone = true;
    state.selected = ObstacleRef{0, 0};
    for (int i = 0; i < 3; ++i) CHECK(paper.frame(state).empty());
    state.start_shown = true;
    state.browsed.others = {{"/x/\n", "%n\n"}};
    for (int i = 0; i < 3; ++i) CHECK(paper.frame(state).empty());
  }
}

TEST_CASE("heights and places on the bar are inverse to each other and held within the range") {
  const Length least = Length::mm(250), most = Length::mm(350);
  for (double mm = 250; mm <= 350; mm += 12.5)
    CHECK(height_at(bar_x(Length::mm(mm), least, most, 100, 900), least, most, 100, 900).mm() ==
          Approx(mm).margin(1e-3));
  CHECK(height_at(-1e6F, least, most, 100, 900) == least);
  CHECK(height_at(1e6F, least, most, 100, 900) == most);
  CHECK(bar_x(least, least, least, 100, 900) == 100);  // an intake of one height
}

TEST_CASE("what no window covers is drawn as not worked out yet") {
  const Length least = Length::mm(250), most = Length::mm(350);
  const auto none = bar_stretches(nullptr, least, most);
  REQUIRE(none.size() == 1);
  CHECK_FALSE(none[0].fit);
  WindowBar bar;
  bar.known = {{Length::mm(250), Length::mm(270), Fit::does_not_fit, std::nullopt},
               {Length::mm(270), Length::mm(280), Fit::fits, std::nullopt}};
  const auto some = bar_stretches(&bar, least, most);
  REQUIRE(some.size() == 3);
  CHECK(some[1].fit == Fit::fits);
  CHECK_FALSE(some[2].fit);
  CHECK(some[2].from == Length::mm(280));
  CHECK(some[2].to == most);
}

TEST_CASE("what was known before a change fills the holes of a bar, and is never a verdict") {
  const Length least = Length::mm(250), most = Length::mm(350);
  WindowBar bar;
  bar.before = {{Length::mm(250), Length::mm(300), Fit::fits, std::nullopt},
                {Length::mm(300), Length::mm(340), Fit::does_not_fit, std::nullopt}};
  bar.known = {{Length::mm(250), Length::mm(280), Fit::undecided, std::nullopt}};
  const auto stretches = bar_stretches(&bar, least, most);
  REQUIRE(stretches.size() == 4);
  CHECK(stretches[0].fit == Fit::undecided);
  CHECK_FALSE(stretches[0].before);
  CHECK(stretches[1].before == Fit::fits);
  CHECK(stretches[1].from == Length::mm(280));
  CHECK(stretches[2].before == Fit::does_not_fit);
  CHECK_FALSE(stretches[3].before);
  for (std::size_t i = 1; i < stretches.size(); ++i) {
    CHECK_FALSE(stretches[i].fit);
    CHECK(stretches[i].from == stretches[i - 1].to);
  }
  CHECK(stretches.back().to == most);
}

TEST_CASE("stock is found by any words of its make, bore and description") {
  Stock hose;
  hose.id = "A1";
  hose.make = Make::straight_hose;
  hose.bore = Length::mm(38);
  hose.description = "Radiator hose, EPDM";
  Stock thin = hose;
  thin.id = "B2";
  thin.bore = Length::mm(16);
  Stock tube = hose;
  tube.id = "C3";
  tube.make = Make::bent_tube;
  tube.description = "stainless";
  const std::vector<Stock> all{tube, hose, thin};
  using Found = std::vector<std::size_t>;
  CHECK(stock_found(all, "", LengthUnit::mm) == Found{2, 1, 0});  // by make, then bore
  CHECK(stock_found(all, "  epdm ", LengthUnit::mm) == Found{2, 1});
  CHECK(stock_found(all, "38 RADIATOR", LengthUnit::mm) == Found{1});
  CHECK(stock_found(all, "tube", LengthUnit::mm) == Found{0});
  CHECK(stock_found(all, "radiator tube", LengthUnit::mm).empty());
}

TEST_CASE("a tick in the list of stock asks for that very piece") {
  Paper paper(1400, 1600);
  const State state = box_state();
  REQUIRE_FALSE(state.as_read->stock.empty());
  paper.frame(state);
  const SetStock* set = nullptr;
  Intents found;
  for (float y = 300; y < 900 && set == nullptr; y += 6) {
    found = paper.click(state, {30, y});
    set = first_of<SetStock>(found);
  }
  REQUIRE(set != nullptr);
  REQUIRE(set->ids.size() == 1);
  CHECK(set->ids[0] == state.as_read->stock[stock_found(state.as_read->stock, "", state.unit)[0]].id);
  CHECK_FALSE(set->on);
}

TEST_CASE("the grid shows every pane and wastes less than a row") {
  for (std::size_t n = 1; n <= kMostPanes; ++n)
    for (const ImVec2 room : {ImVec2{300, 900}, ImVec2{800, 600}, ImVec2{3000, 500}}) {
      const GridShape shape = grid_shape(n, room.x, room.y);
      CHECK(shape.columns * shape.rows >= n);
      CHECK((shape.rows - 1) * shape.columns < n);
    }
}
