// SPDX-License-Identifier: GPL-3.0-or-later
// For schema_check.py: `schema_tool schema <kind>` prints a schema, `schema_tool json <file>` a file of ours
// as JSON.
#include <cstdio>
#include <cstring>
#include <string>

#include "solver/input/load_job.h"
#include "solver/input/scalar.h"
#include "solver/input/schema.h"

namespace hosefit {
namespace {

std::string quoted(const std::string& text) {
  std::string out = "\"";
  for (const char c : text) {
    if (c == '"' || c == '\\') out += '\\';
    if (c == '\n')
      out += "\\n";
    else
      out += c;
  }
  return out + "\"";
}

std::string json_of(const YamlNode& node) {
  std::string out;
  switch (node.kind) {
    case YamlNode::Kind::null:
      return "null";
    case YamlNode::Kind::scalar:
      return node.plain && (read_number(node).value || read_boolean(node).value) ? node.text
                                                                                 : quoted(node.text);
    case YamlNode::Kind::list:
      for (const YamlNode& item : node.items) out += (out.empty() ? "" : ",") + json_of(item);
      return "[" + out + "]";
    case YamlNode::Kind::mapping:
      for (std::size_t i = 0; i < node.items.size(); ++i)
        out += (out.empty() ? "" : ",") + quoted(node.keys[i].text) + ":" + json_of(node.items[i]);
      return "{" + out + "}";
  }
  return out;
}

int run(const std::string& what, const std::string& of) {
  if (what == "schema") {
    for (const FileKind kind : kFileKinds)
      if (word(kind) == of) return std::fputs(schema_of(kind).c_str(), stdout) < 0;
    return 2;
  }
  const auto bytes = read_bytes(of, kMostYamlBytes);
  if (!bytes) return 2;
  ProblemLog log;
  const auto tree = read_yaml(source_text(of, *bytes), log);
  std::fputs(format_problems(log.sorted()).c_str(), stderr);
  return tree && log.empty() ? std::puts(json_of(*tree).c_str()) < 0 : 2;
}

}  // namespace
}  // namespace hosefit

int main(int count, char** arguments) {
  return count == 3 ? hosefit::run(arguments[1], arguments[2]) : 2;
}
