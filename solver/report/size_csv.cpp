// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <array>
#include <cmath>
#include <map>

#include "solver/report/reasons.h"
#include "solver/report/size_report.h"
#include "solver/report/size_words.h"
#include "solver/report/text.h"

namespace hosefit {
namespace {

constexpr std::array<std::string_view, 19> kColumns{
    "section",    "line",      "standing",  "item",      "stock",     "what",      "needed",
    "spare",      "buy",       "length_mm", "length_in", "inside_mm", "inside_in", "outside_mm",
    "outside_in", "angle_deg", "turn_deg",  "price",     "note"};

std::string text_cell(std::string_view text) {
  std::string safe = safe_text(text);
  const auto first = safe.find_first_not_of(' ');
  if (first != std::string::npos && std::string_view("=+-@\t\r").find(safe[first]) != std::string_view::npos)
    safe.insert(0, "'");
  std::string out = "\"";
  for (const char c : safe) out += c == '"' ? std::string("\"\"") : std::string(1, c);
  return out + "\"";
}

std::string number_cell(double value, int decimals) {
  if (std::abs(value) < 0.5 * std::pow(10.0, -decimals)) value = 0.0;  // never -0.0
  return fmt::format("{:.{}f}", value, decimals);
}

/// One row, cells by column; what is not set stays empty.
class Row {
 public:
  explicit Row(std::string_view section) { text("section", section); }
  Row& text(std::string_view column, std::string_view value) {
    cells_[column] = text_cell(value);
    return *this;
  }
  Row& number(std::string_view column, double value, int decimals) {
    cells_[column] = number_cell(value, decimals);
    return *this;
  }
  Row& size(const std::string& what, Length value) {
    number(column_of(what + "_mm"), value.mm(), 1);
    return number(column_of(what + "_in"), value.inch(), 2);
  }
  std::string line() const {
    std::string out;
    for (const std::string_view column : kColumns) {
      const auto cell = cells_.find(column);
      out += fmt::format("{}{}", column == kColumns.front() ? "" : ",",
                         cell == cells_.end() ? "" : cell->second);
    }
    return out + "\r\n";
  }

 private:
  static std::string_view column_of(const std::string& name) {
    for (const std::string_view column : kColumns)
      if (column == name) return column;
    return {};
  }
  std::map<std::string_view, std::string> cells_;
};

std::string reducer_row(const SizeReport& report, const CutSheet& sheet, const ReducerNeed& need) {
  Row row("reducer");
  row.text("line", report.job.vehicle.lines[sheet.line].name)
      .text("standing", word(sheet.standing))
      .text("what", reducer_words(need))
      .text("note", reducer_cure());
  if (!need.item) return row.line();
  row.text("item", word(need.item->kind)).text("stock", need.item->id).number("buy", 1, 0);
  row.size("length", need.item->length);
  if (need.item->price > 0) row.number("price", need.item->price, 2);
  return row.line();
}

std::string order_rows(const SizeReport& report) {
  std::string out;
  for (const OrderRow& order : report.list.rows) {
    Row row("order");
    std::string lines;
    for (const std::string& line : order.lines) lines += (lines.empty() ? "" : "; ") + line;
    row.text("line", lines)
        .text("standing", report.list.order_now ? word(Standing::order) : word(Standing::combination_stops))
        .text("item", word(order.kind))
        .text("stock", order.stock)
        .text("what", item_words(order))
        .number("needed", static_cast<double>(order.needed), 0)
        .number("spare", static_cast<double>(order.spare), 0)
        .number("buy", static_cast<double>(order.needed + order.spare), 0)
        .text("note", apart_words(order));
    if (order.length) row.size("length", *order.length);
    if (order.bore > Length{}) row.size("inside", order.bore);
    if (order.outside > Length{} && !order.clamp) row.size("outside", order.outside);
    if (order.turn) row.number("angle_deg", order.turn->deg(), 1);
    if (order.price)
      row.number("price", *order.price, 2);
    else
      row.text("price", "unknown");
    out += row.line();
  }
  for (const CutSheet& sheet : report.sheets)
    for (const ReducerNeed& need : sheet.reducers) out += reducer_row(report, sheet, need);
  for (const ShelfRow& shelf : report.list.shelf) {
    const OwnedHose& hose = report.job.vehicle.in_hand.hoses[shelf.hose];
    Row row("shelf");
    row.text("stock", hose.stock).text("what", shelf_words(report, shelf)).size("length", hose.length);
    if (hose.angle) row.number("angle_deg", hose.angle->deg(), 1);
    out += row.line();
  }
  return out;
}

/// A row of one line, begun with its name and how it stands.
class SheetRows {
 public:
  SheetRows(const SizeReport& report, const CutSheet& sheet) : report_(report), sheet_(sheet) {}

  std::string all() const {
    if (!sheet_.route) return begun("cut").text("what", standing_words(report_, sheet_)).line();
    return pieces() + clamps() + bends() + fittings();
  }

 private:
  Row begun(std::string_view section) const {
    Row row(section);
    row.text("line", report_.job.vehicle.lines[sheet_.line].name).text("standing", word(sheet_.standing));
    return row;
  }

  std::string pieces() const {
    std::string out;
    for (const CutPiece& piece : sheet_.pieces) {
      Row row = begun("cut");
      row.text("item", word(piece.kind)).text("stock", piece.stock).number("needed", 1, 0);
      row.size("length", piece.cut).size("outside", piece.outside);
      if (piece.kind != PieceKind::joiner && piece.kind != PieceKind::tube) row.size("inside", piece.bore);
      if (piece.turn) row.number("angle_deg", piece.turn->deg(), 1);
      if (piece.clock) row.number("turn_deg", piece.clock->deg(), 1);
      const std::string legs =
          piece.kind == PieceKind::elbow
              ? fmt::format(", legs {:.1f} and {:.1f} mm", piece.leg_from.mm(), piece.leg_to.mm())
              : std::string();
      const std::string shape =
          piece.shape ? fmt::format(" {}: {}", safe_text(piece.shape->name), shape_cut_words(piece))
                      : std::string();
      row.text("what", piece.what + legs + shape);
      row.text("note", fmt::format("cut tolerance {}; {}", tolerance_words(piece.tolerance),
                                   standing_words(report_, sheet_)));
      out += row.line();
    }
    return out;
  }

  std::string clamps() const {
    std::string out;
    for (const ClampPlace& place : sheet_.clamps) {
      Row row = begun("clamp");
      row.number("needed", place.count, 0).size("outside", place.installed_outside);
      row.text("item", word(ItemKind::clamp));
      row.text("what", place.size ? clamp_words(*place.size) : "no size on file covers it");
      if (place.from_end) row.size("length", *place.from_end);
      row.text("note", fmt::format("piece {} {} on {}; length: cut end to middle of band; torque {}",
                                   place.piece + 1, place.at_start ? "start" : "end", place.on,
                                   place.size ? fmt::format("{} ({})", torque_words(*place.size),
                                                            torque_source_words(*place.size))
                                              : std::string("as its maker says")));
      out += row.line();
    }
    return out;
  }

  std::string bends() const {
    std::string out;
    if (sheet_.route->make == Make::moulded_shape) return moulded_bends();
    if (sheet_.route->make != Make::bent_tube) return out;
    for (const BendRow& bend : sheet_.bends.rows)
      out +=
          begun("bend")
              .size("length", Length::mm(bend.feed_mm))
              .number("turn_deg", Angle::rad(bend.rotate_rad).deg(), 1)
              .number("angle_deg", Angle::rad(bend.bend_rad).deg(), 1)
              .text("what", fmt::format("feed, rotate, bend at centreline radius {:.1f} mm", bend.radius_mm))
              .line();
    return out + begun("bend")
                     .size("length", Length::mm(sheet_.bends.last_straight_mm))
                     .text("what", "straight to the tube's end")
                     .line();
  }

  std::string moulded_bends() const {
    std::string out;
    for (std::size_t i = 0; i < sheet_.bends.rows.size(); ++i) {
      const BendRow& bend = sheet_.bends.rows[i];
      const SprungBend sprung = i < sheet_.sprung.size() ? sheet_.sprung[i] : SprungBend{};
      out +=
          begun("bend")
              .size("length", Length::mm(bend.feed_mm))
              .number("turn_deg", Angle::rad(bend.rotate_rad).deg(), 1)
              .number("angle_deg", Angle::rad(bend.bend_rad).deg(), 1)
              .text("what", fmt::format("as fitted: straight, turn, bend at centreline radius {:.1f} mm; "
                                        "sprung by {} deg, its plane by {} deg",
                                        bend.radius_mm, sprung_words(sprung.bend), sprung_words(sprung.turn)))
              .line();
    }
    return out + begun("bend")
                     .size("length", Length::mm(sheet_.bends.last_straight_mm))
                     .text("what", "straight to the neck's end")
                     .line();
  }

  std::string fittings() const {
    std::string out;
    for (const Spring& spring : sheet_.springs)
      out += begun("spring")
                 .size("length", spring.length)
                 .size("outside", spring.outside)
                 .text("what", fmt::format("support coil in piece {}", spring.piece + 1))
                 .line();
    for (const Sleeve& sleeve : sheet_.sleeves)
      out += begun("sleeve")
                 .size("length", sleeve.to_s - sleeve.from_s)
                 .text("what",
                       fmt::format("from {:.1f} to {:.1f} mm along the line, {} exhaust {} at {:.1f} mm",
                                   sleeve.from_s.mm(), sleeve.to_s.mm(),
                                   sleeve.shielded ? "shielded" : "bare", sleeve.obstacle, sleeve.gap.mm()))
                 .line();
    for (const Clip& clip : sheet_.clips)
      out += begun("clip")
                 .size("length", clip.at_s)
                 .size("outside", clip.over)
                 .text("what",
                       fmt::format("along the line, on the {}: {}", word(clip.carrier), clip_support(clip)))
                 .line();
    return out;
  }

  const SizeReport& report_;
  const CutSheet& sheet_;
};

}  // namespace

std::string size_csv(const SizeReport& report) {
  std::string out;
  for (const std::string_view column : kColumns)
    out += fmt::format("{}{}", column == kColumns.front() ? "" : ",", text_cell(column));
  out += "\r\n";
  const auto notice = [&](const std::string& text) { out += Row("notice").text("what", text).line(); };
  if (report.result.verdict.fit != Fit::fits)
    notice(fmt::format("DO NOT ORDER FROM THIS: {}", word(report.result.verdict.fit)));
  for (const std::string& moved : moved_neck_sentences(report.result, LengthUnit::mm)) notice(moved);
  for (const std::string& line : report.list.lines_left_out)
    notice(fmt::format("DO NOT ORDER FROM THIS LINE: {} is not proved and is left out of the order", line));
  if (report.list.rows_without_price > 0)
    notice(fmt::format("{} without a price: no sum of the prices is the whole spend",
                       counted(report.list.rows_without_price, "row")));
  notice(closing_words());
  out += order_rows(report);
  for (const CutSheet& sheet : report.sheets) out += SheetRows(report, sheet).all();
  return out;
}

}  // namespace hosefit
