// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/report/check_text.h"

#include <fmt/format.h>

#include <algorithm>

#include "solver/report/words.h"

namespace hosefit {
namespace {

void write_missing(Page& page, const Job& job) {
  if (job.vehicle.known_space.empty())
    page.line(
        "No known space is stated: every hose will be at best undecided. Box in what is fully measured under "
        "known_space.",
        2, 2);
  if (job.vehicle.working_points.empty())
    page.line("No working points are stated: no flow will be told.", 2, 2);
  if (job.vehicle.hood->obstacles.empty())
    page.line("No hood is stated: whether it closes is not checked.", 2, 2);
  if (job.vehicle.fan->obstacles.empty()) page.line("No fan is stated: nothing is kept clear of it.", 2, 2);
  for (const Stock& stock : job.stock)
    if (stock.provenance.source == Source::from_memory)
      page.line(
          fmt::format("The bend radius of stock {} is from memory: bend a piece and measure.", stock.id), 2,
          2);
}

}  // namespace

std::vector<MeasuredThing> measured_things(const Vehicle& vehicle) {
  std::vector<MeasuredThing> out{
      {"engine place", vehicle.family, vehicle.engine_at_mm.method, vehicle.engine_at_mm.accuracy}};
  for (const Neck& neck : vehicle.necks)
    out.push_back({"neck", neck.name, neck.end_mm.method, neck.end_mm.accuracy});
  for (const auto& body : {vehicle.chassis, vehicle.hood, vehicle.fan, vehicle.on_engine})
    for (const Obstacle& obstacle : body->obstacles)
      out.push_back({"obstacle", obstacle.name, obstacle.method, obstacle.accuracy});
  // Of equal accuracy the engine's place and the necks come first: they move every line.
  std::stable_sort(out.begin(), out.end(),
                   [](const MeasuredThing& a, const MeasuredThing& b) { return a.accuracy > b.accuracy; });
  return out;
}

std::string check_text(const Job& job, const TextLook& look) {
  Page page(look);
  page.line(
      fmt::format("The input of {} is sound: every file reads and every name is known.", job.vehicle.name), 0,
      2, Tint::good);
  page.heading("How it was measured, least accurate first");
  std::vector<std::vector<Cell>> rows;
  for (const MeasuredThing& thing : measured_things(job.vehicle))
    rows.push_back({{{thing.what}},
                    {{thing.name}},
                    {{std::string(word(thing.method))}},
                    {{fmt::format("within {}", length_words(thing.accuracy, look.unit))}}});
  page.table({"what", "name", "by", "accuracy"}, rows, 2);
  page.line(
      "The accuracy of a method, where the file states none, is from memory. Measure again what stands at "
      "the top.",
      2, 0);
  page.heading("What is not stated, or rests on memory");
  const std::size_t before = page.text().size();
  write_missing(page, job);
  if (page.text().size() == before) page.line("Nothing.", 2, 0);
  page.blank();
  page.line(fmt::format("Input fingerprint {}.", job.input_fingerprint));
  return page.text();
}

}  // namespace hosefit
