// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

/// Every mapping of the input files as a table of its keys. The same tables drive the reader (check_tree.h)
/// and the JSON Schema (schema.h), so that the two cannot differ.
namespace hosefit {

enum class FileKind { vehicle, engine, pumps, drives, housings, intakes, stock, clamps, limits };
inline constexpr FileKind kFileKinds[] = {FileKind::vehicle, FileKind::engine,   FileKind::pumps,
                                          FileKind::drives,  FileKind::housings, FileKind::intakes,
                                          FileKind::stock,   FileKind::clamps,   FileKind::limits};
std::string_view word(FileKind kind);  ///< as the key `hosefit` says it

enum class ValueKind {
  text,    ///< sentences
  name,    ///< what other places refer to: 1 to 80 bytes, no blank at its ends
  length,  ///< number in the file's unit, or text as "38 mm", "1.5 in", "1-1/2 in"
  angle,   ///< number, degrees
  number,
  integer,
  boolean,    ///< true or false, no other word
  choice,     ///< one of `words`
  direction,  ///< three numbers, not all 0
  list,       ///< of `item`
  mapping,    ///< after `map`
  either      ///< one of `forms`
};

/// Limits of a number; millimetres for lengths, degrees for angles.
struct Range {
  std::optional<double> above{}, at_least{}, below{}, at_most{};
  std::string_view reason{};  ///< why values outside are taken for mistakes
};

struct MapRule;
using MapTable = const MapRule& (*)();

struct ValueRule {
  ValueKind kind = ValueKind::text;
  std::string_view title;  ///< what the value is, as messages say it: "a point [x, y, z]"; may be empty
  Range range;
  std::vector<std::string_view> words;          ///< choice
  std::vector<ValueRule> item;                  ///< list: one
  std::size_t least_items = 0, most_items = 0;  ///< list
  MapTable map = nullptr;                       ///< mapping
  std::vector<ValueRule> forms;                 ///< either
};

struct KeyRule {
  std::string_view key;
  bool required = false;
  ValueRule value;
  std::string_view doc;  ///< one sentence
};

/// When `key` says `word` (or stands at all, when `word` is empty), `needed` must stand too.
struct NeededWith {
  std::string_view key, word, needed;
};

struct MapRule {
  std::string_view what;  ///< "a neck"
  std::string_view id;    ///< its name in the schema: "neck"
  std::vector<KeyRule> keys;
  std::vector<std::vector<std::string_view>> exactly_one = {};   ///< of each group
  std::vector<std::vector<std::string_view>> not_together = {};  ///< at most one of each group
  std::vector<NeededWith> needed_with = {};
};

const KeyRule* find(const MapRule& rule, std::string_view key);

const MapRule& file_table(FileKind kind);  ///< the whole file

// How tables are written.
ValueRule text_value();
ValueRule name_value();
ValueRule boolean_value();
ValueRule direction_value();
ValueRule length_value(Range range);
ValueRule angle_value(Range range);
ValueRule number_value(Range range);
ValueRule integer_value(Range range);
ValueRule choice_of(std::vector<std::string_view> words);
ValueRule list_of(ValueRule item, std::size_t least, std::size_t most);
ValueRule map_of(MapTable map);
ValueRule coordinates_value();      ///< [x, y, z], or {ahead_of_block, y, z}
ValueRule point_value();            ///< coordinates, or {taped: NAME}
ValueRule measured_point_value();   ///< a point, or {at, measured, accuracy}
ValueRule measured_length_value();  ///< a length, or {value, measured, accuracy}

// Mappings that several files use.
const MapRule& shape_table();
const MapRule& obstacle_table();
const MapRule& intake_obstacle_table();  ///< with the key `part`
const MapRule& neck_table();
const MapRule& chassis_neck_table();  ///< with the key `choose`
const MapRule& provenance_table();
const MapRule& resistance_table();
const MapRule& known_space_table();

/// `hosefit`, `format`, `units`, `measured`: the keys every file begins with, followed by its own.
std::vector<KeyRule> with_file_head(FileKind kind, std::vector<KeyRule> own);

template <class Words>
std::vector<std::string_view> words_of(const Words& values) {
  std::vector<std::string_view> words;
  words.reserve(values.size());
  for (const auto value : values) words.push_back(word(value));
  return words;
}

}  // namespace hosefit
