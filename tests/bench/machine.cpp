// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/bench/machine.h"

#include <fmt/format.h>
#include <sys/resource.h>

#include <chrono>
#include <ctime>
#include <fstream>
#include <thread>

std::string machine() {
  std::ifstream file("/proc/cpuinfo");
  std::string line;
  std::string model = "unknown processor";
  while (std::getline(file, line))
    if (line.rfind("model name", 0) == 0) {
      model = line.substr(line.find(':') + 2);
      break;
    }
  return fmt::format("{}, {} threads, compiler {}", model, std::thread::hardware_concurrency(), __VERSION__);
}

double peak_memory_mb() {
  rusage usage{};
  getrusage(RUSAGE_SELF, &usage);
  return static_cast<double>(usage.ru_maxrss) / 1024.0;
}

double cpu_ms() {
  timespec t{};
  clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
  return static_cast<double>(t.tv_sec) * 1e3 + static_cast<double>(t.tv_nsec) * 1e-6;
}

double wall_ms() {
  const auto now = std::chrono::steady_clock::now().time_since_epoch();
  return std::chrono::duration<double, std::milli>(now).count();
}
