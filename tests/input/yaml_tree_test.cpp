// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/input/yaml_tree.h"

#include <catch2/catch.hpp>

#include "solver/input/load_job.h"

namespace hosefit {
namespace {
std::string told(const std::string& bytes) {
  ProblemLog log;
  const auto root = read_yaml(source_text("f.yaml", bytes), log);
  CHECK((root.has_value() || !log.empty()));
  const Problems problems = log.sorted();
  return problems.empty() ? "" : problems.front().text;
}
}  // namespace

TEST_CASE("keys and values know their line and their column in bytes") {
  ProblemLog log;
  const auto root = read_yaml(
      source_text("f.yaml", "\xEF\xBB\xBF# c\r\n\"\xC3\xA9\": {a: [1,  two]}\r\nb:\n  - x\n  - 'y z'\nc:\n"),
      log);
  REQUIRE(root);
  REQUIRE(log.empty());
  REQUIRE(root->keys.size() == 3);
  CHECK(root->keys[0].line == 2);
  CHECK(root->keys[0].column == 1);
  const YamlNode& list = root->items[0].items[0];
  CHECK(list.line == 2);
  CHECK(list.column == 11);
  CHECK(list.items[1].column == 16);
  CHECK(list.items[1].plain);
  CHECK(find(*root, "b")->items[1].line == 5);
  CHECK(find(*root, "b")->items[1].column == 5);
  CHECK_FALSE(find(*root, "b")->items[1].plain);
  CHECK(find(*root, "c")->kind == YamlNode::Kind::null);
  CHECK(find(*root, "c")->line == 6);  // the key's own place, not that of what comes next
}

TEST_CASE("files beyond the limits are refused, not read") {
  CHECK(told(std::string(kMostYamlBytes + 1, ' ')) == "larger than the 4 MiB that are read");
  CHECK(told(std::string(33, '[') + std::string(33, ']')) == "nested more than 32 levels deep");
  CHECK(told(std::string(32, '[') + std::string(32, ']')) == "");
  std::string many = "[";
  for (int i = 0; i < 200000; ++i) many += "1,";
  CHECK(told(many + "]") == "more than 200000 values in one file");
  CHECK(told(std::string(100000, '[')).find("32 levels") != std::string::npos);
  CHECK_FALSE(told(std::string(100000, '{')).empty());
}

TEST_CASE("a hopeless file tells two hundred problems and how many more there are") {
  std::string bytes;
  for (int i = 0; i < 500; ++i) bytes += "a: 1\n";
  ProblemLog log;
  (void)read_yaml(source_text("f.yaml", bytes), log);
  const Problems problems = log.sorted();
  CHECK(problems.size() == 201);
  CHECK(problems.back().text.find("299 more problems") == 0);
}

TEST_CASE("the caret stands under the place, whatever bytes come before it") {
  ProblemLog log;
  const SourceText source = source_text("dir/f.yaml", "x\n\t\xC3\xA9\xC3\xA9: \x1b\xff bad\n");
  log.add(source, 2, 10, "a.b", "text");
  CHECK(format_problems(log.sorted()) ==
        "dir/f.yaml:2:10: a.b: text\n     \xC3\xA9\xC3\xA9: ?? bad\n           ^\n");
}

TEST_CASE("a long line is cut to the part around the place") {
  ProblemLog log;
  const SourceText source = source_text("f", std::string(200, 'a') + "X" + std::string(2000, 'b'));
  log.add(source, 1, 201, "", "text");
  const std::string text = format_problems(log.sorted());
  CHECK(text.size() < 300);
  const auto line = text.find('\n') + 1;
  const auto caret = text.find('^') - (text.find('\n', line) + 1);
  CHECK(text[line + caret] == 'X');
}

TEST_CASE("the nearest name is found across a letter missing, wrong, swapped or more") {
  const std::vector<std::string> known{"bore", "straight", "outward", "od"};
  for (const char* name : {"boer", "bor", "bores", "bare"}) CHECK(nearest(name, known) == "bore");
  CHECK(nearest("straigth", known) == "straight");
  CHECK(nearest("wheelbase", known).empty());
  CHECK(did_you_mean("zzzz", {}) == "; there are none");
}

}  // namespace hosefit
