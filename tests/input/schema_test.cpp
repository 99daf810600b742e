// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/input/schema.h"

#include <catch2/catch.hpp>
#include <set>

#include "solver/input/yaml_tree.h"
#include "tests/input/edited_job.h"

namespace hosefit {
namespace {

// Every mapping that a table leads to, once.
void gather(const MapRule& rule, std::set<const MapRule*>& out);
void gather(const ValueRule& value, std::set<const MapRule*>& out) {
  if (value.map != nullptr) gather(value.map(), out);
  for (const ValueRule& item : value.item) gather(item, out);
  for (const ValueRule& form : value.forms) gather(form, out);
}
void gather(const MapRule& rule, std::set<const MapRule*>& out) {
  if (!out.insert(&rule).second) return;
  for (const KeyRule& key : rule.keys) gather(key.value, out);
}
void gather_keys(const YamlNode& node, std::set<std::string>& out) {
  for (const YamlKey& key : node.keys) out.insert(key.text);
  for (const YamlNode& item : node.items) gather_keys(item, out);
}

}  // namespace

TEST_CASE("every key of every table stands in the schema with its sentence") {
  for (const FileKind kind : kFileKinds) {
    const std::string schema = schema_of(kind);
    std::set<const MapRule*> rules;
    gather(file_table(kind), rules);
    for (const MapRule* rule : rules) {
      const bool whole_file = rule == &file_table(kind);
      const auto at = whole_file ? std::size_t{0}
                                 : schema.find("\n    \"" + std::string(rule->id) + "\": {",
                                               schema.find("\n  \"$defs\""));
      CAPTURE(rule->id);
      REQUIRE(at != std::string::npos);
      const auto end = whole_file ? schema.find("\n  \"$defs\"") : schema.find("\n    }", at);
      const std::string part = schema.substr(at, end - at);
      for (const KeyRule& key : rule->keys) {
        CAPTURE(key.key);
        CHECK(part.find("\"" + std::string(key.key) + "\": {") != std::string::npos);
        CHECK_FALSE(key.doc.empty());
      }
    }
  }
}

TEST_CASE("every key of every table stands in the good job") {
  std::set<std::string> written;
  ProblemLog log;
  for (const auto& [name, bytes] : test::good_files())
    if (name.ends_with(".yaml"))
      if (const auto root = read_yaml(source_text(name, bytes), log)) gather_keys(*root, written);
  REQUIRE(log.empty());
  std::set<const MapRule*> rules;
  for (const FileKind kind : kFileKinds) gather(file_table(kind), rules);
  const std::set<std::string> other_form{"x", "mass_share"};  // stand for ahead_of_block and volume_share
  for (const MapRule* rule : rules)
    for (const KeyRule& key : rule->keys) {
      CAPTURE(rule->id, key.key);
      CHECK((written.contains(std::string(key.key)) || other_form.contains(std::string(key.key))));
    }
}

TEST_CASE("mappings of different content have different names in a schema") {
  std::set<const MapRule*> rules;
  for (const FileKind kind : kFileKinds) gather(file_table(kind), rules);
  std::set<std::string> ids;
  for (const MapRule* rule : rules) ids.insert(std::string(rule->id));
  std::size_t files = 0;
  for (const FileKind kind : kFileKinds) files += rules.contains(&file_table(kind));
  CHECK(files == 9);
  CHECK(ids.size() == rules.size());
}

TEST_CASE("a schema is the same text every time") {
  for (const FileKind kind : kFileKinds) CHECK(schema_of(kind) == schema_of(kind));
}

}  // namespace hosefit
