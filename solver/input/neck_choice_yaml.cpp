// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/input/neck_choice_yaml.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

namespace hosefit {
namespace {

constexpr double kParallel = 0.999;  // cosine; 2.6 deg

std::optional<NeckTurn> read_turn(const MapView& choice) {
  if (!choice.has("turn")) return std::nullopt;
  const MapView turn = choice.map("turn");
  return NeckTurn{turn.point_mm("about"), turn.direction("axis"), turn.angles("by_deg")};
}

bool check_turn(const MapView& choice, ProblemLog& log) {
  if (!choice.has("turn")) return true;
  const MapView turn = choice.map("turn");
  const std::vector<double> degrees = turn.numbers("by_deg");
  for (std::size_t i = 0; i < degrees.size(); ++i)
    if (std::find(degrees.begin(), degrees.begin() + static_cast<std::ptrdiff_t>(i), degrees[i]) !=
        degrees.begin() + static_cast<std::ptrdiff_t>(i)) {
      turn.refuse_item(log, "by_deg", i, fmt::format("{:g} stands twice; keep one", degrees[i]));
      return false;
    }
  return true;
}

bool check_slides(const MapView& in, const std::vector<NeckSlide>& slides, ProblemLog& log) {
  if (slides.size() < 2 || std::abs(slides[0].along.dot(slides[1].along)) < kParallel) return true;
  in.maps("slide")[1].refuse(log, "along",
                             "this slide goes along the same line as the one above; keep one of them");
  return false;
}

bool check_count(const MapView& in, const NeckChoice& choice, ProblemLog& log) {
  const std::size_t count = count_of_places(choice);
  if (count > 1 && count <= kMostNeckPlaces) return true;
  in.refuse(log, count <= 1
                     ? "no place besides the one written is left to choose; give a slide or a turn that "
                       "reaches further than its step, or leave `choose` out"
                     : fmt::format("these are more than {} places; take larger steps or a shorter way",
                                   kMostNeckPlaces));
  return false;
}

}  // namespace

std::optional<NeckChoice> read_neck_choice(const MapView& neck, ProblemLog& log) {
  if (!neck.has("choose")) return std::nullopt;
  const MapView in = neck.map("choose");
  if (!in.ok()) return std::nullopt;
  NeckChoice choice;
  choice.with = in.texts("with");
  for (const MapView& slide : in.maps("slide")) {
    if (!slide.ok()) return std::nullopt;
    choice.slides.push_back(
        {slide.direction("along"), slide.length("from"), slide.length("to"), slide.length("step")});
  }
  if (in.has("turn") && !in.map("turn").ok()) return std::nullopt;
  choice.turn = read_turn(in);
  const bool fine =
      check_turn(in, log) && check_slides(in, choice.slides, log) && check_count(in, choice, log);
  return fine ? std::optional(std::move(choice)) : std::nullopt;
}

void check_neck_choices(const std::vector<MapView>& necks, const std::vector<std::string>& obstacle_names,
                        std::string_view core_name, ProblemLog& log) {
  std::map<std::string, std::string> neck_of;
  for (const MapView& neck : necks) {
    const MapView in = neck.map("choose");
    const std::vector<std::string> with = in.texts("with");
    for (std::size_t i = 0; i < with.size(); ++i) {
      if (with[i] == core_name) {
        in.refuse_item(log, "with", i, "the core cannot go along with a neck");
      } else if (std::find(obstacle_names.begin(), obstacle_names.end(), with[i]) == obstacle_names.end()) {
        in.refuse_item(
            log, "with", i,
            fmt::format("no obstacle of the chassis has that name{}", did_you_mean(with[i], obstacle_names)));
      } else if (const auto [it, fresh] = neck_of.try_emplace(with[i], neck.text("name")); !fresh) {
        in.refuse_item(
            log, "with", i,
            fmt::format("\"{}\" goes along with the neck \"{}\" already; keep one", with[i], it->second));
      }
    }
  }
}

}  // namespace hosefit
