// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "solver/base/quantity.h"
#include "solver/model/verdict.h"

/// The sheet that a customer takes home, as a value: sections of paragraphs, tables, pictures and charts. The
/// HTML and the PDF are both written from it, so that they say the same. All text in it is one line of valid
/// UTF-8 that is safe to print, but not yet escaped for HTML.
namespace hosefit {

/// How a paragraph is set off. The words carry the meaning, the tone never adds one.
enum class Tone { plain, quiet, strong, good, doubtful, bad, caution };

struct Paragraph {
  Tone tone = Tone::plain;
  std::string text;
};

struct SheetList {
  std::vector<std::string> items;
};

/// Steps of a job, numbered from 1; a caution stands right under the step that it concerns.
struct JobStep {
  std::string text;
  std::string caution;  ///< may be empty
};
struct JobSteps {
  std::vector<JobStep> steps;
};

/// The first cell of a row is the row's header. Every row has as many cells as there are titles.
struct SheetTable {
  std::string caption;
  std::vector<std::string> titles;
  std::vector<std::vector<std::string>> rows;
};

struct SheetPicture {
  std::string png;  ///< bytes of the file
  int width_px = 0, height_px = 0;
  std::string alt;      ///< what there is to see, with its figures
  std::string caption;  ///< may be empty
  bool large = true;    ///< across the sheet; else beside text
};

/// Intervals of intake height, one bar per pump.
struct HeightBar {
  struct Part {
    Length from, to;
    Fit fit = Fit::undecided;
    std::string words;  ///< the whole interval in words
  };
  std::string name;
  std::vector<Part> parts;  ///< ascending, without holes
};
struct HeightChart {
  Length least, most, asked;
  std::string least_words, most_words, asked_words;
  std::vector<HeightBar> bars;
};
/// In a bar there is little room: "fits", "no", "no stock", "open".
std::string_view short_word(Fit fit);

/// A line to write on by hand.
struct SignLine {
  std::string label;
};

using SheetBlock =
    std::variant<Paragraph, SheetList, JobSteps, SheetTable, SheetPicture, HeightChart, SignLine>;

/// Not torn apart by a page break where it fits on a page.
struct SheetCard {
  std::string heading;  ///< may be empty
  std::vector<SheetBlock> blocks;
};

struct SheetSection {
  std::string id;  ///< letters and hyphens, unique
  std::string heading;
  std::vector<SheetCard> cards;
};

struct CustomerSheet {
  std::string title, question;  ///< vehicle; intake, height and family
  std::string date;             ///< YYYY-MM-DD; empty: undated, which the sheet says
  Paragraph answer;             ///< stands on top, loud; Tone::good only when a proof stands behind it
  std::vector<std::string> answer_more;
  std::vector<SheetSection> sections;
  std::vector<std::string> closing;  ///< who decides in the end; version, fingerprint, date
};

}  // namespace hosefit
