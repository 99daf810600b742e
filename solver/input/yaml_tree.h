// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "solver/input/source_text.h"

/// The part of YAML that input files may use, as a plain tree that knows where everything stands.
/// Refused with a problem: anchors, aliases, tags, more or fewer than one document, keys given twice, keys
/// that are not text, bytes that are not UTF-8, control bytes, more than 4 MiB, 32 levels or 200 000 values,
/// and whatever the parser refuses.
namespace hosefit {

struct YamlKey {
  std::string text;
  int line = 0, column = 0;  ///< from 1; columns in bytes
};

struct YamlNode {
  enum class Kind { null, scalar, list, mapping };
  Kind kind = Kind::null;
  std::string text;             ///< scalar
  bool plain = false;           ///< scalar without quotes: may be a number, true or false
  int line = 0, column = 0;     ///< from 1; of a value that is not there: its key's
  std::vector<YamlKey> keys;    ///< mapping: one for each item
  std::vector<YamlNode> items;  ///< list or mapping
  bool ok = true;               ///< false once something in it was refused
};

/// The value of a key; null when there is none. Of a key given twice the first.
const YamlNode* find(const YamlNode& mapping, std::string_view key);
YamlNode* find(YamlNode& mapping, std::string_view key);

/// Empty when the file is refused as a whole; a tree with parts refused otherwise. Every refusal is in the
/// log.
std::optional<YamlNode> read_yaml(const SourceText& source, ProblemLog& log);

inline constexpr std::size_t kMostYamlBytes = std::size_t{4} << 20;

}  // namespace hosefit
