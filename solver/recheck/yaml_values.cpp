// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/recheck/yaml_values.h"

#include <fmt/format.h>
#include <yaml-cpp/yaml.h>

#include <algorithm>
#include <charconv>
#include <cmath>

namespace hosefit::recheck {
namespace {

constexpr std::size_t kMostValues = 300000;
constexpr int kMostDepth = 40;

// Follows yaml-cpp's own tree. Its nodes are shared where a reference stands, so a value met twice is one.
class Copier {
 public:
  Copier(const std::string& path, Refusals& refusals) : path_(path), refusals_(refusals) {}

  Value copy(const YAML::Node& node, int depth) {
    Value out;
    out.line = node.Mark().line + 1;
    out.column = node.Mark().column + 1;
    if (++count_ > kMostValues || depth > kMostDepth) {
      if (!given_up_) refuse(out, "more values, or deeper nested, than are read");
      given_up_ = true;
      return out;
    }
    const std::string& tag = node.Tag();
    if (!(tag.empty() || tag == "?" || tag == "!")) refuse(out, "tags are not read");
    if (node.IsScalar()) {
      out.kind = Value::Kind::word;
      out.text = node.Scalar();
      out.plain = tag == "?";
    } else if (node.IsSequence()) {
      out.kind = Value::Kind::list;
      for (const YAML::Node& item : node) out.items.push_back(copy(item, depth + 1));
    } else if (node.IsMap()) {
      out.kind = Value::Kind::table;
      for (const auto& entry : node) add_entry(out, entry.first, entry.second, depth);
    }
    return out;
  }

 private:
  void add_entry(Value& out, const YAML::Node& key, const YAML::Node& value, int depth) {
    if (!key.IsScalar()) return refuse(out, "a key that is no word");
    if (std::find(out.keys.begin(), out.keys.end(), key.Scalar()) != out.keys.end())
      return refuse(out, fmt::format("the key {} stands twice", key.Scalar()));
    out.keys.push_back(key.Scalar());
    out.items.push_back(copy(value, depth + 1));
  }
  void refuse(const Value& at, std::string text) {
    refusals_.add({path_, at.line, at.column}, "", std::move(text));
  }

  const std::string& path_;
  Refusals& refusals_;
  std::size_t count_ = 0;
  bool given_up_ = false;
};

// References and names for values are not in the grammar of the input: a word that begins with & or * and is
// not quoted. yaml-cpp resolves them silently, so its events are asked first.
bool has_reference(const std::string& bytes) {
  const auto begins_value = [&](std::size_t at) {
    return at == 0 || std::string_view(" \t\n[{,").find(bytes[at - 1]) != std::string_view::npos;
  };
  char quote = 0;
  bool comment = false;
  for (std::size_t i = 0; i < bytes.size(); ++i) {
    const char c = bytes[i];
    if (comment) {
      comment = c != '\n';
    } else if (quote != 0) {
      if (quote == '"' && c == '\\')
        ++i;
      else if (c == quote)
        quote = 0;
    } else if ((c == '"' || c == '\'') && begins_value(i)) {
      quote = c;
    } else if (c == '#' && begins_value(i)) {
      comment = true;
    } else if ((c == '&' || c == '*') && begins_value(i) && i + 1 < bytes.size() && bytes[i + 1] > ' ') {
      return true;
    }
  }
  return false;
}

std::optional<double> plain_number(std::string_view text) {
  const std::string_view digits = text.starts_with('-') ? text.substr(1) : text;
  if (digits.empty() || digits[0] < '0' || digits[0] > '9') return std::nullopt;
  if (digits.size() > 1 && digits[0] == '0' && digits[1] >= '0' && digits[1] <= '9') return std::nullopt;
  double value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc{} || end != text.data() + text.size() || !std::isfinite(value)) return std::nullopt;
  return value;
}

}  // namespace

Value read_yaml(const std::string& path, const std::string& bytes, Refusals& refusals) {
  if (has_reference(bytes)) {
    refusals.add({path, 0, 0}, "", "references (&name, *name) are not read");
    return {};
  }
  try {
    const std::vector<YAML::Node> documents = YAML::LoadAll(bytes);
    if (documents.size() == 1) return Copier(path, refusals).copy(documents.front(), 0);
    refusals.add({path, 0, 0}, "", fmt::format("want one document, found {}", documents.size()));
  } catch (const YAML::Exception& error) {
    refusals.add({path, error.mark.line + 1, error.mark.column + 1}, "", error.msg);
  }
  return {};
}

Table::Table(const YamlFile& file, const Value& value, std::string path, Refusals& refusals)
    : file_(&file), value_(&value), path_(std::move(path)), refusals_(&refusals), taken_(value.keys.size()) {
  if (value.kind != Value::Kind::table) refuse_value(value, "", "want a mapping");
}

const Value* Table::find(std::string_view key) const {
  const auto at = std::find(value_->keys.begin(), value_->keys.end(), key);
  return at == value_->keys.end() ? nullptr
                                  : &value_->items[static_cast<std::size_t>(at - value_->keys.begin())];
}
const Value* Table::take(std::string_view key) {
  const Value* found = find(key);
  if (found != nullptr) taken_[static_cast<std::size_t>(found - value_->items.data())] = true;
  return found;
}
const Value* Table::want(std::string_view key) {
  const Value* found = take(key);
  if (found == nullptr && value_->kind == Value::Kind::table) refuse_value(*value_, key, "is missing");
  return found;
}
void Table::refuse_value(const Value& value, std::string_view key, std::string text) {
  refusals_->add({file_->path, value.line, value.column},
                 path_.empty() ? std::string(key)
                 : key.empty() ? path_
                               : fmt::format("{}.{}", path_, key),
                 std::move(text));
}
void Table::refuse(std::string_view key, std::string text) {
  const Value* at = find(key);
  refuse_value(at == nullptr ? *value_ : *at, key, std::move(text));
}
void Table::done() {
  for (std::size_t i = 0; i < taken_.size(); ++i)
    if (!taken_[i])
      refuse_value(value_->items[i], value_->keys[i],
                   "this key is not known to the recheck, which therefore cannot vouch for the file");
}

std::string Table::word(std::string_view key) {
  const Value* value = want(key);
  if (value == nullptr) return {};
  if (value->kind != Value::Kind::word || value->text.empty()) {
    refuse_value(*value, key, "want a word");
    return {};
  }
  return value->text;
}
std::string Table::word_or(std::string_view key, std::string_view otherwise) {
  return has(key) ? word(key) : std::string(otherwise);
}
std::string Table::one_of(std::string_view key, const std::vector<std::string_view>& words) {
  std::string found = word(key);
  if (!found.empty() && std::find(words.begin(), words.end(), found) == words.end())
    refuse(key, fmt::format("the recheck does not know \"{}\"", found));
  return found;
}

double Table::number_of(const Value& value, std::string_view key) {
  if (value.kind == Value::Kind::word && value.plain)
    if (const auto number = plain_number(value.text)) return *number;
  refuse_value(value, key, "want a number");
  return 0;
}
double Table::number(std::string_view key) {
  const Value* value = want(key);
  return value == nullptr ? 0 : number_of(*value, key);
}
double Table::number_or(std::string_view key, double otherwise) {
  return has(key) ? number(key) : otherwise;
}
bool Table::yes_or(std::string_view key, bool otherwise) {
  const Value* value = take(key);
  if (value == nullptr) return otherwise;
  if (value->kind == Value::Kind::word && value->plain && (value->text == "true" || value->text == "false"))
    return value->text == "true";
  refuse_value(*value, key, "want true or false");
  return otherwise;
}

double Table::length_of(const Value& value, std::string_view key) {
  if (value.kind == Value::Kind::word) {
    if (value.plain)
      if (const auto number = plain_number(value.text))
        return *number * (file_->unit == LengthUnit::inch ? 25.4 : 1.0);
    if (value.text.ends_with("mm") || value.text.ends_with("in"))
      if (const auto length = parse_length(value.text, LengthUnit::mm); length && std::isfinite(length->mm()))
        return length->mm();
  }
  refuse_value(value, key, "want a length");
  return 0;
}
double Table::length_mm(std::string_view key) {
  const Value* value = want(key);
  return value == nullptr ? 0 : length_of(*value, key);
}
double Table::length_or(std::string_view key, double otherwise_mm) {
  return has(key) ? length_mm(key) : otherwise_mm;
}
double Table::measured_length_mm(std::string_view key) {
  const Value* value = find(key);
  if (value == nullptr || value->kind != Value::Kind::table) return length_mm(key);
  Table own = table(key);
  const double found = own.length_mm("value");
  own.set_aside("measured");
  own.set_aside("accuracy");
  own.done();
  return found;
}

V3 Table::point_of(const Value& value, std::string_view key) {
  V3 out = V3::Zero();
  if (value.kind == Value::Kind::list && value.items.size() == 3) {
    for (std::size_t i = 0; i < 3; ++i) out[static_cast<Eigen::Index>(i)] = length_of(value.items[i], key);
    return out;
  }
  if (value.kind != Value::Kind::table) {
    refuse_value(value, key, "want a point");
    return out;
  }
  Table own(*file_, value, path_.empty() ? std::string(key) : fmt::format("{}.{}", path_, key), *refusals_);
  if (own.has("taped")) {
    const auto place = file_->taped.find(own.word("taped"));
    if (place == file_->taped.end()) own.refuse("taped", "no point of that name was worked out");
    own.done();
    return place == file_->taped.end() ? out : place->second;
  }
  if (own.has("x") == own.has("ahead_of_block")) own.refuse("", "want one of x and ahead_of_block");
  out = {own.has("x") ? own.length_mm("x") : -own.length_or("ahead_of_block", 0), own.length_mm("y"),
         own.length_mm("z")};
  own.done();
  return out;
}
V3 Table::point_mm(std::string_view key) {
  const Value* value = want(key);
  return value == nullptr ? V3::Zero() : point_of(*value, key);
}
V3 Table::measured_point_mm(std::string_view key) {
  const Value* value = find(key);
  if (value == nullptr || value->kind != Value::Kind::table ||
      std::find(value->keys.begin(), value->keys.end(), "at") == value->keys.end())
    return point_mm(key);
  Table own = table(key);
  V3 found = own.point_mm("at");
  own.set_aside("measured");
  own.set_aside("accuracy");
  own.done();
  return found;
}
V3 Table::direction(std::string_view key) {
  const std::vector<double> n = numbers(key);
  const V3 d = n.size() == 3 ? V3(n[0], n[1], n[2]) : V3::Zero();
  if (d.norm() > 0) return d.normalized();
  if (has(key)) refuse(key, "want a direction");
  return V3::UnitZ();
}

template <class Each>
void Table::each_of(const Value* list, std::string_view key, const Each& each) {
  if (list == nullptr) return;
  if (list->kind != Value::Kind::list) refuse_value(*list, key, "want a list");
  for (const Value& item : list->items) each(item);
}

std::vector<std::string> Table::words(std::string_view key) {
  std::vector<std::string> out;
  each_of(take(key), key, [&](const Value& item) {
    if (item.kind != Value::Kind::word) refuse_value(item, key, "want a word");
    out.push_back(item.text);
  });
  return out;
}
std::vector<double> Table::numbers(std::string_view key) {
  std::vector<double> out;
  each_of(want(key), key, [&](const Value& item) { out.push_back(number_of(item, key)); });
  return out;
}
std::vector<double> Table::lengths_mm(std::string_view key) {
  std::vector<double> out;
  each_of(want(key), key, [&](const Value& item) { out.push_back(length_of(item, key)); });
  return out;
}
std::vector<V3> Table::points_mm(std::string_view key) {
  std::vector<V3> out;
  each_of(want(key), key, [&](const Value& item) { out.push_back(point_of(item, key)); });
  return out;
}
std::vector<V2> Table::pairs_mm(std::string_view key) {
  std::vector<V2> out;
  each_of(want(key), key, [&](const Value& item) {
    if (item.kind != Value::Kind::list || item.items.size() != 2)
      refuse_value(item, key, "want two lengths");
    else
      out.emplace_back(length_of(item.items[0], key), length_of(item.items[1], key));
  });
  return out;
}

Table Table::table(std::string_view key) {
  static const Value nothing = [] {
    Value value;
    value.kind = Value::Kind::table;
    return value;
  }();
  const Value* value = want(key);
  return {*file_, value == nullptr ? nothing : *value,
          path_.empty() ? std::string(key) : fmt::format("{}.{}", path_, key), *refusals_};
}
std::vector<Table> Table::tables(std::string_view key) {
  std::vector<Table> out;
  each_of(take(key), key, [&](const Value& item) {
    const std::size_t i = out.size();
    out.emplace_back(*file_, item,
                     path_.empty() ? fmt::format("{}[{}]", key, i) : fmt::format("{}.{}[{}]", path_, key, i),
                     *refusals_);
  });
  return out;
}

}  // namespace hosefit::recheck
