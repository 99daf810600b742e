// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <string>
#include <vector>

#include "solver/paper/radiator_matter.h"

/// What is written on a drawing of the radiator; no place and no pen.
namespace hosefit {

/// One row of the table of necks: what it tells, and for each neck of it the figure.
struct NeckRow {
  std::string what;
  std::vector<std::string> figures;
};
/// Of the necks `first` up to `last`, not included; the first row holds their numbers and names.
std::vector<NeckRow> neck_rows(const RadiatorMatter& matter, std::size_t first, std::size_t last,
                               LengthUnit unit);

/// In capitals what the drawing may not be used for; empty when the set is proved to fit.
std::string not_proved_words(const CandidateResult& result);

/// What the drawing is: places to order, or the radiator as it stands.
std::string standing_words(const Job& job, const RadiatorMatter& matter);

/// How to read the drawing, and who decides what; one sentence or two each.
std::vector<std::string> note_words(const RadiatorMatter& matter);
std::vector<std::string> caution_words();

}  // namespace hosefit
