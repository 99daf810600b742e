// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/input/schema.h"

#include <fmt/format.h>

#include <nlohmann/json.hpp>

#include "solver/input/scalar.h"

namespace hosefit {
namespace {

using Json = nlohmann::ordered_json;

std::string limits_in_words(const Range& range, std::string_view unit) {
  std::string text;
  const auto say = [&](std::string_view words, const std::optional<double>& limit) {
    if (limit) text += fmt::format("{}{} {}{}", text.empty() ? "" : ", ", words, *limit, unit);
  };
  say("above", range.above);
  say("at least", range.at_least);
  say("below", range.below);
  say("at most", range.at_most);
  return text;
}

class SchemaWriter {
 public:
  Json mapping(const MapRule& rule) {
    Json properties = Json::object();
    Json required = Json::array();
    for (const KeyRule& key : rule.keys) {
      Json value = this->value(key.value);
      value["description"] = described(key);
      properties[std::string(key.key)] = std::move(value);
      if (key.required) required.push_back(key.key);
    }
    Json out{{"type", "object"}, {"properties", std::move(properties)}, {"additionalProperties", false}};
    if (!required.empty()) out["required"] = std::move(required);
    Json all = Json::array();
    for (const auto& group : rule.exactly_one) all.push_back(exactly_one(group));
    for (const auto& group : rule.not_together) all.push_back({{"not", {{"required", group}}}});
    for (const NeededWith& n : rule.needed_with) all.push_back(needed(n));
    if (!all.empty()) out["allOf"] = std::move(all);
    return out;
  }
  const Json& definitions() const { return definitions_; }

 private:
  static std::string described(const KeyRule& key) {
    const Range& range = key.value.range;
    const std::string unit = key.value.kind == ValueKind::length  ? " mm"
                             : key.value.kind == ValueKind::angle ? " degrees"
                                                                  : "";
    const std::string limits = limits_in_words(range, unit);
    return limits.empty() ? std::string(key.doc)
                          : fmt::format("{} Want {} ({}).", key.doc, limits, range.reason);
  }

  static Json exactly_one(const std::vector<std::string_view>& group) {
    Json choices = Json::array();
    for (const std::string_view key : group) choices.push_back({{"required", Json::array({key})}});
    return {{"oneOf", std::move(choices)}};
  }

  static Json needed(const NeededWith& n) {
    Json condition{{"required", Json::array({n.key})}};
    if (!n.word.empty()) condition["properties"] = {{std::string(n.key), {{"const", n.word}}}};
    return {{"if", std::move(condition)}, {"then", {{"required", Json::array({n.needed})}}}};
  }

  // A limit of 0 holds in every unit; others only where the number has one unit.
  static Json bounded(std::string_view type, const Range& range, bool only_zero) {
    Json out{{"type", type}};
    const auto limit = [&](const char* keyword, const std::optional<double>& value) {
      if (value && (!only_zero || *value == 0)) out[keyword] = *value;
    };
    limit("exclusiveMinimum", range.above);
    limit("minimum", range.at_least);
    limit("exclusiveMaximum", range.below);
    limit("maximum", range.at_most);
    return out;
  }

  Json value(const ValueRule& rule) {
    switch (rule.kind) {
      case ValueKind::text:
        return {{"type", "string"}, {"minLength", 1}, {"maxLength", 4000}};
      case ValueKind::name:
        return {{"type", "string"}, {"minLength", 1}, {"maxLength", 80}, {"pattern", name_pattern()}};
      case ValueKind::length:
        return {{"anyOf", Json::array({bounded("number", rule.range, true),
                                       Json{{"type", "string"}, {"pattern", length_pattern()}}})}};
      case ValueKind::angle:
      case ValueKind::number:
        return bounded("number", rule.range, false);
      case ValueKind::integer:
        return bounded("integer", rule.range, false);
      case ValueKind::boolean:
        return {{"type", "boolean"}};
      case ValueKind::choice:
        return {{"enum", rule.words}};
      case ValueKind::direction:
        return {{"type", "array"}, {"items", {{"type", "number"}}}, {"minItems", 3}, {"maxItems", 3}};
      case ValueKind::list:
        return {{"type", "array"},
                {"items", value(rule.item.front())},
                {"minItems", rule.least_items},
                {"maxItems", rule.most_items}};
      case ValueKind::mapping:
        return reference(rule.map());
      case ValueKind::either:
        break;
    }
    Json forms = Json::array();
    for (const ValueRule& form : rule.forms) forms.push_back(value(form));
    return {{"anyOf", std::move(forms)}};
  }

  Json reference(const MapRule& rule) {
    const std::string id(rule.id);
    if (!definitions_.contains(id)) definitions_[id] = mapping(rule);
    return {{"$ref", "#/$defs/" + id}};
  }

  Json definitions_ = Json::object();
};

}  // namespace

std::string schema_of(FileKind kind) {
  SchemaWriter writer;
  Json schema{{"$schema", "https://json-schema.org/draft/2020-12/schema"},
              {"title", fmt::format("hosefit {} file", word(kind))}};
  schema.update(writer.mapping(file_table(kind)));
  schema["$defs"] = writer.definitions();
  return schema.dump(2) + "\n";
}

}  // namespace hosefit
