// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/order/order_list.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <tuple>

#include "solver/order/shelf.h"

namespace hosefit {
namespace {

constexpr double kLookAlike_mm = 7.0;  // bores this near are mixed up by eye (common practice, no source)
constexpr double kSpareShare = 0.1;

bool counts(const CutSheet& sheet) {
  return sheet.standing == Standing::order || sheet.standing == Standing::combination_stops;
}

std::int64_t tenths(Length length) {
  return std::llround(length.mm() * 10.0);
}

// Alike in all that is ordered by. Lengths to a tenth of a millimetre, angles to a tenth of a degree.
auto key(const OrderRow& row) {
  const auto tenth_or_none = [](const std::optional<Length>& l) { return l ? tenths(*l) : -1; };
  return std::tuple(row.kind, row.stock, row.shape, row.clamp ? row.clamp->standard : std::string(),
                    row.clamp ? row.clamp->code : std::string(), row.lined, tenths(row.bore),
                    // clamps of one size go on hoses of several diameters
                    row.clamp ? std::int64_t{0} : tenths(row.outside),
                    row.turn ? std::llround(row.turn->deg() * 10.0) : -1, tenth_or_none(row.length));
}

class Rows {
 public:
  void add(OrderRow row, long needed, const std::string& line) {
    const auto same = std::find_if(rows_.begin(), rows_.end(),
                                   [&](const OrderRow& other) { return key(other) == key(row); });
    OrderRow& kept = same != rows_.end() ? *same : rows_.emplace_back(std::move(row));
    kept.needed += needed;
    if (std::find(kept.lines.begin(), kept.lines.end(), line) == kept.lines.end()) kept.lines.push_back(line);
  }

  std::vector<OrderRow> sorted() && {
    std::sort(rows_.begin(), rows_.end(),
              [](const OrderRow& a, const OrderRow& b) { return key(a) < key(b); });
    return std::move(rows_);
  }

 private:
  std::vector<OrderRow> rows_;
};

OrderRow row_of(ItemKind kind) {
  OrderRow row;
  row.kind = kind;
  return row;
}

// Parts that are wanted as they stand on the sheet: no owned piece can take their place.
void add_fixed_pieces(const CutSheet& sheet, const std::string& line, Rows& rows) {
  for (const CutPiece& piece : sheet.pieces) {
    if (piece.kind != PieceKind::joiner && piece.kind != PieceKind::tube && piece.kind != PieceKind::moulded)
      continue;
    OrderRow row = row_of(piece.kind == PieceKind::joiner ? ItemKind::joiner
                          : piece.kind == PieceKind::tube ? ItemKind::tube
                                                          : ItemKind::moulded_shape);
    row.stock = piece.stock;
    row.bore = piece.bore;
    row.outside = piece.outside;
    row.length = piece.cut;
    if (piece.kind == PieceKind::moulded) row.length = piece.bought;
    if (piece.shape) row.shape = piece.shape->name;
    rows.add(std::move(row), 1, line);
  }
  for (const ClampPlace& place : sheet.clamps) {
    OrderRow row = row_of(ItemKind::clamp);
    row.clamp = place.size;
    row.lined = place.lined;
    row.outside = place.installed_outside;
    rows.add(std::move(row), place.count, line);
  }
}

// Where the tee's three lines are to be made. Its other sizes are the shop's own.
void add_tee(const Job& job, const std::vector<CutSheet>& sheets, Rows& rows) {
  if (!job.vehicle.tee) return;
  const Tee& tee = *job.vehicle.tee;
  const std::array lines{tee.before, tee.after, tee.branch_line};
  if (!std::all_of(lines.begin(), lines.end(), [&](std::size_t line) { return counts(sheets[line]); }))
    return;
  OrderRow row = row_of(ItemKind::tee);
  row.shape = tee.name;
  row.bore = tee.run.bore;
  row.outside = tee.run.outside_diameter;
  for (std::size_t i = 0; i < lines.size(); ++i)
    rows.add(row, i == 0 ? 1 : 0, job.vehicle.lines[lines[i]].name);
}

// Sleeves that overlap on one line are one sleeve.
void add_sleeves(const CutSheet& sheet, const std::string& line, Rows& rows) {
  std::vector<Sleeve> sleeves = sheet.sleeves;
  std::sort(sleeves.begin(), sleeves.end(),
            [](const Sleeve& a, const Sleeve& b) { return a.from_s < b.from_s; });
  for (std::size_t i = 0; i < sleeves.size();) {
    Length to = sleeves[i].to_s;
    std::size_t next = i + 1;
    for (; next < sleeves.size() && sleeves[next].from_s <= to; ++next) to = std::max(to, sleeves[next].to_s);
    OrderRow row = row_of(ItemKind::sleeve);
    row.outside = sleeves[i].over;
    row.length = to - sleeves[i].from_s;
    rows.add(std::move(row), 1, line);
    i = next;
  }
}

void add_fittings(const CutSheet& sheet, const std::string& line, Rows& rows) {
  for (const Spring& spring : sheet.springs) {
    OrderRow row = row_of(ItemKind::spring);
    row.outside = spring.outside;
    row.length = spring.length;
    rows.add(std::move(row), 1, line);
  }
  add_sleeves(sheet, line, rows);
  for (const Clip& clip : sheet.clips) {
    OrderRow row = row_of(ItemKind::clip);
    row.outside = clip.over;
    rows.add(std::move(row), 1, line);
  }
}

const Stock* stock_named(const Job& job, const std::string& id) {
  const auto found =
      std::find_if(job.stock.begin(), job.stock.end(), [&](const Stock& stock) { return stock.id == id; });
  return found == job.stock.end() ? nullptr : &*found;
}

// Straight hose is priced by the metre, everything else by the piece.
std::optional<double> price_of(const Stock& stock, const OrderRow& row) {
  const auto pieces = static_cast<double>(row.needed + row.spare);
  if (const MouldedShape* shape = shape_named(stock, row.shape)) {
    const double price = price_of(stock, *shape);
    return price > 0 ? std::optional(price * pieces) : std::nullopt;
  }
  if (!(stock.price > 0)) return std::nullopt;
  if (stock.make != Make::straight_hose) return stock.price * pieces;
  return row.length ? std::optional(stock.price * pieces * row.length->metre()) : std::nullopt;
}

void finish(const Job& job, OrderRow& row) {
  if (row.kind == ItemKind::clamp)
    row.spare = std::max(1L, static_cast<long>(std::ceil(kSpareShare * static_cast<double>(row.needed))));
  const Stock* stock = stock_named(job, row.stock);
  if (stock == nullptr) return;
  row.description = stock->description;
  row.price = price_of(*stock, row);
  for (const Stock& other : job.stock)
    if (other.make == stock->make && other.id != stock->id &&
        std::abs((other.bore - stock->bore).mm()) <= kLookAlike_mm)
      row.look_alikes.push_back({other.id, other.bore, other.outside_diameter});
  std::sort(row.look_alikes.begin(), row.look_alikes.end(), [](const LookAlike& a, const LookAlike& b) {
    return std::tuple(a.bore, a.stock) < std::tuple(b.bore, b.stock);
  });
}

void add_bought(const Job& job, const HosePlan& plan, const std::vector<CutSheet>& sheets, Rows& rows) {
  for (const PlannedStick& stick : plan.bought) {
    const CutPiece& first = sheets[stick.cuts.front().line].pieces[stick.cuts.front().piece];
    OrderRow row = row_of(first.kind == PieceKind::elbow        ? ItemKind::elbow
                          : first.kind == PieceKind::corrugated ? ItemKind::corrugated_hose
                                                                : ItemKind::straight_hose);
    row.stock = first.stock;
    row.bore = first.bore;
    row.outside = first.outside;
    if (const Stock* stock = stock_named(job, first.stock)) {
      row.bore = stock->bore;
      row.outside = stock->outside_diameter;
      if (row.kind == ItemKind::elbow) row.leg = stock->leg;
    }
    row.turn = first.turn;
    if (row.kind != ItemKind::elbow) row.length = stick.length;
    for (std::size_t i = 0; i < stick.cuts.size(); ++i)
      rows.add(row, i == 0 ? 1 : 0, job.vehicle.lines[stick.cuts[i].line].name);
  }
}

void total_up(OrderList& list) {
  for (const OrderRow& row : list.rows) {
    if (row.price)
      list.known_price += *row.price;
    else
      ++list.rows_without_price;
  }
}

}  // namespace

std::string_view word(ItemKind kind) {
  switch (kind) {
    case ItemKind::straight_hose:
      return "straight_hose";
    case ItemKind::elbow:
      return "elbow";
    case ItemKind::corrugated_hose:
      return "corrugated_hose";
    case ItemKind::moulded_shape:
      return "moulded_shape";
    case ItemKind::tube:
      return "tube";
    case ItemKind::joiner:
      return "joiner";
    case ItemKind::tee:
      return "tee";
    case ItemKind::clamp:
      return "clamp";
    case ItemKind::spring:
      return "spring";
    case ItemKind::sleeve:
      return "sleeve";
    case ItemKind::clip:
      return "clip";
  }
  return "";
}

OrderList order_list(const Job& job, const CandidateResult& result, const std::vector<CutSheet>& sheets) {
  OrderList list;
  Rows rows;
  for (const CutSheet& sheet : sheets) {
    const std::string& line = job.vehicle.lines[sheet.line].name;
    if (!counts(sheet)) {
      list.lines_left_out.push_back(line);
      continue;
    }
    add_fixed_pieces(sheet, line, rows);
    add_fittings(sheet, line, rows);
  }
  add_tee(job, sheets, rows);
  const HosePlan plan = plan_hoses(job, sheets);
  list.shelf = plan.shelf;
  list.least_spend_proved = plan.least_proved;
  add_bought(job, plan, sheets, rows);
  for (const PlannedStick& stick : plan.bought) {
    const CutPiece& first = sheets[stick.cuts.front().line].pieces[stick.cuts.front().piece];
    if (first.kind == PieceKind::straight || first.kind == PieceKind::coupler)
      list.sticks.push_back({first.stock, stick.length, stick.cuts});
  }
  list.rows = std::move(rows).sorted();
  for (OrderRow& row : list.rows) {
    finish(job, row);
    std::sort(row.lines.begin(), row.lines.end());
  }
  total_up(list);
  list.order_now = result.verdict.fit == Fit::fits && list.lines_left_out.empty();
  return list;
}

}  // namespace hosefit
