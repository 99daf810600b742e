// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <string>
#include <string_view>
#include <vector>

#include "solver/base/quantity.h"

/// Text laid out for a terminal or a file of a given width. Nothing is cut off: what does not fit in a line
/// is wrapped.
namespace hosefit {

/// How the text is to look. Widths below 40 columns are laid out as 40.
struct TextLook {
  int width = 80;
  bool colour = false;  ///< on a terminal only; words never depend on it
  bool utf8 = true;     ///< false: every character beyond ASCII becomes '?', drawn ones their ASCII stand-in
  LengthUnit unit = LengthUnit::mm;
};

enum class Tint { none, good, doubtful, bad, strong };

struct Cell {
  std::vector<std::string> paragraphs;
  Tint tint = Tint::none;
};

/// Columns of text on the terminal that a string takes: 2 for East Asian wide characters, 0 for combining
/// marks.
int display_width(std::string_view text);

/// Lines of at most `width` columns (the first of `first_width`, when given), broken between words, never
/// between a figure and its unit; a word wider than a line is broken inside. At least one line, which may be
/// empty.
std::vector<std::string> wrapped(std::string_view text, int width, int first_width = 0);

/// Collects laid out lines. Names given to it need not be safe: control characters become '?'.
class Page {
 public:
  explicit Page(const TextLook& look);
  const TextLook& look() const { return look_; }

  void heading(std::string_view text);
  /// A paragraph; lines after its first are indented by `hang` more.
  void line(std::string_view text, int indent = 0, int hang = 0, Tint tint = Tint::none);
  void blank();
  /// A table when every column gets room for its longest word and no row grows too tall; else one block per
  /// row with the titles as labels.
  void table(const std::vector<std::string>& titles, const std::vector<std::vector<Cell>>& rows,
             int indent = 0);

  const std::string& text() const { return text_; }

 private:
  void put(std::string_view words, int indent, Tint tint);
  void blocks(const std::vector<std::string>& titles, const std::vector<std::vector<Cell>>& rows, int indent);
  std::string shown(std::string_view words) const;
  std::string tinted(std::string_view words, Tint tint) const;

  TextLook look_;
  std::string text_;
};

}  // namespace hosefit
