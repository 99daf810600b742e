// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "solver/base/parallel.h"
#include "solver/decide/decide.h"
#include "solver/report/text.h"
#include "solver/sheet/customer_sheet.h"

/// What a customer sheet is made from, and the making of it.
namespace hosefit {

/// One row per pump beside the one the sheet is about, in the order of ranking.
struct OtherPump {
  std::size_t candidate = 0;  ///< index into Choice::candidates: the best of that pump
  std::optional<SheetPicture> picture;
};

struct SheetPictures {
  std::optional<SheetPicture> whole, close;  ///< empty: the parts do not bolt together; no place decides
  std::vector<OtherPump> others;
};

struct SheetQuestion {
  std::size_t chosen = 0;  ///< index into Choice::candidates: the set that the sheet is about
  bool named = false;      ///< the shop named parts; else it is the best ranked
};

/// References live as long as the matter.
struct SheetMatter {
  const Job& job;
  const Choice& choice;
  SheetQuestion question;
  const SheetPictures& pictures;
  std::vector<PumpWindows> windows;  ///< empty: not asked for
  LengthUnit unit = LengthUnit::mm;
  std::string version;
  std::string date;  ///< YYYY-MM-DD or empty
};

/// Draws both large pictures and a small one per other pump. The same bytes for any thread count.
SheetPictures sheet_pictures(const Prepared& prepared, const Choice& choice, const SheetQuestion& question,
                             LengthUnit unit, Threads threads);

/// A pure function of the matter. "Fits" is said only of candidates whose verdict it is.
CustomerSheet customer_sheet(const SheetMatter& matter);

}  // namespace hosefit
