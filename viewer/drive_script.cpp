// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/drive_script.h"

#include <array>
#include <optional>
#include <sstream>

namespace hosefit::drive {
namespace {

std::string trimmed(const std::string& text) {
  const std::size_t from = text.find_first_not_of(" \t\r"), to = text.find_last_not_of(" \t\r");
  return from == std::string::npos ? "" : text.substr(from, to - from + 1);
}

struct Words {
  std::string verb, rest;
};
Words split(const std::string& line) {
  const std::size_t gap = line.find(' ');
  if (gap == std::string::npos) return {line, ""};
  return {line.substr(0, gap), trimmed(line.substr(gap))};
}

template <std::size_t n>
std::optional<std::array<float, n>> numbers(const std::string& text) {
  std::istringstream in(text);
  std::array<float, n> out{};
  for (float& one : out)
    if (!(in >> one)) return std::nullopt;
  std::string more;
  if (in >> more) return std::nullopt;
  return out;
}

std::optional<Step> wait_step(const std::string& rest) {
  if (rest == "solved") return WaitSolved{};
  if (const auto n = numbers<1>(rest); n && (*n)[0] >= 1) return WaitFrames{static_cast<int>((*n)[0])};
  return std::nullopt;
}

std::optional<Step> slide_step(const std::string& rest) {
  const Words words = split(rest);
  const auto height = parse_length(words.rest, LengthUnit::mm);
  if (words.verb != "height" || !height) return std::nullopt;
  return Slide{*height};
}

std::optional<Step> resize_step(const std::string& rest) {
  const auto n = numbers<2>(rest);
  if (!n || (*n)[0] < 1 || (*n)[1] < 1 || (*n)[0] > 16384 || (*n)[1] > 16384) return std::nullopt;
  return Resize{static_cast<int>((*n)[0]), static_cast<int>((*n)[1])};
}

std::optional<Step> step_of(const std::string& line) {
  const auto [verb, rest] = split(line);
  if (verb == "wait") return wait_step(rest);
  if (verb == "slide") return slide_step(rest);
  if (verb == "resize") return resize_step(rest);
  if (verb == "scale")
    if (const auto n = numbers<1>(rest)) return Rescale{(*n)[0]};
  if (verb == "click")
    if (const auto n = numbers<2>(rest)) return Click{(*n)[0], (*n)[1]};
  if (verb == "drag")
    if (const auto n = numbers<4>(rest)) return Drag{(*n)[0], (*n)[1], (*n)[2], (*n)[3]};
  if (verb == "frames")
    if (const auto n = numbers<1>(rest); n && (*n)[0] >= 1) return Frames{static_cast<int>((*n)[0])};
  if (verb == "frames_sliding")
    if (const auto n = numbers<1>(rest); n && (*n)[0] >= 1) return FramesSliding{static_cast<int>((*n)[0])};
  if (verb == "quit" && rest.empty()) return Leave{};
  if (rest.empty()) return std::nullopt;
  if (verb == "type") return Type{rest};
  if (verb == "key") return Key{rest};
  if (verb == "drop") return Drop{rest};
  if (verb == "shot") return Shot{rest, false};
  if (verb == "shot_plain") return Shot{rest, true};
  if (verb == "expect") return Expect{rest};
  return std::nullopt;
}

}  // namespace

Result<std::vector<Step>> read_script(const std::string& file, std::string_view text) {
  std::vector<Step> steps;
  Problems problems;
  std::istringstream in{std::string(text)};
  std::string line;
  for (int number = 1; std::getline(in, line); ++number) {
    const std::string told = trimmed(line);
    if (told.empty() || told[0] == '#') continue;
    if (const auto step = step_of(told))
      steps.push_back(*step);
    else
      problems.push_back({{file, number, 1}, "", "not a step of a drive script", told});
  }
  if (!problems.empty()) return problems;
  return steps;
}

}  // namespace hosefit::drive
