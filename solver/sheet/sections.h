// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include "solver/order/order_list.h"
#include "solver/report/reasons.h"
#include "solver/report/size_words.h"
#include "solver/report/words.h"
#include "solver/sheet/sheet_matter.h"

/// The sections of the sheet in their order, and words that they share; for the sheet's own files only.
namespace hosefit {

/// What all sections look at, worked out once.
struct SheetDesk {
  const SheetMatter& matter;
  const CandidateResult& chosen;
  std::optional<Bay> bay;  ///< that the chosen candidate stands in
  std::vector<CutSheet> cuts;
  OrderList order;

  const Job& job() const { return matter.job; }
  bool fits() const { return chosen.verdict.fit == Fit::fits; }
  WordsContext context() const { return {matter.unit, bay ? &*bay : nullptr, true}; }
};

Paragraph answer_on_top(const SheetDesk& desk);
std::vector<std::string> more_on_top(const SheetDesk& desk);

SheetSection which_pump(const SheetDesk& desk);
SheetSection other_pumps(const SheetDesk& desk);
SheetSection intake_heights(const SheetDesk& desk);
SheetSection flow_section(const SheetDesk& desk);
SheetSection checked_section(const SheetDesk& desk);
SheetSection exceptions_section(const SheetDesk& desk);
SheetSection order_section(const SheetDesk& desk);
SheetSection fill_section(const SheetDesk& desk);
SheetSection service_section(const SheetDesk& desk);
SheetSection measured_section(const SheetDesk& desk);

std::string pump_name(const Job& job, const CandidateResult& result);
/// One sentence about a candidate that is not proved to fit, or why a fitting one stands where it does.
std::string binding_sentence(const Job& job, const CandidateResult& result, LengthUnit unit);
/// The tightest gap of one line, only when that line is proved; null otherwise.
const GapRecord* proved_tightest(const CandidateResult& result, std::size_t line);
std::string both_gap_words(const GapRecord& gap);
std::string plain_word(std::string_view stable);  ///< "smooth_metal" to "smooth metal"

std::string scald_caution();
std::string belt_caution();
std::string steering_caution();
std::string exhaust_caution(CoolantFluid fluid);
std::string coolant_words(const CoolantData& coolant);

}  // namespace hosefit
