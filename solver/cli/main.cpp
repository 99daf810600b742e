// SPDX-License-Identifier: GPL-3.0-or-later
#include <sys/ioctl.h>
#include <unistd.h>

#include <chrono>
#include <csignal>
#include <cstdlib>
#include <ctime>
#include <exception>
#include <filesystem>
#include <string>

#include "solver/cli/interrupt.h"
#include "solver/cli/run.h"

#ifndef HOSEFIT_SOURCE_FOLDER
#define HOSEFIT_SOURCE_FOLDER ""
#endif

namespace hosefit {
namespace {

std::string environment(const char* name) {
  const char* const value = std::getenv(name);
  return value == nullptr ? "" : value;
}

int terminal_columns() {
  for (const int stream : {STDOUT_FILENO, STDERR_FILENO}) {
    winsize size{};
    if (ioctl(stream, TIOCGWINSZ, &size) == 0 && size.ws_col > 0) return size.ws_col;
  }
  return 0;
}

Surroundings look_around(int count, char** words) {
  Surroundings around;
  if (count > 0) around.words.assign(words + 1, words + count);
  around.version = HOSEFIT_VERSION;
  if (std::getenv("COLUMNS") != nullptr) around.columns = environment("COLUMNS");
  around.no_color = !environment("NO_COLOR").empty();
  for (const char* name : {"LC_ALL", "LC_CTYPE", "LANG"})
    if (around.locale.empty()) around.locale = environment(name);
  around.terminal_kind = environment("TERM");
  around.out_is_terminal = isatty(STDOUT_FILENO) == 1;
  around.err_is_terminal = isatty(STDERR_FILENO) == 1;
  around.terminal_columns = terminal_columns();
  std::error_code unknown;
  const std::filesystem::path program = std::filesystem::read_symlink("/proc/self/exe", unknown);
  if (!unknown) around.program_folder = program.parent_path().string();
  const std::filesystem::path current = std::filesystem::current_path(unknown);
  if (!unknown) around.current_folder = current.string();
  around.share_hint = HOSEFIT_SOURCE_DATA_HINT;
  around.source_folder = HOSEFIT_SOURCE_FOLDER;
  const std::time_t now = std::time(nullptr);
  std::tm local{};
  char day[16] = "";
  if (localtime_r(&now, &local) != nullptr && std::strftime(day, sizeof day, "%Y-%m-%d", &local) > 0)
    around.today = day;
  around.seconds = [] {
    return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch()).count();
  };
  return around;
}

}  // namespace
}  // namespace hosefit

int main(int count, char** words) {
  using namespace hosefit;
  const Sink err = sink_of(STDERR_FILENO);
  try {
    std::signal(SIGPIPE, SIG_IGN);  // a reader that has gone is seen as a failed write
    const Surroundings around = look_around(count, words);
    const Interrupt interrupt;
    return static_cast<int>(run(around, interrupt.token(), sink_of(STDOUT_FILENO), err));
  } catch (const std::bad_alloc&) {
    err("hosefit: out of memory\n");
  } catch (const std::exception& error) {
    err(std::string("hosefit: failure inside the program: ") + error.what() + "\n");
  }
  return static_cast<int>(ExitCode::failure);
}
