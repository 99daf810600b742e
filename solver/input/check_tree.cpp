// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/input/check_tree.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "solver/input/scalar.h"

namespace hosefit {
namespace {

std::string under(const std::string& path, std::string_view key) {
  return path.empty() ? std::string(key) : fmt::format("{}.{}", path, key);
}
std::string joined(const std::vector<std::string_view>& words) {
  std::string out;
  for (std::size_t i = 0; i < words.size(); ++i) out += fmt::format("{}{}", i == 0 ? "" : ", ", words[i]);
  return out;
}

bool stands(const YamlNode& mapping, std::string_view key) {
  return find(mapping, key) != nullptr;
}

std::string limits_in_words(const Range& range, std::string_view unit) {
  std::string low, high;
  if (range.above) low = fmt::format("above {}{}", *range.above, unit);
  if (range.at_least) low = fmt::format("at least {}{}", *range.at_least, unit);
  if (range.below) high = fmt::format("below {}{}", *range.below, unit);
  if (range.at_most) high = fmt::format("at most {}{}", *range.at_most, unit);
  return low + (low.empty() || high.empty() ? "" : " and ") + high;
}

bool inside(const Range& range, double value) {
  return !(range.above && value <= *range.above) && !(range.at_least && value < *range.at_least) &&
         !(range.below && value >= *range.below) && !(range.at_most && value > *range.at_most);
}

class TreeCheck {
 public:
  TreeCheck(const InputFile& file, ProblemLog& log) : file_(file), log_(log) {}

  void check(YamlNode& node, const ValueRule& rule, const std::string& path) {
    if (node.kind == YamlNode::Kind::null && !node.ok) return;  // told by the YAML reader
    switch (rule.kind) {
      case ValueKind::text:
        return want(read_text(node), node, rule, path);
      case ValueKind::name:
        return want(read_name(node), node, rule, path);
      case ValueKind::boolean:
        return want(read_boolean(node), node, rule, path);
      case ValueKind::length:
        return check_length(node, rule, path);
      case ValueKind::angle:
      case ValueKind::number:
      case ValueKind::integer:
        return check_number(node, rule, path);
      case ValueKind::choice:
        return check_choice(node, rule, path);
      case ValueKind::direction:
        return check_direction(node, rule, path);
      case ValueKind::list:
        return check_list(node, rule, path);
      case ValueKind::mapping:
        return check_mapping(node, rule.map(), path);
      case ValueKind::either:
        return check(node, chosen_form(node, rule), path, rule);
    }
  }

  void check_mapping(YamlNode& node, const MapRule& rule, const std::string& path) {
    if (node.kind != YamlNode::Kind::mapping)
      return refuse(
          node, path,
          fmt::format("want {} with keys ({}), found {}", rule.what, key_list(rule), described(node)));
    for (std::size_t i = 0; i < node.items.size(); ++i) {
      const YamlKey& key = node.keys[i];
      if (const KeyRule* known = find(rule, key.text)) {
        check(node.items[i], known->value, under(path, key.text));
        node.ok = node.ok && node.items[i].ok;
      } else if (!key.text.empty()) {
        node.ok = false;
        log_.add(file_.source, key.line, key.column, under(path, printable(key.text)),
                 unknown_key(key.text, rule));
      }
    }
    check_presence(node, rule, path);
  }

 private:
  void check(YamlNode& node, const ValueRule* form, const std::string& path, const ValueRule& either) {
    const bool other_word = form != nullptr && form->kind == ValueKind::choice &&
                            std::find(form->words.begin(), form->words.end(), node.text) == form->words.end();
    if (form != nullptr && !other_word) return check(node, *form, path);
    refuse(node, path, fmt::format("want {}, found {}", either.title, described(node)));
  }

  static std::string printable(const std::string& key) {
    std::string out = key.substr(0, 40);
    for (char& c : out)
      if (static_cast<unsigned char>(c) < 0x20 || c == 0x7F) c = '?';
    return out;
  }

  static std::string key_list(const MapRule& rule) {
    std::vector<std::string_view> keys;
    for (const KeyRule& key : rule.keys) keys.push_back(key.key);
    return joined(keys);
  }

  static std::string unknown_key(const std::string& key, const MapRule& rule) {
    std::vector<std::string> known;
    for (const KeyRule& k : rule.keys) known.emplace_back(k.key);
    return fmt::format("not a key of {}{}", rule.what, did_you_mean(key, known));
  }

  void check_presence(YamlNode& node, const MapRule& rule, const std::string& path) {
    for (const KeyRule& key : rule.keys)
      if (key.required && !stands(node, key.key))
        refuse(node, under(path, key.key), fmt::format("this key of {} is missing: {}", rule.what, key.doc));
    for (const auto& group : rule.exactly_one) {
      const auto count =
          std::count_if(group.begin(), group.end(), [&](std::string_view key) { return stands(node, key); });
      if (count != 1)
        refuse(node, path, fmt::format("want exactly one of ({}), found {}", joined(group), count));
    }
    for (const auto& group : rule.not_together)
      if (std::count_if(group.begin(), group.end(), [&](std::string_view key) { return stands(node, key); }) >
          1)
        refuse(node, path, fmt::format("want at most one of ({})", joined(group)));
    for (const NeededWith& n : rule.needed_with) {
      const YamlNode* node_of_key = find(node, n.key);
      if (node_of_key == nullptr || stands(node, n.needed) ||
          (!n.word.empty() && node_of_key->text != n.word))
        continue;
      refuse(node, under(path, n.needed),
             n.word.empty() ? fmt::format("needed together with `{}`", n.key)
                            : fmt::format("needed with `{}: {}`", n.key, n.word));
    }
  }

  void check_list(YamlNode& node, const ValueRule& rule, const std::string& path) {
    if (node.kind != YamlNode::Kind::list)
      return refuse(node, path, fmt::format("want {}, found {}", rule.title, described(node)));
    const std::size_t n = node.items.size();
    if (n < rule.least_items || n > rule.most_items) {
      if (rule.least_items == rule.most_items && rule.title != "a list")
        return refuse(node, path, fmt::format("want {}, found {}", rule.title, described(node)));
      const std::string wanted = rule.least_items == rule.most_items
                                     ? fmt::format("{}", rule.most_items)
                                     : fmt::format("{} to {}", rule.least_items, rule.most_items);
      refuse(node, path, fmt::format("want {} of {}, found {}", rule.title, wanted, n));
    }
    for (std::size_t i = 0; i < n && i < rule.most_items; ++i) {
      check(node.items[i], rule.item.front(), fmt::format("{}[{}]", path, i));
      node.ok = node.ok && node.items[i].ok;
    }
  }

  void check_number(YamlNode& node, const ValueRule& rule, const std::string& path) {
    const Scalar<double> number = read_number(node);
    if (!number.value) return want(number, node, rule, path);
    if (rule.kind == ValueKind::integer && *number.value != std::floor(*number.value))
      return want(Scalar<double>{}, node, rule, path);
    if (!inside(rule.range, *number.value))
      refuse_range(node, rule, path, rule.kind == ValueKind::angle ? " deg" : "");
  }

  void check_length(YamlNode& node, const ValueRule& rule, const std::string& path) {
    const Scalar<Length> length = read_length(node, file_.units);
    if (!length.value) return want(length, node, rule, path);
    if (!inside(rule.range, length.value->mm())) refuse_range(node, rule, path, " mm");
  }

  void refuse_range(YamlNode& node, const ValueRule& rule, const std::string& path, std::string_view unit) {
    const bool bare_inches =
        rule.kind == ValueKind::length && file_.units == LengthUnit::inch && read_number(node).value;
    refuse(node, path,
           fmt::format("want {} {} ({}), found {}{}", rule.title, limits_in_words(rule.range, unit),
                       rule.range.reason, node.text, bare_inches ? " in" : ""));
  }

  void check_choice(YamlNode& node, const ValueRule& rule, const std::string& path) {
    if (node.kind == YamlNode::Kind::scalar &&
        std::find(rule.words.begin(), rule.words.end(), node.text) != rule.words.end())
      return;
    std::string cure;
    if (node.kind == YamlNode::Kind::scalar) {
      const std::string near = nearest(node.text, {rule.words.begin(), rule.words.end()});
      if (!near.empty() && rule.words.size() > 1) cure = fmt::format("; did you mean \"{}\"?", near);
    }
    refuse(node, path,
           fmt::format("want {}{}, found {}{}", rule.words.size() > 1 ? "one of " : "", joined(rule.words),
                       described(node), cure));
  }

  void check_direction(YamlNode& node, const ValueRule& rule, const std::string& path) {
    if (node.kind != YamlNode::Kind::list || node.items.size() != 3)
      return refuse(node, path, fmt::format("want {}, found {}", rule.title, described(node)));
    double longest = 0;
    for (std::size_t i = 0; i < 3; ++i) {
      check(node.items[i],
            number_value({.at_least = -1e6, .at_most = 1e6, .reason = "only the direction counts"}),
            fmt::format("{}[{}]", path, i));
      node.ok = node.ok && node.items[i].ok;
      longest = std::max(longest, std::abs(read_number(node.items[i]).value.value_or(1)));
    }
    if (longest < 1e-6) refuse(node, path, "want a direction, found one of length 0");
  }

  // The form a value is meant to have: by its kind, among mappings by the keys it shares. None for a wrong
  // kind.
  static const ValueRule* chosen_form(const YamlNode& node, const ValueRule& rule) {
    const ValueRule* best = nullptr;
    std::ptrdiff_t most = -1;
    for (const ValueRule& form : rule.forms) {
      const bool is_map = form.kind == ValueKind::mapping;
      const bool is_list = form.kind == ValueKind::list;
      if (is_map != (node.kind == YamlNode::Kind::mapping) || is_list != (node.kind == YamlNode::Kind::list))
        continue;
      std::ptrdiff_t shared = 0;
      if (is_map)
        shared = std::count_if(node.keys.begin(), node.keys.end(),
                               [&](const YamlKey& key) { return find(form.map(), key.text) != nullptr; });
      if (shared > most) {
        most = shared;
        best = &form;
      }
    }
    return best;
  }

  template <class T>
  void want(const Scalar<T>& scalar, YamlNode& node, const ValueRule& rule, const std::string& path) {
    if (!scalar.value)
      refuse(node, path, fmt::format("want {}, found {}{}", rule.title, described(node), scalar.why));
  }

  void refuse(YamlNode& node, const std::string& path, std::string text) {
    node.ok = false;
    log_.add(file_.source, node.line, node.column, path, std::move(text));
  }

  const InputFile& file_;
  ProblemLog& log_;
};

void read_head(InputFile& file) {
  if (const YamlNode* units = find(file.root, "units"); units != nullptr && units->text == "in")
    file.units = LengthUnit::inch;
  const YamlNode* measured = find(file.root, "measured");
  if (measured == nullptr) return;
  for (const MeasuredBy m :
       {MeasuredBy::tape, MeasuredBy::jig, MeasuredBy::scan, MeasuredBy::caliper, MeasuredBy::drawing})
    if (measured->text == word(m)) file.method = m;
}

}  // namespace

bool check_tree(InputFile& file, ProblemLog& log) {
  const YamlNode* kind = find(file.root, "hosefit");
  const bool other_kind = kind != nullptr && kind->kind == YamlNode::Kind::scalar &&
                          kind->text != word(file.kind) &&
                          std::any_of(std::begin(kFileKinds), std::end(kFileKinds),
                                      [&](FileKind k) { return word(k) == kind->text; });
  if (other_kind) {
    log.add(file.source, kind->line, kind->column, "hosefit",
            fmt::format("want a file of kind {}, found one of kind {}", word(file.kind), kind->text));
    return false;
  }
  read_head(file);
  TreeCheck(file, log).check_mapping(file.root, file_table(file.kind), "");
  return file.root.kind == YamlNode::Kind::mapping;
}

}  // namespace hosefit
