// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "solver/order/cut_sheet.h"
#include "solver/order/cutting_plan.h"

/// One list to order from, over all lines that are proved.
namespace hosefit {

enum class ItemKind {
  straight_hose,
  elbow,
  corrugated_hose,
  moulded_shape,
  tube,
  joiner,
  tee,
  clamp,
  spring,
  sleeve,
  clip
};
std::string_view word(ItemKind kind);

/// A part on file that is easily taken for another: same make, and one dimension differs.
struct LookAlike {
  std::string stock;
  Length bore, outside;
};

/// One row: parts that are alike in everything that is ordered by.
struct OrderRow {
  ItemKind kind = ItemKind::clamp;
  std::string stock;               ///< id; empty: nothing on file, ordered by its dimensions
  std::string shape;               ///< moulded: which; tee: its name; else empty
  std::string description;         ///< of the stock: hose type and class
  std::optional<ClampSize> clamp;  ///< clamps; empty there: order by `outside`
  bool lined = false;              ///< clamps
  Length bore,
      outside;  ///< hose and tube; joiner: outside; tee: of its run; clamp, sleeve, clip: outside of the hose
                ///< they go on
  std::optional<Length> length;    ///< of each, as sold; by the metre, tube, spring, sleeve: as needed
  std::optional<Length> leg;       ///< elbows
  std::optional<Angle> turn;       ///< elbows
  long needed = 0, spare = 0;      ///< to buy: both together
  std::optional<double> price;     ///< of the whole row, in the shop's money; empty: not on file
  std::vector<std::string> lines;  ///< that use it, in the vehicle's order
  std::vector<LookAlike> look_alikes;
};

/// A piece of hose in hand and what becomes of it.
struct ShelfRow {
  std::size_t hose = 0;  ///< index into PartsInHand::hoses
  HoseUse use = HoseUse::leave;
  struct Cut {
    std::size_t line = 0, piece = 0;  ///< into the sheets
  };
  std::vector<Cut> cuts;
};

/// A length on sale and what is cut from it.
struct StickRow {
  std::string stock;
  Length length;
  std::vector<ShelfRow::Cut> cuts;
};

struct OrderList {
  bool order_now = false;      ///< the combination fits and every line is proved
  std::vector<OrderRow> rows;  ///< by kind, then stock, size and length
  std::vector<ShelfRow> shelf;
  std::vector<StickRow> sticks;
  std::vector<std::string>
      lines_left_out;      ///< not proved, or without a route: nothing of them is in the rows
  double known_price = 0;  ///< of the rows that have one
  int rows_without_price = 0;
  bool least_spend_proved = true;
};

/// Spares: one clamp in ten of each size, at least one (common practice, no source); nothing else.
OrderList order_list(const Job& job, const CandidateResult& result, const std::vector<CutSheet>& sheets);

}  // namespace hosefit
