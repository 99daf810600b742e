// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <string>
#include <vector>

#include "solver/base/result.h"
#include "solver/paper/tiling.h"
#include "solver/sheet/customer_sheet.h"

namespace hosefit {

/// Where something was put, in points (1/72 in) from the upper left corner of its page. Of text: the ink and
/// the line's own height.
struct PlacedBox {
  int page = 0;  ///< from 0
  double left = 0, top = 0, width = 0, height = 0;
  std::string text;  ///< empty: a picture or a bar
};

struct SheetPdf {
  std::string bytes;
  int pages = 0;
  double page_width = 0, page_height = 0, margin = 0;  ///< points
  std::vector<PlacedBox> boxes;                        ///< in the order of reading
};

/// The same content in the same order as the HTML, upright, with page numbers and the date at every foot.
/// Nothing is cut off: what does not fit in a line is wrapped, what does not fit on a page goes on to the
/// next. Same sheet, same bytes. A Problem when the drawing library gives up.
Result<SheetPdf> sheet_pdf(const CustomerSheet& sheet, Paper paper);

}  // namespace hosefit
