// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/report/proof_record.h"

#include <algorithm>

#include "solver/report/json_values.h"

namespace hosefit {
namespace {

Json of(const Vec3& p) {
  return Json::array({p.x(), p.y(), p.z()});
}

Json of(const Piece& piece) {
  if (const auto* straight = std::get_if<Straight>(&piece))
    return {{"straight", {{"from", of(straight->from_mm)}, {"to", of(straight->to_mm)}}}};
  const Arc& arc = std::get<Arc>(piece);
  return {{"arc",
           {{"start", of(arc.start_mm)},
            {"centre", of(arc.centre_mm)},
            {"normal", of(arc.normal)},
            {"angle_rad", arc.angle_rad}}}};
}

Json of(const Bay& bay, const GapRecord& gap) {
  Json out;
  if (gap.ref) {
    out["body"] = bay.bodies[gap.ref->body].body->name;
    out["obstacle"] = gap.other;
  } else {
    out["line"] = gap.other;
  }
  out["required_mm"] = gap.required_mm;
  out["found_mm"] = gap.found_mm;
  out["proved_mm"] = gap.proved_mm;
  return out;
}

Json of(const Bay& bay, const ClampRecord& clamp) {
  Json out;
  if (clamp.neck) out["neck"] = bay.necks[*clamp.neck].name;
  out["piece"] = clamp.piece;
  out["at_start"] = clamp.at_start;
  out["from_end_mm"] = clamp.from_end_mm;
  out["clock_rad"] = clamp.clock_rad;
  out["spare_mm"] = clamp.spare_mm;
  return out;
}

Json of(const ShapeCut& cut) {
  return {{"name", cut.name}, {"from_mm", cut.from_mm}, {"to_mm", cut.to_mm}, {"reversed", cut.reversed}};
}

Json clips_of(const Bay& bay, const MotionLine& line) {
  Json out = Json::array();
  for (const ClipPlace& clip : line.clips)
    if (clip.to)
      out.push_back({{"at_mm", clip.s_mm},
                     {"carrier", clip.carrier == Carrier::engine ? "engine" : "chassis"},
                     {"body", bay.bodies[clip.to->body].body->name},
                     {"obstacle", obstacle(bay, *clip.to).name}});
  return out;
}

const Stock& stock_of(const Job& job, const Route& route) {
  return *std::find_if(job.stock.begin(), job.stock.end(),
                       [&](const Stock& stock) { return stock.id == route.stock; });
}

Json of(const Job& job, const Bay& bay, const Route& route, const LineProof& proof) {
  const BayLine& line = bay.lines[route.line];
  const Stock& stock = stock_of(job, route);  // known: the line is proved
  Json out{{"name", line.line.name},
           {"from", line.line.from},
           {"to", line.line.to},
           {"make", word(route.make)},
           {"stock", route.stock},
           {"engagement_from_mm", route.engagement_from_mm},
           {"engagement_to_mm", route.engagement_to_mm},
           {"lead_from_mm", least_lead_mm(stock, bay.necks[line.from].outside_diameter)},
           {"lead_to_mm", least_lead_mm(stock, bay.necks[line.to].outside_diameter)},
           {"centreline", Json::array()},
           {"sections", Json::array()},
           {"pieces", Json::array()},
           {"gaps", Json::array()},
           {"clamps", Json::array()},
           {"clips", Json::array()}};
  for (const Piece& piece : route.centreline.pieces) out["centreline"].push_back(of(piece));
  for (const RouteSection& s : route.sections)
    out["sections"].push_back(
        {{"from_mm", s.from_s_mm}, {"to_mm", s.to_s_mm}, {"outside_diameter_mm", s.outside_diameter_mm}});
  for (const StockPiece& p : route.pieces) {
    out["pieces"].push_back({{"stock", p.stock},
                             {"what", p.what},
                             {"cut_mm", p.cut_length_mm},
                             {"bought_mm", p.bought_length_mm}});
    if (p.shape) out["pieces"].back()["shape"] = of(*p.shape);
  }
  for (const GapRecord& gap : proof.gaps) out["gaps"].push_back(of(bay, gap));
  for (const ClampRecord& clamp : proof.clamps) out["clamps"].push_back(of(bay, clamp));
  return out;
}

Json of(const Prepared& prepared, const CandidateResult& result) {
  const Family& family = prepared.job().family;
  const Candidate& c = result.candidate;
  const Bay bay = assemble(prepared.job(), prepared.bodies(), c);
  Json out{{"pump", family.pumps[c.pump].name},
           {"drive", family.drives[c.drive].name},
           {"housing", family.housings[c.housing].name},
           {"housing_clock_deg", family.housings[c.housing].clocks[c.clock].deg()},
           {"intake", family.intakes[c.intake].name},
           {"height_mm", c.height.mm()},
           {"necks", Json::array()},
           {"obstacles", Json::array()},
           {"lines", Json::array()}};
  for (const StandingNeck& neck : result.necks) {
    std::vector<double> slid;
    for (const Length length : neck.place.slid) slid.push_back(length.mm());
    out["necks"].push_back({{"name", prepared.job().vehicle.necks[neck.neck].name},
                            {"slide_mm", slid},
                            {"turn_deg", neck.place.turned.deg()}});
  }
  for (const TeeStand& tee : c.tees)
    out["tees"].push_back({{"name", prepared.job().vehicle.tee->name},
                           {"middle", of(tee.middle_mm)},
                           {"along", of(tee.along)},
                           {"clock_deg", tee.clock.deg()}});
  for (const PlacedBody& placed : bay.bodies)
    for (const Obstacle& obstacle : placed.body->obstacles)
      out["obstacles"].push_back({{"body", placed.body->name}, {"name", obstacle.name}});
  for (std::size_t i = 0; i < result.routes.size(); ++i) {
    out["lines"].push_back(of(prepared.job(), bay, result.routes[i], result.proof.lines[i]));
    if (result.motion) out["lines"].back()["clips"] = clips_of(bay, result.motion->lines[i]);
  }
  return out;
}

}  // namespace

std::string proof_record(const Prepared& prepared, const Choice& choice, const std::vector<FileRead>& files,
                         const RecordFolders& folders, const std::string& version) {
  Json out{{"hosefit", "proof"},
           {"format", 4},
           {"program", version},
           {"family", prepared.job().family.name},
           {"folders", {{"vehicle", folders.vehicle}, {"pumps", folders.pumps}, {"data", folders.data}}},
           {"files", Json::array()},
           {"candidates", Json::array()}};
  for (const FileRead& file : files)
    out["files"].push_back({{"name", file.name}, {"sha256", file.sha256}, {"bytes", file.bytes}});
  for (const CandidateResult& result : choice.candidates)
    if (result.verdict.fit == Fit::fits) out["candidates"].push_back(of(prepared, result));
  return dumped(out);
}

}  // namespace hosefit
