// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "solver/base/measured.h"
#include "solver/geometry/vec.h"
#include "solver/input/check_tree.h"

namespace hosefit {

/// One mapping of a checked tree, read key by key. The checks are done (check_tree.h): a key that does not
/// stand, or was refused, gives the fallback, and the run ends in problems anyhow.
class MapView {
 public:
  MapView(const InputFile& file, const YamlNode& node, std::string path)
      : file_(&file), node_(&node), path_(std::move(path)) {}

  bool ok() const { return node_->ok; }
  bool has(std::string_view key) const { return find(*node_, key) != nullptr; }
  const std::string& path() const { return path_; }
  std::string path(std::string_view key) const;
  Place place() const;                      ///< of the mapping
  Place place(std::string_view key) const;  ///< of the key's value; of the mapping when it does not stand
  const InputFile& file() const { return *file_; }

  std::string text(std::string_view key) const;
  double number(std::string_view key, double fallback = 0) const;
  int integer(std::string_view key, int fallback = 0) const;
  bool boolean(std::string_view key, bool fallback) const;
  Length length(std::string_view key, Length fallback = {}) const;
  Angle angle(std::string_view key, Angle fallback = {}) const;
  Vec3 point_mm(std::string_view key) const;
  Vec3 direction(std::string_view key, const Vec3& fallback = Vec3::UnitZ()) const;  ///< unit
  std::vector<std::string> texts(std::string_view key) const;
  std::vector<double> numbers(std::string_view key) const;
  std::vector<Length> lengths(std::string_view key) const;
  std::vector<Angle> angles(std::string_view key) const;
  std::vector<Vec3> points_mm(std::string_view key) const;
  std::vector<Vec2> pairs_mm(std::string_view key) const;

  /// The value's own method and accuracy before those of the mapping it stands in, before the file's method.
  Measured<Vec3> measured_point(std::string_view key) const;
  Measured<double> measured_length_mm(std::string_view key) const;
  MeasuredBy method() const;  ///< keys `measured` and `accuracy` of this mapping
  Length accuracy() const;
  /// The worst accuracy of all taped points in this mapping, at any depth; 0 without any.
  Length taped_accuracy() const;

  /// The value of an enum whose word stands there.
  template <class Enum, class Values>
  Enum choice(std::string_view key, const Values& values, Enum fallback) const {
    const std::string said = text(key);
    for (const Enum value : values)
      if (word(value) == said) return value;
    return fallback;
  }

  MapView map(std::string_view key) const;                ///< an empty mapping when it does not stand
  std::vector<MapView> maps(std::string_view key) const;  ///< the mappings of a list
  std::string only_key() const;                           ///< first key

  void refuse(ProblemLog& log, std::string_view key, std::string text) const;  ///< at the key's value
  void refuse(ProblemLog& log, std::string text) const;                        ///< at the mapping
  /// At element `index` of a list.
  void refuse_item(ProblemLog& log, std::string_view key, std::size_t index, std::string text) const;

 private:
  Vec3 point_of(const YamlNode& node) const;
  const InputFile* file_;
  const YamlNode* node_;
  std::string path_;
};

}  // namespace hosefit
