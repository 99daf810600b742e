// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include "solver/report/page.h"
#include "solver/report/size_report.h"

/// Parts of the text of `hosefit size`; for size_text.cpp only.
namespace hosefit {

/// What is bought, with the dimensions that tell look-alike parts apart; the descriptions of stock below it.
void write_order_table(Page& page, const OrderList& list);
/// One line: what it stands as, necks, pieces, bends, clamps, fittings.
void write_sheet(Page& page, const SizeReport& report, const CutSheet& sheet);
void write_size_cautions(Page& page);

}  // namespace hosefit
