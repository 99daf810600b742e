// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/input/scalar.h"

#include <fmt/format.h>

#include <charconv>
#include <cmath>

namespace hosefit {
namespace {

bool is_digit(char c) {
  return c >= '0' && c <= '9';
}
std::size_t digits(std::string_view text, std::size_t from) {
  std::size_t n = from;
  while (n < text.size() && is_digit(text[n])) ++n;
  return n - from;
}

// Length of the JSON number that `text` begins with; 0 when it begins with none.
std::size_t json_number(std::string_view text) {
  std::size_t at = text.starts_with('-') ? 1 : 0;
  const std::size_t whole = digits(text, at);
  if (whole == 0 || (whole > 1 && text[at] == '0')) return 0;
  at += whole;
  if (at < text.size() && text[at] == '.') {
    const std::size_t places = digits(text, at + 1);
    if (places == 0) return 0;
    at += 1 + places;
  }
  if (at < text.size() && (text[at] == 'e' || text[at] == 'E')) {
    std::size_t power = at + 1;
    if (power < text.size() && (text[power] == '+' || text[power] == '-')) ++power;
    const std::size_t places = digits(text, power);
    if (places > 0) at = power + places;
  }
  return at;
}

// The cure for the usual ways to miss a number.
std::string why_no_number(std::string_view text) {
  std::string_view t = text;
  if (t.starts_with('-') || t.starts_with('+')) t.remove_prefix(1);
  if (t.find("inf") != std::string_view::npos || t.find("nan") != std::string_view::npos)
    return "; it must be finite";
  if (text.starts_with('+')) return "; leave the plus sign out";
  if (t.size() > 1 && t[0] == '0' && is_digit(t[1]))
    return "; leave the leading 0 out, other programs read it as octal";
  if (t.starts_with("0x") || t.starts_with("0o") || t.starts_with("0b")) return "; write it in decimal";
  if (t.find('_') != std::string_view::npos) return "; leave the _ out";
  if (t.find(',') != std::string_view::npos) return "; write a decimal point";
  if (t.starts_with('.')) return "; write a 0 before the point";
  if (t.ends_with('.')) return "; write a 0 after the point or leave the point out";
  return "";
}

bool is_word_of_yaml(std::string_view text) {
  return text == "true" || text == "false" || text == "null" || text == "~";
}

bool has_control_byte(std::string_view text, bool line_ends_allowed) {
  for (const char c : text)
    if ((static_cast<unsigned char>(c) < 0x20 && !(line_ends_allowed && (c == '\n' || c == '\t'))) ||
        c == 0x7F)
      return true;
  return false;
}

// "1-1/2", "1 1/2" or "3/4".
bool is_fraction(std::string_view text) {
  std::size_t at = text.starts_with('-') ? 1 : 0;
  std::size_t n = digits(text, at);
  if (n == 0 || text[at] == '0' || n > 6) return false;
  at += n;
  if (at < text.size() && (text[at] == '-' || text[at] == ' ')) {
    n = digits(text, ++at);
    if (n == 0 || text[at] == '0' || n > 6) return false;
    at += n;
  }
  if (at >= text.size() || text[at] != '/') return false;
  n = digits(text, ++at);
  return n > 0 && n <= 6 && text[at] != '0' && at + n == text.size();
}

bool ends_in_known_unit(std::string_view text) {
  return text.ends_with("mm") || text.ends_with("in");
}

}  // namespace

std::string described(const YamlNode& node) {
  switch (node.kind) {
    case YamlNode::Kind::null:
      return "nothing";
    case YamlNode::Kind::list:
      return fmt::format("a list of {}", node.items.size());
    case YamlNode::Kind::mapping:
      return "a mapping";
    case YamlNode::Kind::scalar:
      break;
  }
  std::string shown = node.text.substr(0, 40);
  while (!shown.empty() && shown.size() < node.text.size() &&
         (static_cast<unsigned char>(node.text[shown.size()]) & 0xC0) == 0x80)
    shown.pop_back();
  for (char& c : shown)
    if (static_cast<unsigned char>(c) < 0x20 || c == 0x7F) c = '?';
  return fmt::format("\"{}{}\"{}", shown, shown.size() < node.text.size() ? "..." : "",
                     node.plain ? "" : " in quotes");
}

Scalar<double> read_number(const YamlNode& node) {
  if (node.kind != YamlNode::Kind::scalar) return {};
  const std::string& text = node.text;
  if (!node.plain)
    return {std::nullopt, json_number(text) == text.size() && !text.empty() ? "; take the quotes away" : ""};
  if (text.empty() || json_number(text) != text.size()) return {std::nullopt, why_no_number(text)};
  double value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error == std::errc::result_out_of_range)
    return {std::nullopt, "; it is beyond what can be computed with"};
  if (error != std::errc{} || end != text.data() + text.size() || !std::isfinite(value)) return {};
  return {value + 0.0, ""};
}

Scalar<bool> read_boolean(const YamlNode& node) {
  if (node.kind != YamlNode::Kind::scalar) return {};
  if (node.plain && node.text == "true") return {true, ""};
  if (node.plain && node.text == "false") return {false, ""};
  return {};
}

Scalar<Length> read_length(const YamlNode& node, LengthUnit units) {
  if (node.kind != YamlNode::Kind::scalar) return {};
  if (const Scalar<double> number = read_number(node); number.value)
    return {units == LengthUnit::mm ? Length::mm(*number.value) : Length::inch(*number.value), ""};
  std::string_view text = node.text;
  if (!ends_in_known_unit(text)) {
    const std::size_t n = json_number(text);
    if (n == text.size() && n > 0)
      return {std::nullopt, node.plain ? "; it is beyond what can be computed with"
                                       : "; take the quotes away or add mm or in"};
    if (is_fraction(text)) return {std::nullopt, "; a fraction needs its unit, as in \"1-1/2 in\""};
    if (n > 0 && !is_digit(text[n]) && text[n] != '_' && text[n] != ',' && text[n] != '.' && text[n] != 'x')
      return {std::nullopt, "; units are mm and in"};
    return {std::nullopt, why_no_number(text)};
  }
  const bool inches = text.ends_with("in");
  text.remove_suffix(2);
  if (text.ends_with(' ')) text.remove_suffix(1);
  const bool fraction = is_fraction(text);
  if (fraction && !inches) return {std::nullopt, "; write millimetres with a decimal point"};
  if (!fraction && (text.empty() || json_number(text) != text.size()))
    return {std::nullopt, why_no_number(text)};
  const std::optional<Length> length = parse_length(text, inches ? LengthUnit::inch : LengthUnit::mm);
  if (!length || !std::isfinite(length->mm()))
    return {std::nullopt, "; it is beyond what can be computed with"};
  return {*length, ""};
}

std::string_view length_pattern() {
  return R"(^(-?(0|[1-9][0-9]*)(\.[0-9]+)?([eE][+-]?[0-9]+)? ?(mm|in)|-?([1-9][0-9]{0,5}[- ])?[1-9][0-9]{0,5}/[1-9][0-9]{0,5} ?in)$)";
}
std::string_view name_pattern() {
  return R"(^\S(.*\S)?$)";
}

Scalar<std::string> read_name(const YamlNode& node) {
  if (node.kind != YamlNode::Kind::scalar) return {};
  const std::string& text = node.text;
  if (node.plain && (read_number(node).value || is_word_of_yaml(text)))
    return {std::nullopt, "; put it in quotes"};
  if (text.empty()) return {};
  if (text.size() > 80) return {std::nullopt, "; names have at most 80 bytes"};
  if (text.front() == ' ' || text.back() == ' ') return {std::nullopt, "; take the blank at its end away"};
  if (has_control_byte(text, false)) return {std::nullopt, "; it holds a control byte"};
  return {text, ""};
}

Scalar<std::string> read_text(const YamlNode& node) {
  if (node.kind != YamlNode::Kind::scalar) return {};
  if (node.plain && (read_number(node).value || is_word_of_yaml(node.text)))
    return {std::nullopt, "; put it in quotes"};
  if (node.text.empty()) return {};
  if (node.text.size() > 4000) return {std::nullopt, "; at most 4000 bytes"};
  if (has_control_byte(node.text, true)) return {std::nullopt, "; it holds a control byte"};
  return {node.text, ""};
}

}  // namespace hosefit
