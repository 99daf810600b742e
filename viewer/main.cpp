// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <chrono>
#include <clocale>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <stdexcept>

#include "solver/input/load_job.h"
#include "solver/report/words.h"
#include "viewer/arguments.h"
#include "viewer/gl/drive_player.h"
#include "viewer/gl/pane_painter.h"
#include "viewer/gl/window.h"
#include "viewer/panes/panes.h"
#include "viewer/session.h"

namespace hosefit {
namespace {

// As the exit codes of the command line.
constexpr int kGood = 0, kBadInput = 2, kFailure = 4;
constexpr int kSamples = 4;
constexpr double kIdleWait_s = 0.25, kBusyWait_s = 0.05;

InstallPlaces look_around() {
  InstallPlaces places;
  std::error_code unknown;
  const std::filesystem::path program = std::filesystem::read_symlink("/proc/self/exe", unknown);
  if (!unknown) places.program_folder = program.parent_path().string();
  places.share_hint = HOSEFIT_SHARE_HINT;
  places.source_folder = HOSEFIT_SOURCE_FOLDER;
  return places;
}

double seconds() {
  return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch()).count();
}

class Program {
 public:
  explicit Program(const ViewerArguments& arguments)
      : window_({arguments.width, arguments.height, arguments.scale}),
        painter_(kSamples),
        session_(real_solver(), look_around(), [] { Window::wake(); }) {
    if (!arguments.vehicle.empty()) session_.apply(OpenVehicle{arguments.vehicle});
  }

  void frame(const PlayedInput* played) {
    for (const std::string& path : window_.take_dropped()) session_.apply(OpenVehicle{path});
    if (window_.take_help_key()) session_.apply(ShowKeys{!session_.state().keys_shown});
    if (window_.take_leave_key()) session_.apply(Quit{});
    session_.tick(seconds());
    window_.begin_frame(played);
    const PictureOf picture = [this](std::size_t pane, int width, int height) {
      const Pane& shown = session_.state().panes[pane];
      const std::uintptr_t name = painter_.paint(shown.pump, shown.scene, width, height);
      // ImGui's OpenGL backend takes texture names so.
      return reinterpret_cast<ImTextureID>(name);  // NOLINT(performance-no-int-to-ptr)
    };
    const Intents intents = draw_screen(session_.state(), typing_, picture);
    window_.end_frame();
    again_soon_ = painter_.end_frame() || !intents.empty();
    session_.apply(intents);
  }

  int run() {
    int quiet_frames = 0;
    while (!window_.closing() && !session_.state().quit) {
      // ImGui needs a few frames after an event before everything has its place.
      quiet_frames = again_soon_ ? 0 : quiet_frames + 1;
      const bool busy = !session_.settled() || session_.state().windows_running;
      window_.take_events(quiet_frames < 4 ? 0.005 : busy ? kBusyWait_s : kIdleWait_s);
      frame(nullptr);
    }
    return kGood;
  }

  int play(const std::vector<drive::Step>& steps) {
    const drive::Stage stage{window_,
                             session_,
                             typing_,
                             [this](const PlayedInput& input) {
                               window_.take_events(0);
                               frame(&input);
                             },
                             [](const std::string& line) {
                               std::fputs((safe_text(line) + "\n").c_str(), stdout);
                               std::fflush(stdout);
                             },
                             [this](bool on) { painter_.draw_plainly(on); }};
    return drive::play(steps, stage) ? kGood : kFailure;
  }

 private:
  Window window_;
  PanePainter painter_;
  Typing typing_;
  bool again_soon_ = true;
  Session session_;
};

int run(const ViewerArguments& arguments) {
  if (arguments.script.empty()) return Program(arguments).run();
  std::ifstream in(arguments.script, std::ios::binary);
  std::stringstream text;
  text << in.rdbuf();
  if (!in) throw std::runtime_error("the drive script " + arguments.script + " cannot be read");
  const auto steps = drive::read_script(arguments.script, text.str());
  if (!steps) {
    std::fputs(format_problems(steps.problems()).c_str(), stderr);
    return kBadInput;
  }
  return Program(arguments).play(*steps);
}

}  // namespace
}  // namespace hosefit

int main(int count, char** words) {
  using namespace hosefit;
  std::setlocale(LC_ALL, "C");
  try {
    const auto read = read_viewer_arguments({words + 1, words + count}, HOSEFIT_VERSION);
    if (const auto* end = std::get_if<ViewerSaysAndEnds>(&read)) {
      std::fputs(end->text.c_str(), end->code == kGood ? stdout : stderr);
      return end->code;
    }
    return run(std::get<ViewerArguments>(read));
  } catch (const std::exception& error) {
    std::fputs(fmt::format("hosefit-view: {}\n", safe_text(error.what())).c_str(), stderr);
  }
  return kFailure;
}
