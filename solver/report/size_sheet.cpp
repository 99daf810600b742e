// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>

#include "solver/report/reasons.h"
#include "solver/report/size_sections.h"
#include "solver/report/size_words.h"

namespace hosefit {
namespace {

std::string piece_words(const CutPiece& piece) {
  switch (piece.kind) {
    case PieceKind::straight:
      return "straight hose";
    case PieceKind::elbow:
      return fmt::format("elbow {:.0f} deg", piece.turn ? piece.turn->deg() : 0.0);
    case PieceKind::corrugated:
      return "corrugated hose";
    case PieceKind::coupler:
      return "coupler hose";
    case PieceKind::tube:
      return "metal tube, developed";
    case PieceKind::joiner:
      return "joiner";
    case PieceKind::moulded:
      return fmt::format("moulded shape {}", piece.shape ? safe_text(piece.shape->name) : std::string("?"));
  }
  return {};
}

std::vector<std::string> how_to_cut(const CutPiece& piece) {
  std::vector<std::string> out;
  if (piece.kind == PieceKind::elbow)
    out.push_back(
        fmt::format("legs {} towards start, {} towards end, intersection point to cut; sold with {}",
                    both_short(piece.leg_from), both_short(piece.leg_to), both_short(piece.leg_as_sold)));
  if (piece.clock) out.push_back(fmt::format("turn {:+.0f} deg against the bend before", piece.clock->deg()));
  if (piece.kind == PieceKind::corrugated && piece.bought)
    out.push_back(fmt::format("from {}: take {} off the cuffs, half at each end, no wire cut",
                              both_short(*piece.bought), both_short(*piece.bought - piece.cut)));
  if (const std::string cuts = shape_cut_words(piece); !cuts.empty()) out.push_back(cuts);
  if (piece.push_from > Length{} || piece.push_to > Length{})
    out.push_back(fmt::format("pushed on {} at its start, {} at its end", both_short(piece.push_from),
                              both_short(piece.push_to)));
  out.push_back(tolerance_words(piece.tolerance));
  return out;
}

void write_pieces(Page& page, const CutSheet& sheet) {
  std::vector<std::vector<Cell>> rows;
  for (std::size_t i = 0; i < sheet.pieces.size(); ++i) {
    const CutPiece& piece = sheet.pieces[i];
    const std::string stock = !piece.stock.empty()              ? safe_text(piece.stock)
                              : piece.kind == PieceKind::joiner ? std::string("beaded tube")
                                                                : std::string("none on file");
    rows.push_back({{{std::to_string(i + 1)}},
                    {{piece_words(piece), stock}},
                    {{both_units(piece.cut)}, Tint::strong},
                    {how_to_cut(piece)}});
  }
  page.table({"no", "piece, stock", "cut length", "how"}, rows, 4);
}

// As fitted, and how far that is from what is moulded: what the fitter feels.
void write_moulded_bends(Page& page, const CutSheet& sheet) {
  page.line(
      fmt::format(
          "bends as fitted, from the start's neck end; sprung: as fitted less as moulded, at most {:.0f} deg "
          "(common practice, no source):",
          kMostSprung_deg),
      4, 2);
  std::vector<std::vector<Cell>> rows;
  for (std::size_t i = 0; i < sheet.bends.rows.size(); ++i) {
    const BendRow& row = sheet.bends.rows[i];
    const SprungBend sprung = i < sheet.sprung.size() ? sheet.sprung[i] : SprungBend{};
    rows.push_back(
        {{{both_short(Length::mm(row.feed_mm))}},
         {{i == 0 ? std::string("-")
                  : fmt::format("{:+.1f} deg ({})", Angle::rad(row.rotate_rad).deg(),
                                sprung_words(sprung.turn))}},
         {{fmt::format("{:.1f} deg ({})", Angle::rad(row.bend_rad).deg(), sprung_words(sprung.bend))}},
         {{both_short(Length::mm(row.radius_mm))}}});
  }
  rows.push_back(
      {{{both_short(Length::mm(sheet.bends.last_straight_mm))}}, {{"-"}}, {{"to the end"}}, {{"-"}}});
  page.table({"straight", "turn (sprung)", "bend (sprung)", "centreline radius"}, rows, 6);
}

void write_bends(Page& page, const CutSheet& sheet) {
  if (sheet.route->make == Make::moulded_shape) write_moulded_bends(page, sheet);
  if (sheet.route->make == Make::bent_tube) {
    page.line("bend the tube, from its first cut end:", 4, 2);
    std::vector<std::vector<Cell>> rows;
    for (const BendRow& row : sheet.bends.rows)
      rows.push_back({{{both_short(Length::mm(row.feed_mm))}},
                      {{fmt::format("{:+.1f} deg", Angle::rad(row.rotate_rad).deg())}},
                      {{fmt::format("{:.1f} deg", Angle::rad(row.bend_rad).deg())}},
                      {{both_short(Length::mm(row.radius_mm))}}});
    rows.push_back(
        {{{both_short(Length::mm(sheet.bends.last_straight_mm))}}, {{"-"}}, {{"to the end"}}, {{"-"}}});
    page.table({"feed straight", "rotate", "bend", "centreline radius"}, rows, 6);
  }
  std::string points;
  for (std::size_t i = 0; i < sheet.intersections_mm.size(); ++i) {
    const bool inner = i > 0 && i + 1 < sheet.intersections_mm.size();
    points +=
        fmt::format("{}{}{}", i == 0 ? "" : "; ", place_words(sheet.intersections_mm[i], LengthUnit::mm),
                    inner ? fmt::format(" (radius {:.1f} mm)", sheet.radii[i - 1].mm()) : "");
  }
  page.line("centreline, neck end, intersection points, neck end: " + points, 4, 2);
}

std::string clamp_place_words(const ClampPlace& place) {
  if (!place.size) return "by what it covers; no size on file does";
  if (!place.from_end) return "no room for a band: push further on, or take a narrower band";
  std::string out = fmt::format("middle of band {} from the cut end", both_short(*place.from_end));
  if (place.clock_rad)
    out += fmt::format("; housing {:.0f} deg from up", Angle::rad(*place.clock_rad).deg());
  else
    out += "; room for its housing NOT proved";
  return out;
}

// Each size once, however many of it the line has.
void write_torques(Page& page, const CutSheet& sheet) {
  std::vector<std::string> told;
  for (const ClampPlace& place : sheet.clamps) {
    if (!place.size) continue;
    const std::string words = fmt::format("Torque of {} {}: {}. Source: {}.", safe_text(place.size->standard),
                                          safe_text(place.size->code), torque_words(*place.size),
                                          safe_text(torque_source_words(*place.size)));
    if (std::find(told.begin(), told.end(), words) != told.end()) continue;
    told.push_back(words);
    page.line(words, 4, 2);
  }
}

void write_clamps(Page& page, const CutSheet& sheet) {
  std::vector<std::vector<Cell>> rows;
  for (const ClampPlace& place : sheet.clamps) {
    const std::string size =
        place.size ? fmt::format("{} {}", safe_text(place.size->standard), safe_text(place.size->code))
                   : fmt::format("{}none on file", place.lined ? "lined; " : "");
    rows.push_back({{{fmt::format("{} {}", place.piece + 1, place.at_start ? "start" : "end")}},
                    {{safe_text(place.on)}},
                    {{(place.count > 1 ? fmt::format("{} x ", place.count) : "") + size}},
                    {{both_short(place.installed_outside)}},
                    {{clamp_place_words(place)}}});
  }
  page.table({"piece", "on", "clamp", "hose there", "where"}, rows, 4);
  page.line(
      "Housing angles are right-handed: at a neck about the way out of its opening, elsewhere about the line "
      "from start to end; up is rearward where that way stands upright. Room around each housing is proved, "
      "that a screwdriver reaches it is not.",
      4, 2);
  write_torques(page, sheet);
}

void write_reducers(Page& page, const CutSheet& sheet) {
  for (const ReducerNeed& need : sheet.reducers)
    page.line(fmt::format("REDUCER needed, {} to {}: {}. {}", both_short(need.from), both_short(need.to),
                          reducer_words(need), reducer_cure()),
              4, 2, Tint::bad);
}

void write_fittings(Page& page, const CutSheet& sheet) {
  for (const Spring& spring : sheet.springs)
    page.line(fmt::format(
                  "support coil in piece {}: {} long, outside {}, ends clear of the clamps; stainless, none "
                  "that is rusty. Suction can flatten soft hose.",
                  spring.piece + 1, both_short(spring.length), both_short(spring.outside)),
              4, 2);
  for (const Sleeve& sleeve : sheet.sleeves)
    page.line(
        fmt::format(
            "heat sleeve from {} to {} along the line: {} exhaust {} at {} (no sleeve asked for from {})",
            both_short(sleeve.from_s), both_short(sleeve.to_s), sleeve.shielded ? "shielded" : "bare",
            safe_text(sleeve.obstacle), both_short(sleeve.gap), both_short(sleeve.wanted_without)),
        4, 2);
  if (!sheet.sleeves.empty())
    page.line(
        "CAUTION: coolant on a hot exhaust can burn. A sleeve takes no gap away: shield, and repair leaks at "
        "once.",
        4, 2);
  for (const Clip& clip : sheet.clips)
    page.line(fmt::format("support clip at {} along the line, for {}, on the {}: {}", both_short(clip.at_s),
                          both_short(clip.over), word(clip.carrier), clip_support(clip)),
              4, 2);
  if (!sheet.clips.empty())
    page.line(
        "Keep to these places: more clips would take the slack away that the engine's motion needs, fewer "
        "let "
        "the line swing. CAUTION: fix no clip to a part of brakes, steering or fuel, even where one is named "
        "here as the nearest metal; take bodywork, frame or a casting beside it.",
        4, 2);
}

}  // namespace

void write_sheet(Page& page, const SizeReport& report, const CutSheet& sheet) {
  const Line& line = report.job.vehicle.lines[sheet.line];
  page.blank();
  page.line(
      fmt::format("{}: {}, {} to {}", line.name,
                  sheet.route ? title(sheet.route->make) : std::string_view("no hose"), line.from, line.to),
      2, 2, Tint::strong);
  page.line(standing_words(report, sheet), 4, 2, may_order(sheet) ? Tint::good : Tint::bad);
  write_reducers(page, sheet);
  if (!sheet.route) return;
  if (line.stock)
    page.line(fmt::format("stock {} set by the shop: {}", *line.stock, line.stock_reason), 4, 2);
  const Provenance& bends = sheet.bend_provenance;
  page.line(fmt::format("{}: {} (source of its bends: {}); no claim of conformity",
                        safe_text(sheet.route->stock), safe_text(sheet.description),
                        bends.title.empty() ? std::string(word(bends.source)) : safe_text(bends.title)),
            4, 2);
  page.line(neck_words(*sheet.from), 4, 2, sheet.from->grip == NeckGrip::good ? Tint::none : Tint::bad);
  page.line(neck_words(*sheet.to), 4, 2, sheet.to->grip == NeckGrip::good ? Tint::none : Tint::bad);
  write_pieces(page, sheet);
  write_bends(page, sheet);
  write_clamps(page, sheet);
  write_fittings(page, sheet);
}

void write_size_cautions(Page& page) {
  page.heading("Before and after");
  for (const char* caution :
       {"CAUTION: hot coolant under pressure scalds. Open no cap or hose until it is cool enough to touch.",
        "CAUTION: clamps loosen as rubber sets. Check their torque cold after the first heat cycles and at "
        "the first "
        "service; never on a hot, pressurised system.",
        "CAUTION: coolant is poisonous and sweet. Wet necks with a little of it to push hose on, wipe up the "
        "rest, "
        "keep it from children and animals.",
        "CAUTION: fan and belts cut. Keep clear; an electric fan may start with the ignition off.",
        "CAUTION: a hose against steering or throttle can lock it. Turn both from stop to stop before the "
        "engine runs; "
        "any contact is a stop, whatever the figures say."})
    page.line(caution, 0, 2);
  page.line(
      "Cut on the long side of the tolerance: what is pushed on is the least that holds. Measure necks, "
      "never a "
      "used hose.",
      0, 2);
}

}  // namespace hosefit
