// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/recheck/record_places.h"

#include <algorithm>
#include <charconv>
#include <optional>

namespace hosefit::recheck {
namespace {

/// Steps over a valid JSON text; the library that reads it keeps no places.
class Steps {
 public:
  explicit Steps(std::string_view text) : text_(text) { skip_space(); }

  std::size_t at() const { return at_; }
  bool into_key(std::string_view wanted) {
    return into('{', [&](std::size_t) {
      const std::size_t begin = at_ + 1;
      skip_text();
      const bool found = text_.substr(begin, at_ - 1 - begin) == wanted;
      skip_space();
      step();  // the colon
      return found;
    });
  }
  bool into_item(std::size_t wanted) {
    return into('[', [&](std::size_t index) { return index == wanted; });
  }

 private:
  char here() const { return at_ < text_.size() ? text_[at_] : '\0'; }
  void step() {
    ++at_;
    skip_space();
  }
  void skip_space() {
    while (at_ < text_.size() && std::string_view(" \t\r\n").find(text_[at_]) != std::string_view::npos)
      ++at_;
  }
  void skip_text() {
    for (++at_; at_ < text_.size() && text_[at_] != '"'; ++at_)
      if (text_[at_] == '\\') ++at_;
    at_ = std::min(at_ + 1, text_.size());
  }
  void skip_value() {
    int depth = 0;
    do {
      if (here() == '"') {
        skip_text();
        continue;
      }
      if (here() == '{' || here() == '[') ++depth;
      if (here() == '}' || here() == ']') --depth;
      ++at_;
    } while (at_ < text_.size() &&
             (depth > 0 || std::string_view(",]}").find(here()) == std::string_view::npos));
  }
  // To the value that is meant; where there is none nothing has moved.
  template <class IsMeant>
  bool into(char opening, const IsMeant& is_meant) {
    if (here() != opening) return false;
    const std::size_t before = at_;
    step();
    for (std::size_t index = 0; here() != '\0' && here() != '}' && here() != ']'; ++index) {
      if (is_meant(index)) return true;
      skip_value();
      if (here() == ',') step();
    }
    at_ = before;
    return false;
  }

  std::string_view text_;
  std::size_t at_ = 0;
};

}  // namespace

Place place_of(const std::string& file, std::string_view text, std::size_t at) {
  const std::string_view before = text.substr(0, std::min(at, text.size()));
  const std::size_t line_begin = before.rfind('\n');  // npos + 1 is 0
  return {file, 1 + static_cast<int>(std::count(before.begin(), before.end(), '\n')),
          1 + static_cast<int>(before.size() - (line_begin + 1))};
}

Place place_of_path(const std::string& file, std::string_view text, std::string_view path) {
  Steps steps(text);
  bool found = true;
  while (found && !path.empty()) {
    if (path.front() == '[') {
      std::size_t index = 0;
      const std::size_t end = std::min(path.find(']'), path.size() - 1);
      std::from_chars(path.data() + 1, path.data() + end, index);
      found = steps.into_item(index);
      path.remove_prefix(end + 1);
    } else {
      const std::size_t end = std::min(path.find_first_of(".["), path.size());
      found = steps.into_key(path.substr(0, end));
      path.remove_prefix(end);
    }
    if (!path.empty() && path.front() == '.') path.remove_prefix(1);
  }
  return place_of(file, text, steps.at());
}

}  // namespace hosefit::recheck
