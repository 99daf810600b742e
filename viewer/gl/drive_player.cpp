// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/gl/drive_player.h"

#define GLFW_INCLUDE_NONE
#include <GLFW/glfw3.h>
#include <fmt/format.h>

#include <array>
#include <chrono>
#include <ctime>
#include <utility>

namespace hosefit::drive {
namespace {

using Clock = std::chrono::steady_clock;
constexpr double kLongestWait_s = 900;
constexpr int kDragFrames = 8;
constexpr double kSlideStep_mm = 0.5;  // as the slider moves under a hand

double seconds_since(Clock::time_point begin) {
  return std::chrono::duration<double>(Clock::now() - begin).count();
}

double processor_seconds(clockid_t clock) {
  timespec t{};
  clock_gettime(clock, &t);
  return static_cast<double>(t.tv_sec) + 1e-9 * static_cast<double>(t.tv_nsec);
}

PlayedInput mouse(float x, float y, bool pressed) {
  PlayedInput input;
  input.mouse_x = x;
  input.mouse_y = y;
  input.pressed = pressed;
  return input;
}

class Player {
 public:
  explicit Player(const Stage& stage) : stage_(stage) {}

  bool operator()(const WaitSolved&) {
    const auto begin = Clock::now();
    do {
      stage_.window.take_events(0.02);
      stage_.frame({});
      if (seconds_since(begin) > kLongestWait_s) return refuse("was not solved in time");
    } while (!stage_.session.settled());
    return still();
  }
  bool operator()(const WaitFrames& step) {
    for (int i = 0; i < step.count; ++i) stage_.frame({});
    return true;
  }
  bool operator()(const Slide& step) {
    const State& state = stage_.session.state();
    if (!state.prepared) return refuse("there is no slider yet");
    const Intake& intake = state.prepared->job().family.intakes[state.intake];
    const auto x_of = [&](Length h) {
      return bar_x(h, intake.least_height, intake.most_height, stage_.typing.slider_left,
                   stage_.typing.slider_right);
    };
    drag(x_of(state.height), stage_.typing.slider_y, x_of(step.height), stage_.typing.slider_y);
    return true;
  }
  bool operator()(const Click& step) {
    stage_.frame(mouse(step.x, step.y, false));
    stage_.frame(mouse(step.x, step.y, true));
    stage_.frame(mouse(step.x, step.y, false));
    return still();
  }
  bool operator()(const Drag& step) {
    drag(step.from_x, step.from_y, step.to_x, step.to_y);
    return true;
  }
  bool operator()(const Type& step) {
    PlayedInput input;
    input.text = step.text;
    stage_.frame(input);
    return still();
  }
  bool operator()(const Key& step) {
    static constexpr std::array kNames{
        std::pair{"enter", GLFW_KEY_ENTER},     std::pair{"escape", GLFW_KEY_ESCAPE},
        std::pair{"page_up", GLFW_KEY_PAGE_UP}, std::pair{"page_down", GLFW_KEY_PAGE_DOWN},
        std::pair{"tab", GLFW_KEY_TAB},         std::pair{"space", GLFW_KEY_SPACE}};
    for (const auto& [name, key] : kNames) {
      if (step.name != name) continue;
      PlayedInput input;
      input.key = key;
      stage_.frame(input);
      return still();
    }
    return refuse("no key is called " + step.name);
  }
  bool operator()(const Drop& step) {
    stage_.window.play_drop(step.path);
    return still();
  }
  bool operator()(const Resize& step) {
    stage_.window.resize(step.width, step.height);
    for (int i = 0; i < 8; ++i) {  // the window system answers when it likes
      stage_.window.take_events(0.02);
      stage_.frame({});
    }
    return true;
  }
  bool operator()(const Rescale& step) {
    stage_.window.play_scale(step.scale);
    return still();
  }
  bool operator()(const Shot& step) {
    if (step.plainly) stage_.draw_plainly(true);
    for (int i = 0; i < 6; ++i)
      stage_.frame(mouse(1, 1, false));  // the finer picture of a view that stands still
    stage_.window.write_png(step.file);
    if (step.plainly) stage_.draw_plainly(false);
    return true;
  }
  bool operator()(const Frames& step) {
    const State& state = stage_.session.state();
    measure("turning", step.count, [&] {
      if (state.chosen < state.panes.size())
        stage_.session.apply(
            MoveCamera{state.chosen, orbited(state.panes[state.chosen].scene.camera, 0.01, 0)});
    });
    return true;
  }
  bool operator()(const FramesSliding& step) {
    const State& state = stage_.session.state();
    if (!state.prepared) return refuse("there is no slider yet");
    const Intake& intake = state.prepared->job().family.intakes[state.intake];
    double step_mm = kSlideStep_mm;
    measure("sliding", step.count, [&] {
      const Length next = state.height + Length::mm(step_mm);
      if (next > intake.most_height || next < intake.least_height) step_mm = -step_mm;
      stage_.session.apply(SetHeight{state.height + Length::mm(step_mm)});
    });
    return true;
  }
  bool operator()(const Expect& step) {
    const State& state = stage_.session.state();
    const bool any = state.chosen < state.panes.size();
    const ShownVerdict verdict = any ? shown_verdict(state, state.panes[state.chosen]) : ShownVerdict{};
    const bool held =
        (step.what == "problems" && !state.problems.empty()) ||
        (step.what == "no problems" && state.problems.empty()) ||
        (step.what == "start" && state.start_shown) || (step.what == "selected" && state.selected) ||
        (step.what == "not proved" && any && !verdict.fit) || (step.what == "proved" && any && verdict.fit) ||
        (step.what == "verdict " + verdict.words) ||
        (step.what == fmt::format("height {:.1f}", state.height.mm())) ||
        (step.what == fmt::format("panes {}", panes_shown(state).size()));
    return held || refuse(fmt::format("expected {}; verdict is \"{}\", height {:.1f} mm, {} panes", step.what,
                                      verdict.words, state.height.mm(), panes_shown(state).size()));
  }
  bool operator()(const Leave&) {
    stage_.session.apply(Quit{});
    return true;
  }

 private:
  bool refuse(const std::string& why) {
    stage_.say("drive script: " + why);
    return false;
  }
  bool still() {
    for (int i = 0; i < 2; ++i) stage_.frame({});
    return true;
  }
  // The processor time is that of the whole program, a solver that works meanwhile included.
  template <class Move>
  void measure(const char* how, int count, const Move& move) {
    stage_.frame({});
    const auto begin = Clock::now();
    const double all_begin = processor_seconds(CLOCK_PROCESS_CPUTIME_ID);
    const double own_begin = processor_seconds(CLOCK_THREAD_CPUTIME_ID);
    for (int i = 0; i < count; ++i) {
      move();
      stage_.frame({});
    }
    const double s = seconds_since(begin);
    const double all_ms = 1000 * (processor_seconds(CLOCK_PROCESS_CPUTIME_ID) - all_begin) / count;
    const double own_ms = 1000 * (processor_seconds(CLOCK_THREAD_CPUTIME_ID) - own_begin) / count;
    stage_.say(
        fmt::format("frames: {} in {:.2f} s, {:.1f} per second, {:.1f} ms of processor each ({:.1f} of them "
                    "the thread that "
                    "draws), {}, {} panes",
                    count, s, count / s, all_ms, own_ms, how, panes_shown(stage_.session.state()).size()));
  }
  void drag(float from_x, float from_y, float to_x, float to_y) {
    stage_.frame(mouse(from_x, from_y, false));
    stage_.frame(mouse(from_x, from_y, true));
    for (int i = 1; i <= kDragFrames; ++i) {
      const float t = static_cast<float>(i) / kDragFrames;
      stage_.frame(mouse(from_x + t * (to_x - from_x), from_y + t * (to_y - from_y), true));
    }
    stage_.frame(mouse(to_x, to_y, false));
    still();
  }

  const Stage& stage_;
};

}  // namespace

bool play(const std::vector<Step>& steps, const Stage& stage) {
  Player player(stage);
  for (const Step& step : steps) {
    if (!std::visit(player, step)) return false;
    if (stage.session.state().quit) return true;
  }
  return true;
}

}  // namespace hosefit::drive
