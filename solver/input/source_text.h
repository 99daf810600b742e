// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "solver/base/result.h"

/// A file as read, and the list of everything wrong that was found so far.
namespace hosefit {

struct SourceText {
  std::string path;                      ///< as it was asked for, shown in problems
  std::string bytes;                     ///< without a leading byte order mark
  std::vector<std::size_t> line_starts;  ///< offset of each line; lines end at '\n'
};

SourceText source_text(std::string path, std::string bytes);

/// Line `line` (from 1): tabs as one blank, other control bytes and bytes that are not UTF-8 as '?', at most
/// 400 bytes; empty when there is no such line. Column n of the file is byte n of the result.
std::string line_text(const SourceText& source, int line);

/// The whole file, or what the system says is wrong with it. At most `most_bytes`.
Result<std::string> read_bytes(const std::string& path, std::size_t most_bytes);

/// Bytes that begin a valid UTF-8 sequence at `at`; 0 when they do not (overlong forms and surrogates are not
/// valid).
std::size_t utf8_length(std::string_view text, std::size_t at);

/// Collects problems. Beyond 200 of one file it only counts, so that a hopeless file cannot fill the memory;
/// the last problem of that file then tells how many more there are.
class ProblemLog {
 public:
  void add(const SourceText& source, int line, int column, std::string path, std::string text);
  void add(Problem problem);
  /// A problem with a file as a whole, or with what was asked for.
  void add_unplaced(std::string file, std::string path, std::string text);
  bool empty() const { return problems_.empty(); }
  std::size_t size() const { return problems_.size(); }
  /// Sorted by file, line, column, path, text; repeated ones once.
  Problems sorted() const;

 private:
  Problems problems_;
  std::vector<std::pair<std::string, std::size_t>> count_of_file_;
};

/// The known name that a misspelt one most likely means (edit distance with swaps, at most 1 + a third of its
/// length); empty when none is near. The first of equally near ones.
std::string nearest(std::string_view misspelt, const std::vector<std::string>& known);
/// `; did you mean "x"?` or the list of known names, as the end of a sentence.
std::string did_you_mean(std::string_view misspelt, const std::vector<std::string>& known);

}  // namespace hosefit
