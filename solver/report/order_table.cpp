// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <cmath>
#include <set>

#include "solver/report/size_sections.h"
#include "solver/report/size_words.h"

namespace hosefit {
namespace {

std::string name_of(const OrderRow& row, std::string_view without_stock) {
  return row.stock.empty() ? fmt::format("{}, no stock on file", without_stock) : safe_text(row.stock);
}

// The angle between its legs is what others call its angle: both are told where they differ.
std::string elbow_words(const OrderRow& row) {
  const double turn_deg = row.turn ? row.turn->deg() : 0.0;
  std::string out = fmt::format("{}, turns the flow {:.0f} deg", name_of(row, "elbow"), turn_deg);
  if (std::abs(turn_deg - 90) > 1) out += fmt::format(" (legs at {:.0f} deg)", 180 - turn_deg);
  return out;
}

std::string spare_note(const OrderRow& row) {
  return row.spare > 0 ? fmt::format("; {} spare", row.spare) : std::string();
}

std::string what_words(const OrderRow& row) {
  switch (row.kind) {
    case ItemKind::straight_hose:
      return name_of(row, "straight hose");
    case ItemKind::corrugated_hose:
      return name_of(row, "corrugated hose");
    case ItemKind::elbow:
      return elbow_words(row);
    case ItemKind::moulded_shape:
      return fmt::format("{}, shape {}", name_of(row, "moulded shape"), safe_text(row.shape));
    case ItemKind::tube:
      return name_of(row, "metal tube") + ", to bend; longer by what the bender holds";
    case ItemKind::joiner:
      return "joiner: tube beaded at both ends";
    case ItemKind::tee:
      return fmt::format("tee {}, its sizes as in the vehicle file", safe_text(row.shape));
    case ItemKind::clamp:
      if (row.clamp)
        return fmt::format("clamp {}, size {}{}{}", safe_text(row.clamp->standard),
                           safe_text(row.clamp->code),
                           row.clamp->provenance.source == Source::from_memory ? " *" : "", spare_note(row));
      return fmt::format("clamp{}, no size on file covers it and has room for its band",
                         row.lined ? ", lined" : "");
    case ItemKind::spring:
      return "support coil, stainless, goes inside the hose";
    case ItemKind::sleeve:
      return "heat sleeve";
    case ItemKind::clip:
      return "support clip, lined";
  }
  return {};
}

bool has_bore(ItemKind kind) {
  return kind == ItemKind::straight_hose || kind == ItemKind::elbow || kind == ItemKind::corrugated_hose ||
         kind == ItemKind::moulded_shape;
}

std::string inside_words(const OrderRow& row, LengthUnit unit) {
  return has_bore(row.kind) ? length_words(row.bore, unit) : std::string("-");
}

// What goes round a hose is told by the hose's outside.
std::string outside_words(const OrderRow& row, LengthUnit unit) {
  if (row.clamp)
    return unit == LengthUnit::mm
               ? fmt::format("{:.0f} to {:.0f} mm", row.clamp->least.mm(), row.clamp->most.mm())
               : fmt::format("{:.2f} to {:.2f} in", row.clamp->least.inch(), row.clamp->most.inch());
  return length_words(row.outside, unit);
}

std::string long_words(const OrderRow& row, LengthUnit unit) {
  if (row.leg) return "legs " + length_words(*row.leg, unit);
  return row.length ? length_words(*row.length, unit) : std::string("-");
}

// Each stock once: what it is, and what it is easily taken for.
void write_stock(Page& page, const OrderList& list) {
  std::set<std::string> told;
  for (const OrderRow& row : list.rows) {
    if (row.stock.empty() || !told.insert(row.stock).second) continue;
    if (told.size() == 1) page.blank();
    page.line(fmt::format("{}: {}", safe_text(row.stock), safe_text(row.description)), 0, 2);
    OrderRow as_sold = row;
    as_sold.turn.reset();  // told in its row
    if (const std::string apart = apart_words(as_sold); !apart.empty()) page.line(apart, 2, 2);
  }
}

}  // namespace

void write_order_table(Page& page, const OrderList& list) {
  const LengthUnit unit = page.look().unit;
  std::vector<std::vector<Cell>> rows;
  bool from_memory = false;
  for (const OrderRow& row : list.rows) {
    std::string lines;
    for (const std::string& line : row.lines) lines += (lines.empty() ? "" : ", ") + safe_text(line);
    from_memory = from_memory || (row.clamp && row.clamp->provenance.source == Source::from_memory);
    rows.push_back({{{std::to_string(row.needed + row.spare)}, Tint::strong},
                    {{what_words(row)}},
                    {{inside_words(row, unit)}},
                    {{outside_words(row, unit)}},
                    {{long_words(row, unit)}},
                    {{lines}},
                    {{row.price ? fmt::format("{:.2f}", *row.price) : "unknown"}}});
  }
  page.table({"buy", "what", "inside", "outside", "length", "for", "price"}, rows);
  page.blank();
  page.line(fmt::format("Clamps, sleeves and clips: \"outside\" is that of the hose they go on.{}",
                        from_memory ? " Ranges marked * are from memory: read the clamp's own." : ""),
            0, 2);
  write_stock(page, list);
}

}  // namespace hosefit
