// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/input/mesh_words.h"

#include <fmt/format.h>

#include "solver/model/mesh_notes.h"

namespace hosefit {
namespace {

std::string faults_words(const MeshFaults& faults) {
  std::string out;
  const auto add = [&](std::size_t count, std::string_view one, std::string_view many) {
    if (count > 0) out += fmt::format("{}{} {}", out.empty() ? "" : ", ", count, count == 1 ? one : many);
  };
  add(faults.zero_area, "without area", "without area");
  add(faults.duplicates, "duplicate left out", "duplicates left out");
  add(faults.turned, "the wrong way round, turned", "the wrong way round, turned");
  add(faults.crowded_edges, "edge of more than two triangles", "edges of more than two triangles");
  if (faults.inside_out) out += fmt::format("{}inside out as a whole, turned", out.empty() ? "" : ", ");
  return out.empty() ? "no faults" : out;
}

std::string sides_words(const Obstacle& o, const MeshFaults& faults) {
  if (o.closed) return "closed: solid";
  const std::string open =
      faults.open_edges > 0 ? fmt::format("open along {} edges", faults.open_edges) : "taken as a sheet";
  return open + (o.seen_from == SeenFrom::both ? ", seen from both sides"
                                               : ", what lies behind it and past its edges is not known");
}

std::string alignment_words(const Alignment& a, LengthUnit unit) {
  std::string out = fmt::format(" Put in its place by {} spots, scale {:.6g} mm per unit of the scan; off:",
                                a.residuals.size(), a.scale_mm);
  for (std::size_t i = 0; i < a.residuals.size(); ++i)
    out += fmt::format("{} {} at {}{}", i == 0 ? "" : ",",
                       format_length(Length::mm(a.residuals[i].off_mm), unit, 1), a.residuals[i].name,
                       i == a.worst ? " (the worst)" : "");
  return out + (a.residuals.size() < 4
                    ? ". Three spots do not tell a scan from its mirror image; a fourth off their plane does."
                    : ".");
}

void add_body(std::vector<std::string>& out, const std::string& of, const std::vector<Obstacle>& obstacles,
              LengthUnit unit) {
  for (const Obstacle& o : obstacles) {
    const auto* mesh = std::get_if<MeshShape>(&o.shape);
    if (mesh == nullptr || o.notes == nullptr) continue;
    out.push_back(fmt::format("{} ({}, {}): {} triangles, {}; {}.", o.name, of, mesh->file,
                              o.notes->triangles, faults_words(o.notes->faults),
                              sides_words(o, o.notes->faults)));
    if (o.notes->alignment) out.back() += alignment_words(*o.notes->alignment, unit);
  }
}

}  // namespace

std::vector<std::string> mesh_sentences(const Job& job) {
  const Vehicle& v = job.vehicle;
  std::vector<std::string> out;
  for (const Body* body : {v.chassis.get(), v.hood.get(), v.fan.get(), v.on_engine.get()})
    add_body(out, body->name, body->obstacles, v.shown_in);
  const Family& f = job.family;
  add_body(out, f.engine.name, f.engine.body->obstacles, v.shown_in);
  for (const Pump& pump : f.pumps) add_body(out, pump.name, pump.body->obstacles, v.shown_in);
  for (const Drive& drive : f.drives) add_body(out, drive.name, drive.body->obstacles, v.shown_in);
  for (const Housing& housing : f.housings) add_body(out, housing.name, housing.body->obstacles, v.shown_in);
  for (const Intake& intake : f.intakes)
    for (const auto* part : {&intake.base, &intake.stretch, &intake.top})
      add_body(out, intake.name, *part, v.shown_in);
  return out;
}

}  // namespace hosefit
