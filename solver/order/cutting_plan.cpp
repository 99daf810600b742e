// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/order/cutting_plan.h"

#include <algorithm>
#include <cmath>
#include <compare>
#include <cstdint>
#include <numeric>

namespace hosefit {
namespace {

using Set = std::uint32_t;  // of cuts
constexpr std::size_t kMostCuts = 12;
constexpr std::int64_t kNever = std::int64_t{1} << 50U;

// Whole micrometres, so that sums compare exactly whatever their order.
std::int64_t micrometres(Length length) {
  return std::llround(length.mm() * 1000.0);
}

struct Spend {
  std::int64_t unserved = 0, bought = 0, pieces = 0, owned_cut = 0, owned_used = 0;
  friend auto operator<=>(const Spend&, const Spend&) = default;
  friend Spend operator+(const Spend& a, const Spend& b) {
    return {a.unserved + b.unserved, a.bought + b.bought, a.pieces + b.pieces, a.owned_cut + b.owned_cut,
            a.owned_used + b.owned_used};
  }
};
constexpr Spend kImpossible{kNever, 0, 0, 0, 0};

std::vector<std::size_t> members(Set set) {
  std::vector<std::size_t> out;
  for (std::size_t i = 0; set >> i != 0; ++i)
    if ((set >> i & 1U) != 0) out.push_back(i);
  return out;
}

bool kept_as_it_is(const CutWanted& piece, const std::vector<CutWanted>& cuts) {
  return cuts.size() == 1 && piece.length - cuts.front().length <= cuts.front().as_it_is;
}

class Planner {
 public:
  Planner(const std::vector<CutWanted>& cuts, const std::vector<CutWanted>& owned, const CutRules& rules)
      : cuts_(cuts), owned_(owned), rules_(rules), all_((Set{1} << cuts.size()) - 1) {}

  CuttingPlan plan() {
    fill_bought();
    fill_owned();
    Set served = 0;
    for (Set set = 0; set <= all_; ++set)
      if (owned_spend_.back()[set] + buy_spend_[all_ & ~set] <
          owned_spend_.back()[served] + buy_spend_[all_ & ~served])
        served = set;
    return told(served);
  }

 private:
  std::vector<CutWanted> wanted(Set set) const {
    std::vector<CutWanted> out;
    for (const std::size_t i : members(set)) out.push_back(cuts_[i]);
    return out;
  }

  // The shortest on sale that this set can be cut from; by the metre and elbows: what it takes.
  std::optional<Length> sold_for(Set set) const {
    const std::vector<CutWanted> cuts = wanted(set);
    if (rules_.one_cut_each && cuts.size() > 1) return std::nullopt;
    if (rules_.lengths.empty()) return cuts.size() == 1 ? std::optional(cuts.front().length) : std::nullopt;
    for (const Length length : rules_.lengths)
      if (can_cut({length, cuts.front().turn, {}}, cuts, rules_)) return length;
    return std::nullopt;
  }

  Spend spend_for(Length bought) const {
    const std::int64_t length = micrometres(bought);
    return rules_.one_cut_each ? Spend{0, 1, length, 0, 0} : Spend{0, length, 1, 0, 0};
  }

  // buy_spend_[set]: least spend to buy a set; its first cut shares a piece with some others of the set.
  void fill_bought() {
    buy_spend_.assign(all_ + 1U, kImpossible);
    buy_group_.assign(all_ + 1U, 0);
    std::vector<std::optional<Length>> sold(all_ + 1U);
    for (Set set = 1; set <= all_; ++set) sold[set] = sold_for(set);
    buy_spend_[0] = {};
    for (Set set = 1; set <= all_; ++set) {
      const Set first = set & (~set + 1U);
      for (Set group = set; group != 0; group = (group - 1U) & set) {
        if ((group & first) == 0) continue;
        const bool alone_unserved = group == first && !sold[group];
        if (!sold[group] && !alone_unserved) continue;
        const Spend spend =
            (alone_unserved ? Spend{1, 0, 0, 0, 0} : spend_for(*sold[group])) + buy_spend_[set & ~group];
        if (spend < buy_spend_[set]) {
          buy_spend_[set] = spend;
          buy_group_[set] = group;
        }
      }
    }
  }

  // owned_spend_[j][set]: least spend to serve exactly this set from the first j owned pieces.
  void fill_owned() {
    owned_spend_.assign(owned_.size() + 1, std::vector<Spend>(all_ + 1U, kImpossible));
    owned_group_.assign(owned_.size(), std::vector<Set>(all_ + 1U, 0));
    owned_spend_[0][0] = {};
    for (std::size_t j = 0; j < owned_.size(); ++j) {
      owned_spend_[j + 1] = owned_spend_[j];
      for (Set group = 1; group <= all_; ++group) {
        const std::vector<CutWanted> cuts = wanted(group);
        if (!can_cut(owned_[j], cuts, rules_)) continue;
        const bool kept = kept_as_it_is(owned_[j], cuts);
        const Spend spend{0, 0, 0, kept ? 0 : 1, micrometres(owned_[j].length)};
        const Set rest = all_ & ~group;
        for (Set before = rest;; before = (before - 1U) & rest) {
          const Spend sum = owned_spend_[j][before] + spend;
          if (sum < owned_spend_[j + 1][before | group]) {
            owned_spend_[j + 1][before | group] = sum;
            owned_group_[j][before | group] = group;
          }
          if (before == 0) break;
        }
      }
    }
  }

  CuttingPlan told(Set served) const {
    CuttingPlan plan;
    plan.owned.resize(owned_.size());
    Set left = served;
    for (std::size_t j = owned_.size(); j-- > 0;) {
      const Set group = owned_group_[j][left];
      if (group == 0) continue;
      const bool kept = kept_as_it_is(owned_[j], wanted(group));
      plan.owned[j] = {kept ? HoseUse::keep : HoseUse::trim, members(group)};
      left &= ~group;
    }
    for (Set set = all_ & ~served; set != 0; set &= ~buy_group_[set]) {
      const Set group = buy_group_[set];
      if (const auto length = sold_for(group))
        plan.bought.push_back({*length, members(group)});
      else
        plan.unserved.push_back(members(group).front());
    }
    return plan;
  }

  const std::vector<CutWanted>& cuts_;
  const std::vector<CutWanted>& owned_;
  const CutRules& rules_;
  Set all_;
  std::vector<Spend> buy_spend_;
  std::vector<Set> buy_group_;
  std::vector<std::vector<Spend>> owned_spend_;
  std::vector<std::vector<Set>> owned_group_;
};

// Cuts longest first, a dozen at a time; each dozen is planned exactly with what the ones before left in
// hand.
CuttingPlan by_the_dozen(const std::vector<CutWanted>& cuts, const std::vector<CutWanted>& owned,
                         const CutRules& rules) {
  std::vector<std::size_t> order(cuts.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return cuts[a].length > cuts[b].length; });
  CuttingPlan whole;
  whole.least_proved = cuts.size() <= kMostCuts;
  whole.owned.resize(owned.size());
  for (std::size_t at = 0; at < order.size(); at += kMostCuts) {
    const std::vector<std::size_t> dozen(
        order.begin() + static_cast<std::ptrdiff_t>(at),
        order.begin() + static_cast<std::ptrdiff_t>(std::min(order.size(), at + kMostCuts)));
    std::vector<CutWanted> some, in_hand;
    std::vector<std::size_t> owned_of;
    for (const std::size_t i : dozen) some.push_back(cuts[i]);
    for (std::size_t j = 0; j < owned.size(); ++j)
      if (whole.owned[j].use == HoseUse::leave) {
        in_hand.push_back(owned[j]);
        owned_of.push_back(j);
      }
    const auto back = [&](std::vector<std::size_t> numbers) {
      for (std::size_t& i : numbers) i = dozen[i];
      std::sort(numbers.begin(), numbers.end());
      return numbers;
    };
    const CuttingPlan part = Planner(some, in_hand, rules).plan();
    for (std::size_t j = 0; j < in_hand.size(); ++j)
      if (part.owned[j].use != HoseUse::leave)
        whole.owned[owned_of[j]] = {part.owned[j].use, back(part.owned[j].cuts)};
    for (const BoughtPiece& piece : part.bought) whole.bought.push_back({piece.length, back(piece.cuts)});
    for (const std::size_t i : back(part.unserved)) whole.unserved.push_back(i);
  }
  return whole;
}

}  // namespace

bool can_cut(const CutWanted& piece, const std::vector<CutWanted>& cuts, const CutRules& rules) {
  if (cuts.empty()) return false;
  constexpr std::int64_t kSameAngle_urad = 10;
  const auto microradians = [](const CutWanted& c) { return c.turn ? std::llround(c.turn->rad() * 1e6) : 0; };
  std::int64_t taken = 0;
  for (const CutWanted& cut : cuts) {
    if (piece.turn.has_value() != cut.turn.has_value()) return false;
    if (std::abs(microradians(piece) - microradians(cut)) > kSameAngle_urad) return false;
    taken += micrometres(cut.length);
  }
  const std::int64_t length = micrometres(piece.length);
  if (rules.one_cut_each) {
    const bool in_reach = !rules.most_trim || length - taken <= micrometres(*rules.most_trim);
    return cuts.size() == 1 && length >= taken && in_reach;
  }
  // A piece that serves one cut end to end loses nothing; further cuts each square a fresh end.
  return length >= taken + static_cast<std::int64_t>(cuts.size() - 1) * micrometres(kCutLoss);
}

CuttingPlan plan_cuts(const std::vector<CutWanted>& cuts, const std::vector<CutWanted>& owned,
                      const CutRules& rules) {
  return by_the_dozen(cuts, owned, rules);
}

}  // namespace hosefit
