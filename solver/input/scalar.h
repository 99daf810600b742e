// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>
#include <string>
#include <string_view>

#include "solver/base/quantity.h"
#include "solver/input/yaml_tree.h"

/// Single values out of the tree. Numbers are written as JSON writes them, whatever the locale; what other
/// readers of YAML take for numbers or booleans in another way (010, 0x10, 1_000, .inf, yes, on) is refused.
namespace hosefit {

/// A value, or why it is none (the end of a sentence, may be empty).
template <class T>
struct Scalar {
  std::optional<T> value;
  std::string why;
};

Scalar<double> read_number(const YamlNode& node);
Scalar<bool> read_boolean(const YamlNode& node);
/// A number in `units`, or text with its unit: "38 mm", "38mm", "1.5 in", "1-1/2 in", "3/4 in". A fraction of
/// millimetres is refused, and text without a unit.
Scalar<Length> read_length(const YamlNode& node, LengthUnit units);

/// Regular expressions (ECMA 262) of the same, for the JSON Schema.
std::string_view length_pattern();
std::string_view name_pattern();

/// At most 80 bytes, no blank at its ends, no control bytes; a plain number or true or false must be put in
/// quotes.
Scalar<std::string> read_name(const YamlNode& node);
Scalar<std::string> read_text(
    const YamlNode& node);  ///< at most 4000 bytes, not empty, no control bytes but line ends

/// For messages: nothing, a list of 3, a mapping, "text".
std::string described(const YamlNode& node);

}  // namespace hosefit
