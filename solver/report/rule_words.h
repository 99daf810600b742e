// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <string_view>

#include "solver/model/body.h"
#include "solver/model/finding.h"

/// The catalogue: one entry per rule. Nothing else in the program holds words about a rule.
namespace hosefit {

/// Which way the limit of a rule bounds the measured value.
enum class Bound { at_least, at_most, none };

/// Texts with places to fill in: {subject}, {other}, {amount} (the missing or spare amount with both
/// figures), {found}, {limit}, {missing} (by how much it falls short), {p:key} (a parameter of the finding),
/// {mm:key} (a parameter that is a length in mm), {a|words} (words in place of an empty a). A part in
/// [brackets] is left out when a place in it has nothing to hold.
struct RuleWords {
  Bound bound = Bound::none;
  std::string_view brief;
  std::string_view consequence;
  std::string_view action;
};
RuleWords rule_words(RuleId rule);

/// What a thing that comes too close to this hazard suffers, as one sentence.
std::string_view consequence_near(Hazard hazard);

}  // namespace hosefit
