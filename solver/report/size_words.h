// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <string>

#include "solver/report/size_report.h"
#include "solver/report/words.h"

/// Words that the text and the CSV of `hosefit size` share. One line each, safe to print.
namespace hosefit {

/// "38.1 mm (1.50 in)"; with a fraction where one is within 0.8 mm and `fraction` is asked for by length.

/// What a row of the order list is, with every dimension it is ordered by.
std::string item_words(const OrderRow& row);
/// What tells it from parts it is mixed up with; empty when there is nothing.
std::string apart_words(const OrderRow& row);
std::string spare_words(const OrderRow& row);

/// What joins the two diameters, or what to ask for at the counter.
std::string reducer_words(const ReducerNeed& need);
/// What to do with it, one sentence.
std::string reducer_cure();

std::string clamp_words(const ClampSize& size);
/// "frame rail, 24.7 mm (0.97 in) off it".
std::string clip_support(const Clip& clip);
/// "4.5 +-0.7 N.m (40 lb-in) on new hose, 3.0 N.m (27 lb-in) on used".
std::string torque_words(const ClampSize& size);

/// The loud sentence for a line; for a proved line in a combination that fits a quiet one.
std::string standing_words(const SizeReport& report, const CutSheet& sheet);
bool may_order(const CutSheet& sheet);

/// "hose 38.1 mm on a 38.1 mm neck: good; with both tolerances ..., take one that measures ...".
std::string neck_words(const NeckMatch& match);
/// "+-3.2 mm, ends square to 3.2 mm (trade-association ...)".
std::string tolerance_words(const CutTolerance& tolerance);
/// Where a moulded shape is cut and which end the line starts at.
std::string shape_cut_words(const CutPiece& piece);
/// How far a bend is sprung, in degrees: "+1.2", never "-0.0".
std::string sprung_words(Angle sprung);
/// Where a cut belongs: "upper piece 1, 75.0 mm (2.95 in)".
std::string cut_words(const SizeReport& report, const ShelfRow::Cut& cut);
/// What becomes of a piece in hand.
std::string shelf_words(const SizeReport& report, const ShelfRow& row);

}  // namespace hosefit
