// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cstddef>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "solver/base/quantity.h"
#include "solver/recheck/refusals.h"
#include "solver/recheck/space.h"

/// Reading of the input files for the second time, with nothing of the first reader's code. It does not cure
/// mistakes; it refuses whatever it does not know, so that nothing is skipped unseen.
namespace hosefit::recheck {

struct Value {
  enum class Kind { nothing, word, list, table };
  Kind kind = Kind::nothing;
  std::string text;  ///< word
  bool plain = true;
  std::vector<Value> items;       ///< of a list or a table
  std::vector<std::string> keys;  ///< of a table
  int line = 0, column = 0;       ///< from 1
};

struct YamlFile {
  std::string path;    ///< shown in messages
  std::string folder;  ///< where its meshes lie
  std::string base;    ///< which of the job's folders: vehicle, family or data
  Value root;
  LengthUnit unit = LengthUnit::mm;
  std::map<std::string, V3> taped = {};  ///< points worked out from tapes (tape.h)
};

/// References, tags, double keys and second documents are refused.
Value read_yaml(const std::string& path, const std::string& bytes, Refusals& refusals);

/// One mapping, read key by key. A key that nobody took or set aside is refused by done().
class Table {
 public:
  Table(const YamlFile& file, const Value& value, std::string path, Refusals& refusals);

  bool has(std::string_view key) const { return find(key) != nullptr; }
  bool is_word(std::string_view key) const { return has(key) && find(key)->kind == Value::Kind::word; }
  std::string word(std::string_view key);
  std::string word_or(std::string_view key, std::string_view otherwise);
  /// One of these words, or a refusal.
  std::string one_of(std::string_view key, const std::vector<std::string_view>& words);
  double number(std::string_view key);
  double number_or(std::string_view key, double otherwise);
  bool yes_or(std::string_view key, bool otherwise);
  double length_mm(std::string_view key);
  double length_or(std::string_view key, double otherwise_mm);
  double measured_length_mm(std::string_view key);  ///< or {value, measured, accuracy}
  V3 point_mm(std::string_view key);                ///< [x, y, z], {x | ahead_of_block, y, z}, {taped}
  V3 measured_point_mm(std::string_view key);       ///< or {at, measured, accuracy}
  V3 direction(std::string_view key);               ///< unit
  std::vector<std::string> words(std::string_view key);
  std::vector<double> numbers(std::string_view key);
  std::vector<double> lengths_mm(std::string_view key);
  std::vector<V3> points_mm(std::string_view key);
  std::vector<V2> pairs_mm(std::string_view key);
  Table table(std::string_view key);
  std::vector<Table> tables(std::string_view key);  ///< empty when the key is not there

  /// Bears on nothing that is checked here.
  void set_aside(std::string_view key) { take(key); }
  void done();
  void refuse(std::string_view key, std::string text);

  const std::vector<std::string>& keys() const { return value_->keys; }
  const YamlFile& file() const { return *file_; }
  const Value& value() const { return *value_; }

 private:
  const Value* find(std::string_view key) const;
  const Value* take(std::string_view key);
  const Value* want(std::string_view key);
  void refuse_value(const Value& value, std::string_view key, std::string text);
  template <class Each>
  void each_of(const Value* list, std::string_view key, const Each& each);  ///< nothing when there is none
  double number_of(const Value& value, std::string_view key);
  double length_of(const Value& value, std::string_view key);
  V3 point_of(const Value& value, std::string_view key);

  const YamlFile* file_;
  const Value* value_;
  std::string path_;
  Refusals* refusals_;
  std::vector<bool> taken_;
};

}  // namespace hosefit::recheck
