// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <string>
#include <vector>

#include "solver/base/result.h"
#include "solver/decide/decide.h"
#include "solver/paper/tiling.h"

/// Each line of a candidate in true size on paper, plane by plane, so that wire, hose or tube can be laid on
/// it.
namespace hosefit {

struct TemplateOptions {
  Paper paper = Paper::a4;
  Stretch stretch;
  LengthUnit unit = LengthUnit::mm;
};

/// One line on paper: its planes, each tiled. Empty tilings: the line has no proved hose, and `why_not` says
/// so.
struct LineTemplate {
  std::size_t line = 0;   ///< index into the vehicle's lines
  double outside_mm = 0;  ///< the largest of its sections
  std::vector<Tiling> planes;
  std::string why_not;
};
/// In the order of the vehicle's lines. A route that the proof refused is not drawn: someone would cut to it.
std::vector<LineTemplate> line_templates(const Job& job, const CandidateResult& result,
                                         const TemplateOptions& options);

/// A PDF of vector drawings: a first page that lists the lines, then a page per tile. True to the PDF's own
/// coordinates within 0.01 mm, times the stretch. Every page has a bar of 100 mm across and one down, and
/// registration marks where sheets overlap. Same input, same bytes. A Problem when the drawing library gives
/// up.
Result<std::string> template_pdf(const Job& job, const CandidateResult& result,
                                 const TemplateOptions& options);

}  // namespace hosefit
