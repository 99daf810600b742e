// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <span>

#include "solver/report/rule_words.h"
#include "solver/report/words.h"

namespace hosefit {
namespace {

// Below half of what is printed, an amount reads as nothing missing and nothing spare.
constexpr double kNothing = 1e-9;

std::optional<double> margin_of(const Finding& finding, Bound bound) {
  if (finding.margin) return finding.margin;
  if (!finding.measured || !finding.limit || bound == Bound::none) return std::nullopt;
  return bound == Bound::at_least ? *finding.measured - *finding.limit : *finding.limit - *finding.measured;
}

// The same rule may bound a value from below in one place and from above in another; the finding's own
// numbers tell.
Bound bound_of(const Finding& finding, Bound usual) {
  if (!finding.margin || !finding.measured || !finding.limit) return usual;
  const double below = *finding.measured - *finding.limit;
  if (std::abs(below) < kNothing || std::abs(std::abs(below) - std::abs(*finding.margin)) > kNothing)
    return usual;
  return (below < 0) == (*finding.margin < 0) ? Bound::at_least : Bound::at_most;
}

// What a stable word of another stage means.
struct Said {
  std::string_view code, words;
};
std::string said_of(std::span<const Said> all, std::string_view code, std::string otherwise) {
  for (const Said& said : all)
    if (said.code == code) return std::string(said.words);
  return otherwise;
}

// Told as people say it. One that is not listed is told with its blanks back.
std::string reason_words(std::string_view code) {
  constexpr std::array kSaid{
      Said{"no_such_die", "the bender has no die of this radius"},
      Said{"stock_has_no_radius", "the stock file states no radius"},
      Said{"angle_not_on_sale", "the nearest elbow on sale has another angle"},
      Said{"elbow_leg_short", "the leg of the elbow as sold is too short"},
      Said{"elbow_longer_than_sold", "cut longer than the elbow as sold"},
      Said{"length_not_on_sale", "the nearest length on sale is another"},
      Said{"bought_length_not_on_sale", "the length to cut from is not on sale"},
      Said{"shorter_than_its_couplers", "shorter than its two couplers"},
      Said{"no_such_shape", "the stock file holds no moulded shape of this name"},
      Said{"not_cut_from_a_shape", "nothing says which moulded shape it is cut from, and where"},
      Said{"cut_off_the_shape", "a cut lies beyond the end of the moulded shape"},
      Said{"bend_cut_through", "a cut goes through a bend of the moulded shape"},
      Said{"bends_do_not_match_shape", "the moulded shape has another number of bends between its cuts"},
      Said{"radius_is_not_the_shapes", "the moulded shape has another radius there"},
      Said{"straight_is_not_the_shapes", "the moulded shape has another straight there"},
      Said{"end_straight_is_not_the_cuts", "the straight is not what the cut leaves of the moulded shape"},
      Said{"sprung_too_far", "the moulded shape would have to be sprung further than it gives"},
      Said{"plane_sprung_too_far",
           "the plane of the bend would have to be turned further than the moulded shape gives"},
      Said{"whole_length_is_not_the_shapes", "the moulded shape is sold in another length"},
      Said{"pieces_do_not_add_up",
           "its pieces do not add up to its length, so nobody knows where its clamps sit"},
      Said{"high_point_without_vent", "a high point that holds air and has no vent"},
      Said{"no_known_space_stated", "the vehicle file states no known space"},
      Said{"leaves_known_space", "outside every box of known space"},
      Said{"behind_scan", "behind what was scanned"},
      Said{"past_scan_edge", "past the edge of what was scanned"},
      Said{"clamp_behind_scan", "its clamp's housing is behind what was scanned"},
      Said{"clamp_past_scan_edge", "its clamp's housing is past the edge of what was scanned"},
      Said{"spigot_short", "the neck itself is short"},
      Said{"spigot_shorter_than_engagement", "the hose goes further on than the neck is long"},
      Said{"hose_not_pushed_on", "the hose is not pushed far enough on"},
      Said{"no_stable_shape", "no stable shape was found at every place of the engine: too short, or stiff"},
      Said{"takes_no_shape", "one of the two takes no shape to hold against the other"},
      Said{"drawn_tight", "its ends go further apart than it is long: give it a bend more, or move a clip"},
      Said{"no_shape_at_rest", "it takes no stable shape at rest"},
      Said{"second_shape", "it may snap into a second shape, which is not proved"},
      Said{"boxes_spent", "bounded too loosely to tell"},
      Said{"line_not_found", "its line has no way yet"},
      Said{"no_straight", "no straight of its line is long enough within its range"},
      Said{"none_counts", "at none of them do tee and hoses hold"},
      Said{"no_room_to_bend", "no room for the first bend"}};
  std::string plain = safe_text(code);
  std::replace(plain.begin(), plain.end(), '_', ' ');
  return said_of(kSaid, code, std::move(plain));
}

// What a way does that is free of obstacles and still not allowed.
std::string breach_words(std::string_view code) {
  constexpr std::array kSaid{Said{"grade", "it does not rise or fall as the line must"},
                             Said{"bend_angle", "one of its bends turns too far"},
                             Said{"straight_between", "it has too little straight between its bends"},
                             Said{"lead", "it has too little straight at a neck"},
                             Said{"length", "it is longer than the stock on sale"},
                             Said{"self_gap", "it comes too near itself"},
                             Said{"known_space", "it leaves the known space"},
                             Said{"no_moulded_shape", "no moulded shape on file reaches from neck to neck"},
                             Said{"no_shape", "two bends of this radius do not reach from neck to neck"}};
  return said_of(kSaid, code, safe_text(code));
}

std::string reason_of(const Finding& finding) {
  const auto given = [&](const char* key) {
    const auto found = finding.parameters.find(key);
    return found == finding.parameters.end() ? std::string{} : found->second;
  };
  if (const std::string reason = given("reason"); !reason.empty()) return reason_words(reason);
  return given("outcome") == "no_room_to_bend" ? reason_words("no_room_to_bend") : std::string{};
}

std::string figure_in(const WordsContext& context, double value, FindingUnit figure) {
  return context.both_units && figure == FindingUnit::mm ? both_short(Length::mm(value))
                                                         : figure_words(value, figure, context.unit);
}

// A figure that follows another one in the same unit; two units are never left out.
std::string bare_figure(const WordsContext& context, double value, FindingUnit figure) {
  std::string text = figure_in(context, value, figure);
  if (context.both_units) return text;
  for (const std::string_view tail : {" mm", " deg", " m/s"})
    if (text.ends_with(tail)) text.resize(text.size() - tail.size());
  if (const auto inch = text.find(" in"); inch != std::string::npos) text.erase(inch, 3);
  return text;
}

// The depth of an overlap of rigid parts is not measured, only that there is one.
bool overlaps(const Finding& finding) {
  const auto found = finding.parameters.find("overlap");
  return found != finding.parameters.end() && found->second == "yes";
}

// "4.0 mm short (needs 12.0, found 8.0)" and its kin; in both units "4.0 mm (0.16 in) short; needs ...",
// since brackets do not nest.
std::string amount_words(const Finding& finding, Bound bound, const WordsContext& context) {
  const std::optional<double> margin = margin_of(finding, bound);
  const bool down = bound == Bound::at_least;
  std::string out;
  if (margin && std::isfinite(*margin)) {
    const bool short_of = *margin < -kNothing;
    const std::string amount = figure_in(context, std::abs(*margin), finding.unit);
    const std::string_view kind = short_of ? (bound == Bound::at_most ? "too much" : "short")
                                           : (down ? "to spare" : "inside the limit");
    out = fmt::format("{}{} {}", overlaps(finding) ? "at least " : "", amount, kind);
  }
  if (!finding.limit && !finding.measured) return out;
  const auto figure = [&](double value) {
    return out.empty() ? figure_in(context, value, finding.unit) : bare_figure(context, value, finding.unit);
  };
  std::string both;
  if (finding.limit)
    both = fmt::format("{} {}",
                       bound == Bound::at_most    ? "at most"
                       : bound == Bound::at_least ? "needs"
                                                  : "limit",
                       figure(*finding.limit));
  if (finding.measured) {
    const bool reaches_in = down && finding.unit == FindingUnit::mm && *finding.measured < -kNothing;
    both += both.empty() ? "" : ", ";
    both += overlaps(finding) ? std::string("they overlap")
            : reaches_in      ? fmt::format("reaches {} into it", figure(-*finding.measured))
                              : fmt::format("found {}", figure(*finding.measured));
  }
  if (out.empty()) return both;
  return fmt::format(fmt::runtime(context.both_units ? "{}; {}" : "{} ({})"), out, both);
}

struct Filler {
  const Finding& finding;
  const WordsContext& context;
  Bound bound;

  std::string parameter(std::string_view key) const {
    const auto found = finding.parameters.find(std::string(key));
    return found == finding.parameters.end() ? std::string{} : found->second;
  }

  // Empty when there is nothing to say; then the bracket around it goes too.
  std::string value(std::string_view key) const {
    if (const auto bar = key.find('|'); bar != std::string_view::npos) {
      const std::string first = value(key.substr(0, bar));
      return first.empty() ? std::string(key.substr(bar + 1)) : first;
    }
    if (key == "subject")
      return finding.subject.empty() ? std::string("the set") : safe_text(finding.subject);
    if (key == "other") return safe_text(finding.other);
    if (key == "amount") return amount_words(finding, bound, context);
    if (key == "found")
      return finding.measured ? figure_in(context, *finding.measured, finding.unit) : std::string{};
    if (key == "limit")
      return finding.limit ? figure_in(context, *finding.limit, finding.unit) : std::string{};
    if (key == "missing") {
      const auto margin = margin_of(finding, bound);
      return margin && *margin < 0 ? figure_in(context, -*margin, finding.unit) : std::string{};
    }
    if (key == "breaks") return parameter(key).empty() ? std::string{} : breach_words(parameter(key));
    if (key.starts_with("p:")) return safe_text(parameter(key.substr(2)));
    if (key.starts_with("mm:")) {
      const auto length = parse_length(parameter(key.substr(3)), LengthUnit::mm);
      if (!length) return {};
      return context.both_units ? both_short(*length) : length_words(*length, context.unit);
    }
    return {};
  }
};

struct Filled {
  std::string text;
  bool whole = true;  // every place had something to hold
};

Filled filled(std::string_view pattern, const Filler& filler) {
  Filled out;
  for (std::size_t i = 0; i < pattern.size(); ++i) {
    const char c = pattern[i];
    if (c != '{' && c != '[') {
      out.text += c;
      continue;
    }
    const std::size_t end = pattern.find(c == '{' ? '}' : ']', i);
    const std::string_view inner = pattern.substr(i + 1, end - i - 1);
    if (c == '{') {
      const std::string value = filler.value(inner);
      out.whole = out.whole && !value.empty();
      out.text += value;
    } else if (const Filled part = filled(inner, filler); part.whole) {
      out.text += part.text;
    }
    i = end;
  }
  return out;
}

const Obstacle* obstacle_named(const Bay& bay, std::string_view name) {
  for (const PlacedBody& placed : bay.bodies)
    for (const Obstacle& obstacle : placed.body->obstacles)
      if (obstacle.name == name) return &obstacle;
  return nullptr;
}

std::string joined(std::initializer_list<std::string_view> parts) {
  std::string out;
  for (const std::string_view part : parts) {
    if (part.empty()) continue;
    if (!out.empty()) out += ' ';
    out += part;
  }
  return out;
}

}  // namespace

FindingWords words_of(const Finding& finding, const WordsContext& context) {
  const RuleWords rule = rule_words(finding.rule);
  const Filler filler{finding, context, bound_of(finding, rule.bound)};
  FindingWords out;
  out.brief = filled(rule.brief, filler).text;
  if (const std::string reason = reason_of(finding); !reason.empty())
    out.brief += fmt::format("; {}", reason);
  out.consequence = filled(rule.consequence, filler).text;
  out.action = filled(rule.action, filler).text;
  if (context.bay != nullptr && finding.rule == RuleId::gap) {
    const Obstacle* obstacle = obstacle_named(*context.bay, finding.other);
    if (obstacle != nullptr) out.consequence = consequence_near(obstacle->hazard);
  }
  if (finding.where_mm) {
    out.where = place_words(*finding.where_mm, context.unit);
    const std::string near = context.bay != nullptr && finding.other.empty()
                                 ? near_words(*context.bay, *finding.where_mm)
                                 : std::string{};
    if (!near.empty()) out.where = near + ", " + out.where;
  }
  return out;
}

namespace {

std::string where_sentence(const std::string& where) {
  constexpr std::string_view kNear = "near ";
  if (where.starts_with(kNear)) return fmt::format("Near {}.", where.substr(kNear.size()));
  return where.empty() ? std::string{} : fmt::format("At {}.", where);
}

}  // namespace

std::string sentences(const Finding& finding, const WordsContext& context) {
  const FindingWords words = words_of(finding, context);
  const std::string origin =
      finding.provenance ? fmt::format("({}.)", provenance_words(*finding.provenance)) : std::string{};
  return joined({words.brief + ".", where_sentence(words.where), words.consequence, words.action, origin});
}

}  // namespace hosefit
