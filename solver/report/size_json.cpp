// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/report/json_values.h"
#include "solver/report/size_report.h"
#include "solver/report/text.h"

namespace hosefit {
namespace {

constexpr int kSizeVersion = 1;

Json id(const std::string& stock) {
  return stock.empty() ? Json(nullptr) : Json(stock);
}

Json clamp_json(const std::optional<ClampSize>& size) {
  if (!size) return nullptr;
  return {{"id", size->id},
          {"standard", size->standard},
          {"code", size->code},
          {"least_mm", number(size->least)},
          {"most_mm", number(size->most)},
          {"band_mm", number(size->band)},
          {"torque_new_nm", number(size->torque_new_nm)},
          {"torque_spread_nm", number(size->torque_spread_nm)},
          {"torque_reused_nm", size->torque_reused_nm > 0 ? number(size->torque_reused_nm) : Json(nullptr)},
          {"size_source", word(size->provenance.source)},
          {"torque_source", torque_source_words(*size)}};
}

Json order_json(const OrderList& list) {
  Json out = Json::array();
  for (const OrderRow& row : list.rows) {
    Json look_alikes = Json::array();
    for (const LookAlike& other : row.look_alikes)
      look_alikes.push_back(
          {{"stock", other.stock}, {"inside_mm", number(other.bore)}, {"outside_mm", number(other.outside)}});
    out.push_back({{"item", word(row.kind)},
                   {"stock", id(row.stock)},
                   {"shape", id(row.shape)},
                   {"description", row.description},
                   {"clamp", clamp_json(row.clamp)},
                   {"inside_mm", row.bore > Length{} ? number(row.bore) : Json(nullptr)},
                   {"outside_mm", row.outside > Length{} ? number(row.outside) : Json(nullptr)},
                   {"length_mm", number(row.length)},
                   {"leg_mm", number(row.leg)},
                   {"turn_rad", number(row.turn)},
                   {"needed", row.needed},
                   {"spare", row.spare},
                   {"price", number(row.price)},
                   {"lines", row.lines},
                   {"look_alikes", look_alikes}});
  }
  return out;
}

Json cuts_json(const SizeReport& report, const std::vector<ShelfRow::Cut>& cuts) {
  Json out = Json::array();
  for (const ShelfRow::Cut& cut : cuts)
    out.push_back({{"line", report.job.vehicle.lines[cut.line].name},
                   {"piece", cut.piece},
                   {"cut_mm", number(report.sheets[cut.line].pieces[cut.piece].cut)}});
  return out;
}

std::string_view word_of(HoseUse use) {
  switch (use) {
    case HoseUse::keep:
      return "keep";
    case HoseUse::trim:
      return "trim";
    case HoseUse::leave:
      return "leave";
  }
  return "";
}

Json shelf_json(const SizeReport& report) {
  Json out = Json::array();
  for (const ShelfRow& row : report.list.shelf) {
    const OwnedHose& hose = report.job.vehicle.in_hand.hoses[row.hose];
    out.push_back({{"stock", hose.stock},
                   {"length_mm", number(hose.length)},
                   {"turn_rad", number(hose.angle)},
                   {"use", word_of(row.use)},
                   {"cuts", cuts_json(report, row.cuts)}});
  }
  return out;
}

Json sticks_json(const SizeReport& report) {
  Json out = Json::array();
  for (const StickRow& stick : report.list.sticks)
    out.push_back({{"stock", id(stick.stock)},
                   {"length_mm", number(stick.length)},
                   {"cuts", cuts_json(report, stick.cuts)}});
  return out;
}

std::string_view word_of(NeckGrip grip) {
  switch (grip) {
    case NeckGrip::loose:
      return "loose";
    case NeckGrip::good:
      return "good";
    case NeckGrip::tight:
      return "tight";
    case NeckGrip::too_tight:
      return "too_tight";
  }
  return "";
}

Json end_json(const NeckMatch& m) {
  return {{"neck", m.neck},
          {"neck_outside_mm", number(m.neck_outside)},
          {"neck_tolerance_mm", number(m.neck_tolerance)},
          {"bead", m.bead},
          {"spigot_mm", number(m.spigot)},
          {"hose_inside_mm", number(m.hose_bore)},
          {"hose_inside_least_mm", m.iso1307 ? number(m.iso1307->least) : Json(nullptr)},
          {"hose_inside_most_mm", m.iso1307 ? number(m.iso1307->most) : Json(nullptr)},
          {"over_mm", number(m.over)},
          {"over_least_mm", number(m.over_least)},
          {"over_most_mm", number(m.over_most)},
          {"grip", word_of(m.grip)},
          {"accept_least_mm", number(m.accept_least)},
          {"accept_most_mm", number(m.accept_most)}};
}

Json shape_json(const CutPiece& piece) {
  if (!piece.shape) return nullptr;
  return {{"name", piece.shape->name},
          {"from_mm", number(piece.shape->from_mm)},
          {"to_mm", number(piece.shape->to_mm)},
          {"reversed", piece.shape->reversed}};
}

Json pieces_json(const CutSheet& sheet) {
  Json out = Json::array();
  for (const CutPiece& piece : sheet.pieces) {
    const bool elbow = piece.kind == PieceKind::elbow;
    out.push_back({{"kind", word(piece.kind)},
                   {"what", piece.what},
                   {"stock", id(piece.stock)},
                   {"inside_mm", number(piece.bore)},
                   {"outside_mm", number(piece.outside)},
                   {"cut_mm", number(piece.cut)},
                   {"bought_mm", number(piece.bought)},
                   {"turn_rad", number(piece.turn)},
                   {"clock_rad", number(piece.clock)},
                   {"leg_from_mm", elbow ? number(piece.leg_from) : Json(nullptr)},
                   {"leg_to_mm", elbow ? number(piece.leg_to) : Json(nullptr)},
                   {"shape", shape_json(piece)},
                   {"push_from_mm", number(piece.push_from)},
                   {"push_to_mm", number(piece.push_to)},
                   {"tolerance_mm", number(piece.tolerance.both_ways)},
                   {"squareness_mm", number(piece.tolerance.squareness)},
                   {"tolerance_source", piece.tolerance.provenance.title.empty()
                                            ? std::string(word(piece.tolerance.provenance.source))
                                            : piece.tolerance.provenance.title},
                   {"from_s_mm", number(piece.from_s_mm)},
                   {"to_s_mm", number(piece.to_s_mm)}});
  }
  return out;
}

Json clamps_json(const CutSheet& sheet) {
  Json out = Json::array();
  for (const ClampPlace& place : sheet.clamps)
    out.push_back({{"piece", place.piece},
                   {"end", place.at_start ? "start" : "end"},
                   {"on", place.on},
                   {"count", place.count},
                   {"installed_outside_mm", number(place.installed_outside)},
                   {"from_end_mm", number(place.from_end)},
                   {"clock_rad", number(place.clock_rad)},
                   {"size", clamp_json(place.size)}});
  return out;
}

void add_shape(const CutSheet& sheet, Json& out) {
  out["bends"] = Json::array();
  for (const BendRow& row : sheet.bends.rows)
    out["bends"].push_back({{"feed_mm", number(row.feed_mm)},
                            {"rotate_rad", number(row.rotate_rad)},
                            {"bend_rad", number(row.bend_rad)},
                            {"radius_mm", number(row.radius_mm)}});
  out["sprung"] = Json::array();
  for (const SprungBend& sprung : sheet.sprung)
    out["sprung"].push_back(
        {{"bend_rad", number(sprung.bend.rad())}, {"turn_rad", number(sprung.turn.rad())}});
  const bool told = !sheet.bends.rows.empty() || (sheet.route && sheet.route->make == Make::bent_tube);
  out["last_straight_mm"] = told ? number(sheet.bends.last_straight_mm) : Json(nullptr);
  out["points"] = Json::array();
  for (const Vec3& p : sheet.intersections_mm)
    out["points"].push_back({number(p.x()), number(p.y()), number(p.z())});
  out["radii_mm"] = Json::array();
  for (const Length radius : sheet.radii) out["radii_mm"].push_back(number(radius));
}

void add_fittings(const CutSheet& sheet, Json& out) {
  out["springs"] = Json::array();
  for (const Spring& s : sheet.springs)
    out["springs"].push_back(
        {{"piece", s.piece}, {"outside_mm", number(s.outside)}, {"length_mm", number(s.length)}});
  out["sleeves"] = Json::array();
  for (const Sleeve& s : sheet.sleeves)
    out["sleeves"].push_back({{"obstacle", s.obstacle},
                              {"shielded", s.shielded},
                              {"gap_mm", number(s.gap)},
                              {"wanted_mm", number(s.wanted_without)},
                              {"from_s_mm", number(s.from_s)},
                              {"to_s_mm", number(s.to_s)},
                              {"over_mm", number(s.over)}});
  out["clips"] = Json::array();
  for (const Clip& c : sheet.clips)
    out["clips"].push_back({{"at_s_mm", number(c.at_s)},
                            {"over_mm", number(c.over)},
                            {"carrier", hosefit::word(c.carrier)},
                            {"on", c.on.empty() ? Json(nullptr) : Json(c.on)},
                            {"off_mm", c.on.empty() ? Json(nullptr) : number(c.off)}});
  out["reducer_needed"] = !sheet.reducers.empty();
  out["reducers"] = Json::array();
  for (const ReducerNeed& need : sheet.reducers) {
    Json item = nullptr;
    if (need.item)
      item = {{"id", need.item->id},
              {"kind", word(need.item->kind)},
              {"description", need.item->description},
              {"wide_mm", number(need.item->wide)},
              {"narrow_mm", number(need.item->narrow)},
              {"length_mm", number(need.item->length)},
              {"price", need.item->price > 0 ? number(need.item->price) : Json(nullptr)},
              {"source", word(need.item->provenance.source)}};
    out["reducers"].push_back(
        {{"from_mm", number(need.from)}, {"to_mm", number(need.to)}, {"item", std::move(item)}});
  }
}

Json line_json(const SizeReport& report, const CutSheet& sheet) {
  const Line& line = report.job.vehicle.lines[sheet.line];
  Json out{{"name", line.name}, {"from", line.from}, {"to", line.to}, {"standing", word(sheet.standing)}};
  out["make"] = sheet.route ? Json(word(sheet.route->make)) : Json(nullptr);
  out["stock"] = sheet.route ? Json(sheet.route->stock) : Json(nullptr);
  out["description"] = sheet.route ? Json(sheet.description) : Json(nullptr);
  out["ends"] = Json::array();
  for (const auto* end : {&sheet.from, &sheet.to})
    if (*end) out["ends"].push_back(end_json(**end));
  out["pieces"] = pieces_json(sheet);
  out["clamps"] = clamps_json(sheet);
  add_shape(sheet, out);
  add_fittings(sheet, out);
  return out;
}

}  // namespace

std::string size_json(const SizeReport& report) {
  const Family& family = report.job.family;
  const Candidate& c = report.result.candidate;
  Json out{{"hosefit_size", kSizeVersion},
           {"program", report.version},
           {"input_fingerprint", report.job.input_fingerprint},
           {"vehicle", report.job.vehicle.name},
           {"pump", family.pumps[c.pump].name},
           {"drive", family.drives[c.drive].name},
           {"housing", family.housings[c.housing].name},
           {"housing_clock_rad", number(family.housings[c.housing].clocks[c.clock].rad())},
           {"intake", family.intakes[c.intake].name},
           {"height_mm", number(c.height)},
           {"necks", necks_json(report.job, report.result)},
           {"fit", word(report.result.verdict.fit)},
           {"order_now", report.list.order_now},
           {"lines_left_out", report.list.lines_left_out},
           {"order", order_json(report.list)},
           {"known_price", number(report.list.known_price)},
           {"rows_without_price", report.list.rows_without_price},
           {"least_spend_proved", report.list.least_spend_proved},
           {"in_hand", shelf_json(report)},
           {"sticks", sticks_json(report)}};
  out["lines"] = Json::array();
  for (const CutSheet& sheet : report.sheets) out["lines"].push_back(line_json(report, sheet));
  out["notice"] = closing_words();
  return dumped(out);
}

}  // namespace hosefit
