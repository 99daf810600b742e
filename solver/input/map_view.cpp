// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/input/map_view.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "solver/input/scalar.h"

namespace hosefit {
namespace {

constexpr std::array kMethods{MeasuredBy::tape,    MeasuredBy::jig,     MeasuredBy::scan,
                              MeasuredBy::caliper, MeasuredBy::drawing, MeasuredBy::assumed};
const YamlNode& nothing() {
  static const YamlNode node = [] {
    YamlNode n;
    n.kind = YamlNode::Kind::mapping;
    return n;
  }();
  return node;
}

const TapePlace* taped_at(const InputFile& file, const YamlNode& node) {
  const YamlNode* name = find(node, "taped");
  const auto found = name == nullptr ? file.taped.end() : file.taped.find(name->text);
  return found == file.taped.end() ? nullptr : &found->second;
}
double worst_taped_mm(const InputFile& file, const YamlNode& node) {
  double worst = 0;
  if (const TapePlace* place = taped_at(file, node)) worst = place->accuracy_mm;
  for (const YamlNode& item : node.items) worst = std::max(worst, worst_taped_mm(file, item));
  return worst;
}

}  // namespace

std::string MapView::path(std::string_view key) const {
  return path_.empty() ? std::string(key) : fmt::format("{}.{}", path_, key);
}
Place MapView::place() const {
  return {file_->source.path, node_->line, node_->column};
}
Place MapView::place(std::string_view key) const {
  const YamlNode* value = find(*node_, key);
  return value == nullptr ? place() : Place{file_->source.path, value->line, value->column};
}

std::string MapView::text(std::string_view key) const {
  const YamlNode* value = find(*node_, key);
  return value == nullptr ? "" : value->text;
}
double MapView::number(std::string_view key, double fallback) const {
  const YamlNode* value = find(*node_, key);
  return value == nullptr ? fallback : read_number(*value).value.value_or(fallback);
}
int MapView::integer(std::string_view key, int fallback) const {
  const double value = number(key, fallback);
  return std::abs(value) < 1e9 ? static_cast<int>(value) : fallback;
}
bool MapView::boolean(std::string_view key, bool fallback) const {
  const YamlNode* value = find(*node_, key);
  return value == nullptr ? fallback : read_boolean(*value).value.value_or(fallback);
}
Length MapView::length(std::string_view key, Length fallback) const {
  const YamlNode* value = find(*node_, key);
  return value == nullptr ? fallback : read_length(*value, file_->units).value.value_or(fallback);
}
Angle MapView::angle(std::string_view key, Angle fallback) const {
  const YamlNode* value = find(*node_, key);
  if (value == nullptr) return fallback;
  const auto degrees = read_number(*value).value;
  return degrees ? Angle::deg(*degrees) : fallback;
}

Vec3 MapView::point_of(const YamlNode& node) const {
  Vec3 point = Vec3::Zero();
  if (const TapePlace* place = taped_at(*file_, node)) return place->at_mm;
  if (node.kind == YamlNode::Kind::list && node.items.size() == 3) {
    for (std::size_t i = 0; i < 3; ++i)
      point[static_cast<Eigen::Index>(i)] =
          read_length(node.items[i], file_->units).value.value_or(Length{}).mm();
  } else if (node.kind == YamlNode::Kind::mapping) {
    const MapView map(*file_, node, "");
    point = {map.has("ahead_of_block") ? -map.length("ahead_of_block").mm() + 0.0 : map.length("x").mm(),
             map.length("y").mm(), map.length("z").mm()};
  }
  return point;
}
Vec3 MapView::point_mm(std::string_view key) const {
  const YamlNode* value = find(*node_, key);
  return value == nullptr ? Vec3::Zero() : point_of(*value);
}
Vec3 MapView::direction(std::string_view key, const Vec3& fallback) const {
  const YamlNode* value = find(*node_, key);
  if (value == nullptr || value->items.size() != 3) return fallback;
  Vec3 d = Vec3::Zero();
  for (std::size_t i = 0; i < 3; ++i)
    d[static_cast<Eigen::Index>(i)] = read_number(value->items[i]).value.value_or(0);
  return d.norm() > 0 ? d.normalized() : fallback;
}
std::vector<std::string> MapView::texts(std::string_view key) const {
  std::vector<std::string> out;
  if (const YamlNode* value = find(*node_, key))
    for (const YamlNode& item : value->items) out.push_back(item.text);
  return out;
}
std::vector<double> MapView::numbers(std::string_view key) const {
  std::vector<double> out;
  if (const YamlNode* value = find(*node_, key))
    for (const YamlNode& item : value->items) out.push_back(read_number(item).value.value_or(0));
  return out;
}
std::vector<Length> MapView::lengths(std::string_view key) const {
  std::vector<Length> out;
  if (const YamlNode* value = find(*node_, key))
    for (const YamlNode& item : value->items)
      out.push_back(read_length(item, file_->units).value.value_or(Length{}));
  return out;
}
std::vector<Angle> MapView::angles(std::string_view key) const {
  std::vector<Angle> out;
  if (const YamlNode* value = find(*node_, key))
    for (const YamlNode& item : value->items) out.push_back(Angle::deg(read_number(item).value.value_or(0)));
  return out;
}
std::vector<Vec3> MapView::points_mm(std::string_view key) const {
  std::vector<Vec3> out;
  if (const YamlNode* value = find(*node_, key))
    for (const YamlNode& item : value->items) out.push_back(point_of(item));
  return out;
}
std::vector<Vec2> MapView::pairs_mm(std::string_view key) const {
  std::vector<Vec2> out;
  if (const YamlNode* value = find(*node_, key))
    for (const YamlNode& item : value->items)
      if (item.items.size() == 2)
        out.emplace_back(read_length(item.items[0], file_->units).value.value_or(Length{}).mm(),
                         read_length(item.items[1], file_->units).value.value_or(Length{}).mm());
  return out;
}

MeasuredBy MapView::method() const {
  return choice("measured", kMethods, file_->method);
}
Length MapView::accuracy() const {
  return length("accuracy", default_accuracy(method()));
}

Length MapView::taped_accuracy() const {
  return Length::mm(worst_taped_mm(*file_, *node_));
}

Measured<Vec3> MapView::measured_point(std::string_view key) const {
  Measured<Vec3> out{point_mm(key), method(), accuracy(), place(key)};
  if (const YamlNode* value = find(*node_, key); value != nullptr)
    if (const TapePlace* taped = taped_at(*file_, *value))
      return {taped->at_mm, MeasuredBy::tape, Length::mm(taped->accuracy_mm), out.place};
  if (const YamlNode* value = find(*node_, key); value != nullptr && find(*value, "at") != nullptr) {
    const MapView own(*file_, *value, "");
    out.value = own.point_mm("at");
    if (own.has("measured")) {
      out.method = own.method();
      out.accuracy = default_accuracy(out.method);
    }
    out.accuracy = own.length("accuracy", out.accuracy);
  }
  return out;
}
Measured<double> MapView::measured_length_mm(std::string_view key) const {
  Measured<double> out{length(key).mm(), method(), accuracy(), place(key)};
  if (const YamlNode* value = find(*node_, key); value != nullptr && value->kind == YamlNode::Kind::mapping) {
    const MapView own(*file_, *value, "");
    out.value = own.length("value").mm();
    out.method = own.method();
    out.accuracy = own.accuracy();
  }
  return out;
}

MapView MapView::map(std::string_view key) const {
  const YamlNode* value = find(*node_, key);
  return {*file_, value == nullptr ? nothing() : *value, path(key)};
}
std::vector<MapView> MapView::maps(std::string_view key) const {
  std::vector<MapView> out;
  if (const YamlNode* value = find(*node_, key); value != nullptr && value->kind == YamlNode::Kind::list)
    for (std::size_t i = 0; i < value->items.size(); ++i)
      out.emplace_back(*file_, value->items[i], fmt::format("{}[{}]", path(key), i));
  return out;
}
std::string MapView::only_key() const {
  return node_->keys.empty() ? "" : node_->keys.front().text;
}

void MapView::refuse(ProblemLog& log, std::string_view key, std::string said) const {
  const Place at = place(key);
  log.add(file_->source, at.line, at.column, path(key), std::move(said));
}
void MapView::refuse(ProblemLog& log, std::string said) const {
  log.add(file_->source, node_->line, node_->column, path_, std::move(said));
}
void MapView::refuse_item(ProblemLog& log, std::string_view key, std::size_t index, std::string said) const {
  const YamlNode* list = find(*node_, key);
  if (list == nullptr || index >= list->items.size()) return refuse(log, key, std::move(said));
  log.add(file_->source, list->items[index].line, list->items[index].column,
          fmt::format("{}[{}]", path(key), index), std::move(said));
}

}  // namespace hosefit
