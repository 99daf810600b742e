// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/report/size_words.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "solver/report/reasons.h"

namespace hosefit {
namespace {

constexpr double kPoundInchPerNm = 1.0 / (0.45359237 * 9.80665 * 0.0254);

std::string nm_words(double torque_nm) {
  return fmt::format("{:.1f} N.m ({:.0f} lb-in)", torque_nm, torque_nm * kPoundInchPerNm);
}

std::string stock_or_none(const OrderRow& row) {
  return row.stock.empty() ? std::string("no stock on file") : safe_text(row.stock);
}

std::string hose_words(const OrderRow& row, const std::string& what) {
  return fmt::format("{}, inside {}, outside {}; {}{}", what, both_short(row.bore), both_short(row.outside),
                     stock_or_none(row), row.description.empty() ? "" : ": " + safe_text(row.description));
}

std::string elbow_words(const OrderRow& row) {
  const double turn_deg = row.turn ? row.turn->deg() : 0.0;
  std::string what = fmt::format("elbow that turns the flow by {:.0f} deg", turn_deg);
  if (row.leg)
    what += fmt::format(", legs at least {} from the intersection point to the end", both_short(*row.leg));
  return hose_words(row, what);
}

std::string grip_words(NeckGrip grip) {
  switch (grip) {
    case NeckGrip::loose:
      return "LOOSE, it will leak: do not use";
    case NeckGrip::good:
      return "good";
    case NeckGrip::tight:
      return "TIGHT: only rubber softened in hot water, by your own decision";
    case NeckGrip::too_tight:
      return "TOO TIGHT, it does not go on";
  }
  return "";
}

// A signed amount of neck over hose: "1.2 mm loose", "0.8 mm tight".
std::string over_words(Length over) {
  return fmt::format("{:.1f} mm {}", std::abs(over.mm()), over.mm() < 0 ? "loose" : "tight");
}

std::string not_proved_reasons(const SizeReport& report, const std::string& line) {
  std::string out;
  const std::optional<Bay> bay = bay_of(report.job, report.result);
  for (const Finding& finding : report.result.findings)
    if (finding.severity == Severity::stop && finding.subject == line)
      out += (out.empty() ? "" : "; ") + words_of(finding, {LengthUnit::mm, bay ? &*bay : nullptr}).brief;
  return out.empty() ? std::string("its gaps were not proved") : out;
}

}  // namespace

std::string clip_support(const Clip& clip) {
  return clip.on.empty() ? fmt::format("no smooth metal within {}, make a bracket",
                                       both_short(Length::mm(kLongestBracket_mm)))
                         : fmt::format("{}, {} off it", safe_text(clip.on), both_short(clip.off));
}

std::string clamp_words(const ClampSize& size) {
  return fmt::format("{} size {}, {:.1f} to {:.1f} mm ({:.2f} to {:.2f} in){}", safe_text(size.standard),
                     safe_text(size.code), size.least.mm(), size.most.mm(), size.least.inch(),
                     size.most.inch(),
                     size.provenance.source == Source::from_memory ? ", range from memory" : "");
}

std::string torque_words(const ClampSize& size) {
  std::string out = size.torque_spread_nm > 0
                        ? fmt::format("{:.1f} +-{:.1f} N.m ({:.0f} lb-in)", size.torque_new_nm,
                                      size.torque_spread_nm, size.torque_new_nm * kPoundInchPerNm)
                        : nm_words(size.torque_new_nm);
  if (size.torque_reused_nm > 0 && size.torque_reused_nm < size.torque_new_nm)
    out += fmt::format(" on new hose, {} on used", nm_words(size.torque_reused_nm));
  return out;
}

std::string reducer_words(const ReducerNeed& need) {
  if (!need.item)
    return fmt::format(
        "none on file joins {} and {}: ask at the counter for a stepped joiner (tube beaded at both ends) "
        "with "
        "these two outside diameters, or a reducing hose with these two bores",
        both_short(need.from), both_short(need.to));
  const Reducer& item = *need.item;
  const bool joiner = item.kind == ReducerKind::stepped_joiner;
  return fmt::format("{}: {}; {} {} and {}, {} long{}", safe_text(item.id), safe_text(item.description),
                     joiner ? "outside" : "inside", both_short(item.wide), both_short(item.narrow),
                     both_short(item.length),
                     joiner ? "; it takes hose of its own bore on each end, and a clamp on each" : "");
}

std::string reducer_cure() {
  return "No proved line holds it: fit it, measure its free end, write that as the neck in the vehicle file, "
         "and ask again.";
}

std::string item_words(const OrderRow& row) {
  switch (row.kind) {
    case ItemKind::straight_hose:
      return hose_words(row, row.length ? fmt::format("straight hose, {} long", both_short(*row.length))
                                        : std::string("straight hose"));
    case ItemKind::elbow:
      return elbow_words(row);
    case ItemKind::corrugated_hose:
      return hose_words(row,
                        fmt::format("corrugated hose, {} long", both_short(row.length.value_or(Length{}))));
    case ItemKind::moulded_shape:
      return hose_words(row, fmt::format("moulded shape {}, {} from end to end", safe_text(row.shape),
                                         both_short(row.length.value_or(Length{}))));
    case ItemKind::tube:
      return fmt::format("metal tube to bend, outside {}, at least {} and what the bender holds; {}: {}",
                         both_short(row.outside), both_short(row.length.value_or(Length{})),
                         stock_or_none(row), safe_text(row.description));
    case ItemKind::joiner:
      return fmt::format("joiner: tube beaded at both ends, outside {}, {} long", both_short(row.outside),
                         both_short(row.length.value_or(Length{})));
    case ItemKind::tee:
      return fmt::format(
          "tee {}: its run {} outside, {} inside; its other sizes as the vehicle file has them",
          safe_text(row.shape), both_short(row.outside), both_short(row.bore));
    case ItemKind::clamp:
      if (row.clamp) return fmt::format("hose clamp {}", clamp_words(*row.clamp));
      return fmt::format(
          "hose clamp{} for {} of hose outside: no size on file covers it and has room for its band",
          row.lined ? ", lined," : "", both_short(row.outside));
    case ItemKind::spring:
      return fmt::format("support coil inside the hose, stainless, outside {}, {} long",
                         both_short(row.outside), both_short(row.length.value_or(Length{})));
    case ItemKind::sleeve:
      return fmt::format("heat sleeve over {} hose, {} long", both_short(row.outside),
                         both_short(row.length.value_or(Length{})));
    case ItemKind::clip:
      return fmt::format("lined support clip for {}", both_short(row.outside));
  }
  return {};
}

std::string apart_words(const OrderRow& row) {
  // A tube is measured outside only: its bore on file is that of its couplers.
  const auto measures = [&](Length bore, Length outside) {
    if (row.kind == ItemKind::tube) return fmt::format("{} outside", both_short(outside));
    return fmt::format("{} inside, {} outside", both_short(bore), both_short(outside));
  };
  std::string out;
  for (const LookAlike& other : row.look_alikes)
    out += fmt::format("{}{} ({})", out.empty() ? "" : ", ", safe_text(other.stock),
                       measures(other.bore, other.outside));
  if (!out.empty()) out = fmt::format("measure it: {}; not {}", measures(row.bore, row.outside), out);
  if (row.turn && std::abs(row.turn->deg() - 90) > 1)
    out += fmt::format("{}turns by {:.0f} deg, its legs stand at {:.0f} deg to each other: say both",
                       out.empty() ? "" : "; ", row.turn->deg(), 180 - row.turn->deg());
  return out;
}

std::string spare_words(const OrderRow& row) {
  if (row.spare == 0) return std::to_string(row.needed);
  return fmt::format("{} ({} and {} spare)", row.needed + row.spare, row.needed, row.spare);
}

bool may_order(const CutSheet& sheet) {
  return sheet.standing == Standing::order;
}

std::string standing_words(const SizeReport& report, const CutSheet& sheet) {
  const std::string& name = report.job.vehicle.lines[sheet.line].name;
  switch (sheet.standing) {
    case Standing::order:
      return "proved, at rest and with the engine moving on its mounts";
    case Standing::combination_stops:
      return fmt::format(
          "DO NOT ORDER FROM THIS LINE: it is proved by itself, but the parts together are not proved to fit "
          "({})",
          word(report.result.verdict.fit));
    case Standing::not_proved:
      return fmt::format("DO NOT ORDER FROM THIS LINE: not proved: {}", not_proved_reasons(report, name));
    case Standing::no_route:
      return report.result.lines_tried ? fmt::format("NO NUMBERS, DO NOT ORDER: no hose was found: {}",
                                                     not_proved_reasons(report, name))
                                       : std::string(
                                             "NO NUMBERS, DO NOT ORDER: no hose was laid, a part already "
                                             "rules this combination out");
  }
  return {};
}

std::string neck_words(const NeckMatch& m) {
  std::string out = fmt::format("{}: neck {} outside, hose {} inside: {}", safe_text(m.neck),
                                both_short(m.neck_outside), both_short(m.hose_bore), grip_words(m.grip));
  if (m.over_least && m.over_most)
    out += fmt::format(
        "; with the neck +-{:.1f} mm (caliper, from memory) and ISO 1307 hose of {:.1f} to {:.1f} mm from {} "
        "to {}",
        m.neck_tolerance.mm(), m.iso1307->least.mm(), m.iso1307->most.mm(), over_words(*m.over_least),
        over_words(*m.over_most));
  else
    out += "; ISO 1307 lists no such bore, so nothing is known of its tolerance";
  if (m.accept_least < m.accept_most)
    out += fmt::format("; at the counter take one that measures {:.1f} to {:.1f} mm inside",
                       m.accept_least.mm(), m.accept_most.mm());
  if (!m.bead) out += "; NO BEAD: have one rolled, else two clamps as a stop-gap";
  return out;
}

std::string tolerance_words(const CutTolerance& t) {
  if (t.both_ways <= Length{}) return "as bought";
  const std::string source =
      t.provenance.title.empty() ? std::string(word(t.provenance.source)) : safe_text(t.provenance.title);
  return fmt::format(
      "+-{:.1f} mm{} ({})", t.both_ways.mm(),
      t.squareness > Length{} ? fmt::format(", ends square to {:.1f} mm", t.squareness.mm()) : "", source);
}

std::string shape_cut_words(const CutPiece& piece) {
  if (!piece.shape || !piece.bought) return {};
  const Length from = Length::mm(piece.shape->from_mm), to = Length::mm(piece.shape->to_mm);
  return fmt::format(
      "cut {} from the end marked A and {} from the other end, along the centreline, of {} as sold; the line "
      "starts at the cut {} A",
      both_short(from), both_short(*piece.bought - to), both_short(*piece.bought),
      piece.shape->reversed ? "farther from" : "nearer to");
}

std::string sprung_words(Angle sprung) {
  return fmt::format("{:+.1f}", std::round(sprung.deg() * 10) / 10 + 0.0);
}

std::string cut_words(const SizeReport& report, const ShelfRow::Cut& cut) {
  const CutPiece& piece = report.sheets[cut.line].pieces[cut.piece];
  const std::string line = safe_text(report.job.vehicle.lines[cut.line].name);
  if (piece.kind == PieceKind::elbow)
    return fmt::format("{} piece {}, legs {} and {}", line, cut.piece + 1, both_short(piece.leg_from),
                       both_short(piece.leg_to));
  return fmt::format("{} piece {}, {}", line, cut.piece + 1, both_short(piece.cut));
}

std::string shelf_words(const SizeReport& report, const ShelfRow& row) {
  const OwnedHose& hose = report.job.vehicle.in_hand.hoses[row.hose];
  std::string what = fmt::format("{}, {}", safe_text(hose.stock), both_short(hose.length));
  if (hose.angle) what += fmt::format(" a leg, {:.0f} deg", hose.angle->deg());
  std::string cuts;
  for (const ShelfRow::Cut& cut : row.cuts) cuts += (cuts.empty() ? "" : "; ") + cut_words(report, cut);
  switch (row.use) {
    case HoseUse::keep:
      return fmt::format("{}: keep as it is for {}", what, cuts);
    case HoseUse::trim:
      return fmt::format("{}: re-trim for {}", what, cuts);
    case HoseUse::leave:
      return fmt::format("{}: not needed here, or it does not reach", what);
  }
  return {};
}

}  // namespace hosefit
