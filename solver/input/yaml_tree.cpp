// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/input/yaml_tree.h"

#include <fmt/format.h>
#include <yaml-cpp/eventhandler.h>
#include <yaml-cpp/exceptions.h>
#include <yaml-cpp/mark.h>
#include <yaml-cpp/parser.h>

#include <algorithm>
#include <set>
#include <sstream>

namespace hosefit {
namespace {

constexpr std::size_t kMostDepth = 32;
constexpr std::size_t kMostNodes = 200000;

struct GivenUp {};  // thrown through the parser when a limit is passed; the problem is in the log by then

// Builds the tree from the parser's events.
class TreeBuilder : public YAML::EventHandler {
 public:
  TreeBuilder(const SourceText& source, ProblemLog& log) : source_(source), log_(log) {}
  YamlNode take_root() { return std::move(root_); }

  void OnDocumentStart(const YAML::Mark& mark) override {
    if (++documents_ <= 1) return;
    refuse(mark, "a second document starts here; want one document, cut the rest");
    throw GivenUp{};
  }
  void OnDocumentEnd() override {}
  void OnNull(const YAML::Mark& mark, YAML::anchor_t anchor) override {
    add(checked(mark, "", anchor, YamlNode::Kind::null));
  }
  void OnAlias(const YAML::Mark& mark, YAML::anchor_t) override {
    refuse(mark, "references (*name) are not read; write the value out");
    YamlNode node = checked(mark, "", 0, YamlNode::Kind::null);
    node.ok = false;
    add(std::move(node));
  }
  void OnScalar(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                const std::string& value) override {
    YamlNode node = checked(mark, tag, anchor, YamlNode::Kind::scalar);
    node.text = value;
    node.plain = tag == "?";
    add(std::move(node));
  }
  void OnSequenceStart(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                       YAML::EmitterStyle::value) override {
    open(checked(mark, tag, anchor, YamlNode::Kind::list));
  }
  void OnSequenceEnd() override { close(); }
  void OnMapStart(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                  YAML::EmitterStyle::value) override {
    open(checked(mark, tag, anchor, YamlNode::Kind::mapping));
  }
  void OnMapEnd() override { close(); }

 private:
  struct Level {
    YamlNode node;
    std::set<std::string> seen;  // keys so far
    bool wants_key = true;
  };

  void refuse(const YAML::Mark& mark, std::string text) {
    log_.add(source_, mark.line + 1, mark.column + 1, "", std::move(text));
  }

  YamlNode checked(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                   YamlNode::Kind kind) {
    YamlNode node;
    node.kind = kind;
    node.line = mark.line + 1;
    node.column = mark.column + 1;
    if (++nodes_ > kMostNodes) {
      refuse(mark, fmt::format("more than {} values in one file", kMostNodes));
      throw GivenUp{};
    }
    if (anchor != 0) {
      refuse(mark, "names for values (&name) are not read; write the value out where it is needed");
      node.ok = false;
    }
    if (!(tag.empty() || tag == "?" || tag == "!") || byte_at(mark) == '!') {
      refuse(mark, "tags (!word) are not read; take the tag away");
      node.ok = false;
    }
    return node;
  }

  char byte_at(const YAML::Mark& mark) const {
    const auto line = static_cast<std::size_t>(std::max(mark.line, 0));
    if (line >= source_.line_starts.size()) return 0;
    const std::size_t at = source_.line_starts[line] + static_cast<std::size_t>(std::max(mark.column, 0));
    return at < source_.bytes.size() ? source_.bytes[at] : '\0';
  }

  void open(YamlNode node) {
    if (levels_.size() >= kMostDepth) {
      log_.add(source_, node.line, node.column, "",
               fmt::format("nested more than {} levels deep", kMostDepth));
      throw GivenUp{};
    }
    levels_.push_back({std::move(node), {}, true});
  }

  void close() {
    YamlNode node = std::move(levels_.back().node);
    levels_.pop_back();
    add(std::move(node));
  }

  void add(YamlNode node) {
    if (levels_.empty()) {
      root_ = std::move(node);
      return;
    }
    Level& level = levels_.back();
    if (level.node.kind == YamlNode::Kind::list) {
      level.node.ok = level.node.ok && node.ok;
      level.node.items.push_back(std::move(node));
    } else if (level.wants_key) {
      add_key(level, node);
    } else {
      if (node.kind == YamlNode::Kind::null) {  // the parser's mark then stands at whatever comes next
        node.line = level.node.keys.back().line;
        node.column = level.node.keys.back().column;
      }
      level.node.ok = level.node.ok && node.ok;
      level.node.items.push_back(std::move(node));
      level.wants_key = true;
    }
  }

  void add_key(Level& level, const YamlNode& node) {
    level.wants_key = false;
    level.node.ok = level.node.ok && node.ok;
    level.node.keys.push_back({node.text, node.line, node.column});
    if (node.kind != YamlNode::Kind::scalar) {
      log_.add(source_, node.line, node.column, "", "a key must be a word, not a list, a mapping or nothing");
      level.node.ok = false;
    } else if (!level.seen.insert(node.text).second) {
      log_.add(source_, node.line, node.column, "",
               fmt::format("key \"{}\" stands twice in one mapping; keep one", clipped(node.text)));
      level.node.ok = false;
    }
  }

  static std::string clipped(const std::string& text) {
    return text.size() > 40 ? text.substr(0, 40) + "..." : text;
  }

  const SourceText& source_;
  ProblemLog& log_;
  YamlNode root_;
  std::vector<Level> levels_;
  std::size_t nodes_ = 0;
  int documents_ = 0;
};

// The first byte that no input file may hold, reported; false when there is one.
bool bytes_are_text(const SourceText& source, ProblemLog& log) {
  const std::string& bytes = source.bytes;
  for (std::size_t i = 0; i < bytes.size();) {
    const auto c = static_cast<unsigned char>(bytes[i]);
    const std::size_t length = utf8_length(bytes, i);
    const bool control = (c < 0x20 && c != '\t' && c != '\n' &&
                          !(c == '\r' && i + 1 < bytes.size() && bytes[i + 1] == '\n')) ||
                         c == 0x7F;
    if (length > 0 && !control) {
      i += length;
      continue;
    }
    const auto line = std::upper_bound(source.line_starts.begin(), source.line_starts.end(), i) -
                      source.line_starts.begin();
    const auto column = static_cast<int>(i - source.line_starts[static_cast<std::size_t>(line - 1)]) + 1;
    log.add(source, static_cast<int>(line), column, "",
            control
                ? fmt::format("a control byte (0x{:02x}) stands here; save the file as plain UTF-8 text", c)
                : fmt::format("byte 0x{:02x} is not UTF-8; save the file as UTF-8 text", c));
    return false;
  }
  return true;
}

bool begins_with_tab(const SourceText& source, int line) {
  if (line < 1 || static_cast<std::size_t>(line) > source.line_starts.size()) return false;
  const std::size_t at =
      source.bytes.find_first_not_of(' ', source.line_starts[static_cast<std::size_t>(line - 1)]);
  return at != std::string::npos && source.bytes[at] == '\t';
}

std::string parser_says(const YAML::Exception& error, const SourceText& source) {
  std::string text = "not readable as YAML: " + error.msg;
  if (begins_with_tab(source, error.mark.line + 1)) text += "; the line is indented with a tab, use blanks";
  return text;
}

}  // namespace

const YamlNode* find(const YamlNode& mapping, std::string_view key) {
  if (mapping.kind != YamlNode::Kind::mapping) return nullptr;
  for (std::size_t i = 0; i < mapping.items.size(); ++i)
    if (mapping.keys[i].text == key) return &mapping.items[i];
  return nullptr;
}
YamlNode* find(YamlNode& mapping, std::string_view key) {
  return const_cast<YamlNode*>(find(static_cast<const YamlNode&>(mapping), key));
}

std::optional<YamlNode> read_yaml(const SourceText& source, ProblemLog& log) {
  if (source.bytes.size() > kMostYamlBytes) {
    log.add(source, 0, 0, "", fmt::format("larger than the {} MiB that are read", kMostYamlBytes >> 20));
    return std::nullopt;
  }
  if (!bytes_are_text(source, log)) return std::nullopt;
  TreeBuilder builder(source, log);
  try {
    std::istringstream in(source.bytes);
    YAML::Parser parser(in);
    if (!parser.HandleNextDocument(builder)) {
      log.add(source, 1, 1, "", "the file is empty");
      return std::nullopt;
    }
    parser.HandleNextDocument(builder);  // reports a second document
  } catch (const GivenUp&) {
    return std::nullopt;
  } catch (const YAML::Exception& error) {
    log.add(source, std::max(error.mark.line, 0) + 1, std::max(error.mark.column, 0) + 1, "",
            parser_says(error, source));
    return std::nullopt;
  } catch (const std::exception& error) {
    log.add(source, 1, 1, "", fmt::format("not readable as YAML: {}", error.what()));
    return std::nullopt;
  }
  YamlNode root = builder.take_root();
  if (root.kind == YamlNode::Kind::null && root.ok) {
    log.add(source, 1, 1, "", "the file is empty");
    return std::nullopt;
  }
  return root;
}

}  // namespace hosefit
