// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/input/source_text.h"

#include <fmt/format.h>

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <tuple>

namespace hosefit {
namespace {

constexpr std::size_t kMostProblemsOfAFile = 200;
constexpr std::size_t kMostLineBytes = 400;

bool continues(std::string_view text, std::size_t at) {
  return at < text.size() && (static_cast<unsigned char>(text[at]) & 0xC0) == 0x80;
}

Problem whole_file(const std::string& path, std::string text) {
  return {{path, 0, 0}, "", std::move(text), ""};
}

std::size_t edit_distance(std::string_view a, std::string_view b) {
  std::vector<std::vector<std::size_t>> d(a.size() + 1, std::vector<std::size_t>(b.size() + 1));
  for (std::size_t i = 0; i <= a.size(); ++i) d[i][0] = i;
  for (std::size_t j = 0; j <= b.size(); ++j) d[0][j] = j;
  for (std::size_t i = 1; i <= a.size(); ++i) {
    for (std::size_t j = 1; j <= b.size(); ++j) {
      d[i][j] =
          std::min({d[i - 1][j] + 1, d[i][j - 1] + 1, d[i - 1][j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1)});
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
        d[i][j] = std::min(d[i][j], d[i - 2][j - 2] + 1);
    }
  }
  return d[a.size()][b.size()];
}

// Names of the file are quoted in problems; a terminal must not be steered by them.
std::string printable(std::string text) {
  for (char& c : text)
    if (static_cast<unsigned char>(c) < 0x20 || c == 0x7F) c = '?';
  return text;
}

}  // namespace

SourceText source_text(std::string path, std::string bytes) {
  if (bytes.starts_with("\xEF\xBB\xBF")) bytes.erase(0, 3);
  SourceText source{std::move(path), std::move(bytes), {0}};
  for (std::size_t i = 0; i < source.bytes.size(); ++i)
    if (source.bytes[i] == '\n') source.line_starts.push_back(i + 1);
  return source;
}

std::size_t utf8_length(std::string_view text, std::size_t at) {
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
  const unsigned first = byte(at);
  if (first < 0x80) return 1;
  const std::size_t length = first >= 0xC2 && first <= 0xDF   ? 2
                             : (first & 0xF0) == 0xE0         ? 3
                             : first >= 0xF0 && first <= 0xF4 ? 4
                                                              : 0;
  for (std::size_t i = 1; i < length; ++i)
    if (!continues(text, at + i)) return 0;
  if (length >= 3) {
    const unsigned second = byte(at + 1);
    if ((first == 0xE0 && second < 0xA0) || (first == 0xED && second > 0x9F) ||
        (first == 0xF0 && second < 0x90) || (first == 0xF4 && second > 0x8F))
      return 0;
  }
  return length;
}

std::string line_text(const SourceText& source, int line) {
  if (line < 1 || static_cast<std::size_t>(line) > source.line_starts.size()) return {};
  const std::size_t begin = source.line_starts[static_cast<std::size_t>(line - 1)];
  const std::size_t end =
      std::min({source.bytes.find('\n', begin), source.bytes.size(), begin + kMostLineBytes});
  std::string text = source.bytes.substr(begin, end - begin);
  if (text.ends_with('\r')) text.pop_back();
  for (std::size_t i = 0; i < text.size();) {
    const std::size_t length = utf8_length(text, i);
    const auto c = static_cast<unsigned char>(text[i]);
    if (c == '\t')
      text[i] = ' ';
    else if (length == 0 || c < 0x20 || c == 0x7F)
      text[i] = '?';
    i += std::max<std::size_t>(length, 1);
  }
  return text;
}

Result<std::string> read_bytes(const std::string& path, std::size_t most_bytes) {
  std::error_code error;
  if (!std::filesystem::exists(path, error)) return Problems{whole_file(path, "no such file")};
  if (std::filesystem::is_directory(path, error))
    return Problems{whole_file(path, "want a file, found a folder")};
  std::ifstream in(path, std::ios::binary);
  if (!in) return Problems{whole_file(path, fmt::format("cannot be read: {}", std::strerror(errno)))};
  std::string bytes;
  std::vector<char> block(1 << 16);
  while (in.read(block.data(), static_cast<std::streamsize>(block.size())), in.gcount() > 0) {
    bytes.append(block.data(), static_cast<std::size_t>(in.gcount()));
    if (bytes.size() > most_bytes)
      return Problems{
          whole_file(path, fmt::format("larger than the {} MiB that are read", most_bytes >> 20))};
  }
  if (in.bad()) return Problems{whole_file(path, "reading broke off")};
  return bytes;
}

void ProblemLog::add(const SourceText& source, int line, int column, std::string path, std::string text) {
  add({{source.path, line, column}, std::move(path), std::move(text), line_text(source, line)});
}

void ProblemLog::add(Problem problem) {
  problem.path = printable(std::move(problem.path));
  problem.text = printable(std::move(problem.text));
  auto it = std::find_if(count_of_file_.begin(), count_of_file_.end(),
                         [&](const auto& c) { return c.first == problem.place.file; });
  if (it == count_of_file_.end()) it = count_of_file_.insert(it, {problem.place.file, 0});
  if (++it->second <= kMostProblemsOfAFile) problems_.push_back(std::move(problem));
}

void ProblemLog::add_unplaced(std::string file, std::string path, std::string text) {
  Problem problem;
  problem.place.file = std::move(file);
  problem.path = std::move(path);
  problem.text = std::move(text);
  add(std::move(problem));
}

Problems ProblemLog::sorted() const {
  Problems out = problems_;
  const auto key = [](const Problem& p) {
    return std::tie(p.place.file, p.place.line, p.place.column, p.path, p.text);
  };
  std::sort(out.begin(), out.end(), [&](const Problem& a, const Problem& b) { return key(a) < key(b); });
  out.erase(std::unique(out.begin(), out.end()), out.end());
  for (const auto& [file, count] : count_of_file_) {
    if (count <= kMostProblemsOfAFile) continue;
    const auto after =
        std::upper_bound(out.begin(), out.end(), file,
                         [](const std::string& f, const Problem& p) { return f < p.place.file; });
    out.insert(
        after,
        whole_file(
            file,
            fmt::format("{} more problems in this file are not shown; cure the first ones and check again",
                        count - kMostProblemsOfAFile)));
  }
  return out;
}

std::string nearest(std::string_view misspelt, const std::vector<std::string>& known) {
  misspelt = misspelt.substr(0, 80);
  std::string best;
  std::size_t least = 2 + misspelt.size() / 3;
  for (const std::string& name : known) {
    const std::size_t d = edit_distance(misspelt, std::string_view(name).substr(0, 80));
    if (d < least) {
      least = d;
      best = name;
    }
  }
  return best;
}

std::string did_you_mean(std::string_view misspelt, const std::vector<std::string>& known) {
  if (const std::string near = nearest(misspelt, known); !near.empty())
    return fmt::format("; did you mean \"{}\"?", near);
  if (known.empty()) return "; there are none";
  std::string list;
  for (std::size_t i = 0; i < known.size() && i < 16; ++i) list += (i == 0 ? "" : ", ") + known[i];
  return fmt::format("; known: {}{}", list, known.size() > 16 ? ", ..." : "");
}

}  // namespace hosefit
