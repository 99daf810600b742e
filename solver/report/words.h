// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <string>
#include <string_view>

#include "solver/model/bay.h"
#include "solver/model/finding.h"
#include "solver/model/verdict.h"

/// Findings and figures in the words of the trade. Every sentence that a person reads about a finding is made
/// here. All results are one line of valid UTF-8 without control characters, whatever the names in the input
/// held.
namespace hosefit {

/// A name from a file made safe to print: control characters, direction marks and broken UTF-8 become '?'.
std::string safe_text(std::string_view text);

/// "12.0 mm", or "0.50 in (1/2)": the fraction stands beside the decimal where it is within 0.1 mm.
std::string length_words(Length value, LengthUnit unit);
/// Both units, as for a cut length: "412.0 mm (16.22 in, 16-1/4)".
std::string both_units(Length value);
/// Both units, short, as inside a sentence: "12.7 mm (1/2 in)", "10.0 mm (0.39 in)".
std::string both_short(Length value);
/// A figure of a finding in its unit; lengths in `unit`: "0.42 deg", "12.3 kPa (1.8 psi)", "2.10 m/s", "3".
std::string figure_words(double value, FindingUnit figure, LengthUnit unit);

/// Left and right as seated: "x 410, 84 left, z 620 mm". Coordinates of the vehicle frame.
std::string place_words(const Vec3& p_mm, LengthUnit unit);

/// "limit from standard: TITLE", "limit from memory", "limit set by NAME (reason)".
std::string provenance_words(const Provenance& provenance);

/// "4 limits: 1 sourced, 2 unsourced, 1 signed by the shop".
std::string limits_words(const LimitsAnswer& limits);

/// A number of things: counted(1, "flag") is "1 flag", counted(2, "flag") "2 flags".
std::string counted(long n, std::string_view thing);

/// What sentences may refer to beside the finding itself.
struct WordsContext {
  LengthUnit unit = LengthUnit::mm;
  const Bay* bay = nullptr;  ///< names the hazard and what is near a place; null: both are left out
  bool both_units = false;   ///< every length as "4.0 mm (0.16 in)", whatever `unit` is: for paper
};

/// One hazard, one consequence, one action. `brief` fits a table cell and holds the missing or spare amount:
/// "upper: throttle body, 4.0 mm short (needs 12.0, found 8.0)".
struct FindingWords {
  std::string brief;
  std::string consequence;
  std::string action;
  std::string where;  ///< place in words; empty when the finding has none
};
FindingWords words_of(const Finding& finding, const WordsContext& context);

/// The whole finding as running text: brief, place, consequence, action, origin of the limit.
std::string sentences(const Finding& finding, const WordsContext& context);

/// Near which obstacle a place is: "near the battery tray"; empty when nothing with a closed form is within
/// 150 mm.
std::string near_words(const Bay& bay, const Vec3& p_mm);

/// Empty when the coolant is no glycol.
std::string glycol_caution(CoolantFluid fluid);

}  // namespace hosefit
