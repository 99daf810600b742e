// SPDX-License-Identifier: GPL-3.0-or-later
// Writes a sheet whose names are hostile as HTML, for html_check.py.
#include <fstream>

#include "solver/sheet/html.h"
#include "tests/sheet/made_sheet.h"

int main(int count, char** words) {
  using namespace hosefit;
  if (count != 2) return 2;
  made::Made made(made::kHostileName);
  made.job.vehicle.name = made::kHostileName;
  made.job.vehicle.lines[0].name = made::kHostileName;
  made.windows = made::two_windows();
  std::ofstream(words[1], std::ios::binary) << sheet_html(made.sheet());
  return 0;
}
