// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/order/cutting_plan.h"

#include <algorithm>
#include <array>
#include <catch2/catch.hpp>
#include <cmath>

#include "solver/base/dice.h"

using namespace hosefit;

namespace {

using Cuts = std::vector<CutWanted>;
using Amounts = std::array<double, 5>;  // unserved, bought, pieces, owned cut into, owned length used

Cuts of(const std::vector<double>& lengths_mm, double as_it_is_mm = 0) {
  Cuts out;
  for (const double mm : lengths_mm) out.push_back({Length::mm(mm), std::nullopt, Length::mm(as_it_is_mm)});
  return out;
}

CutRules sticks(const std::vector<double>& lengths_mm) {
  CutRules rules;
  for (const double mm : lengths_mm) rules.lengths.push_back(Length::mm(mm));
  return rules;
}

double bought_mm(const CuttingPlan& plan) {
  double sum = 0;
  for (const BoughtPiece& piece : plan.bought) sum += piece.length.mm();
  return sum;
}

Amounts amounts(const CuttingPlan& plan, const Cuts& owned, const CutRules& rules) {
  Amounts a{static_cast<double>(plan.unserved.size()), bought_mm(plan),
            static_cast<double>(plan.bought.size()), 0, 0};
  if (rules.one_cut_each) std::swap(a[1], a[2]);
  for (std::size_t j = 0; j < owned.size(); ++j) {
    if (plan.owned[j].use == HoseUse::trim) a[3] += 1;
    if (plan.owned[j].use != HoseUse::leave) a[4] += owned[j].length.mm();
  }
  return a;
}

bool less(const Amounts& a, const Amounts& b) {
  for (std::size_t i = 0; i < a.size(); ++i)
    if (std::abs(a[i] - b[i]) > 1e-6) return a[i] < b[i];
  return false;
}

// Every way to give each cut to an owned piece, to one of as many new pieces as there are cuts, or to none.
class EveryWay {
 public:
  EveryWay(const Cuts& cuts, const Cuts& owned, const CutRules& rules)
      : cuts_(cuts), owned_(owned), rules_(rules) {
    bins_.resize(owned.size() + cuts.size());
    give(0, 0);
  }
  Amounts best{1e9, 0, 0, 0, 0};

 private:
  void give(std::size_t cut, int unserved) {
    if (cut == cuts_.size()) return weigh(unserved);
    for (Cuts& bin : bins_) {
      bin.push_back(cuts_[cut]);
      give(cut + 1, unserved);
      bin.pop_back();
    }
    give(cut + 1, unserved + 1);
  }
  void weigh(int unserved) {
    Amounts a{static_cast<double>(unserved), 0, 0, 0, 0};
    for (std::size_t b = 0; b < bins_.size(); ++b) {
      const Cuts& bin = bins_[b];
      if (bin.empty()) continue;
      if (b < owned_.size()) {
        if (!can_cut(owned_[b], bin, rules_)) return;
        const bool kept = bin.size() == 1 && owned_[b].length - bin[0].length <= bin[0].as_it_is;
        a[3] += kept ? 0 : 1;
        a[4] += owned_[b].length.mm();
        continue;
      }
      const auto sold = std::find_if(rules_.lengths.begin(), rules_.lengths.end(), [&](Length length) {
        return can_cut({length, bin[0].turn, {}}, bin, rules_);
      });
      if (sold == rules_.lengths.end()) return;
      a[rules_.one_cut_each ? 2 : 1] += sold->mm();
      a[rules_.one_cut_each ? 1 : 2] += 1;
    }
    if (less(a, best)) best = a;
  }

  const Cuts& cuts_;
  const Cuts& owned_;
  const CutRules& rules_;
  std::vector<Cuts> bins_;
};

}  // namespace

TEST_CASE("a piece in hand is kept, re-trimmed or replaced") {
  const CutRules rules = sticks({300, 600, 900});
  const Cuts cut = of({412}, 4.8);
  const auto use = [&](double owned_mm) { return plan_cuts(cut, of({owned_mm}), rules); };
  CHECK(use(412).owned[0].use == HoseUse::keep);
  CHECK(use(416).owned[0].use == HoseUse::keep);  // within the tolerance of the cut
  CHECK(use(450).owned[0].use == HoseUse::trim);
  CHECK(use(411).owned[0].use == HoseUse::leave);  // too short is never kept, whatever the tolerance
  CHECK(use(450).bought.empty());
  REQUIRE(use(411).bought.size() == 1);
  CHECK(use(411).bought[0].length.mm() == 600);
}

TEST_CASE("the owned piece goes where it saves the most") {
  // 600 mm in hand serves the 500 (else a 600 is bought) rather than the 250 (else a 300).
  const CuttingPlan plan = plan_cuts(of({250, 500}), of({600}), sticks({300, 600}));
  CHECK(plan.owned[0].cuts == std::vector<std::size_t>{1});
  CHECK(bought_mm(plan) == 300);
  // Of two that serve, the shorter is cut and the longer stays whole.
  const CuttingPlan shorter = plan_cuts(of({250}), of({900, 400}), sticks({300}));
  CHECK(shorter.owned[0].use == HoseUse::leave);
  CHECK(shorter.owned[1].use == HoseUse::trim);
  // One long piece serves two cuts; 2 mm go with the cut between them.
  CHECK(plan_cuts(of({300, 400}), of({702}), sticks({900})).bought.empty());
  CHECK(bought_mm(plan_cuts(of({300, 400}), of({701}), sticks({900}))) == 900);
}

TEST_CASE("cuts share lengths on sale") {
  CHECK(bought_mm(plan_cuts(of({75, 75, 75, 75}), {}, sticks({300, 600}))) == 600);  // 4 x 75 + 3 x 2 = 306
  CHECK(bought_mm(plan_cuts(of({73, 73, 73, 73}), {}, sticks({300, 600}))) == 300);
  CHECK(bought_mm(plan_cuts(of({500, 350, 90}), {}, sticks({300, 600, 900}))) == 1200);
  const CuttingPlan too_long = plan_cuts(of({950, 100}), {}, sticks({300}));
  CHECK(too_long.unserved == std::vector<std::size_t>{0});
  CHECK(bought_mm(too_long) == 300);
}

TEST_CASE("corrugated hose is trimmed at its cuffs only, an elbow keeps its angle") {
  CutRules corrugated = sticks({250, 300, 350, 400});
  corrugated.one_cut_each = true;
  corrugated.most_trim = Length::mm(30);
  CHECK(plan_cuts(of({325}), of({400}), corrugated).owned[0].use == HoseUse::leave);
  CHECK(plan_cuts(of({325}), of({350}), corrugated).owned[0].use == HoseUse::trim);
  CHECK(plan_cuts(of({310}), {}, corrugated).unserved.empty() == false);  // 350 would lose 40, 300 is short
  CutRules elbows = sticks({102});
  elbows.one_cut_each = true;
  const Cuts wanted{{Length::mm(90), Angle::deg(45), Length::mm(-1)}};
  CHECK(plan_cuts(wanted, {{Length::mm(100), Angle::deg(90), {}}}, elbows).owned[0].use == HoseUse::leave);
  CHECK(plan_cuts(wanted, {{Length::mm(100), Angle::deg(45), {}}}, elbows).owned[0].use == HoseUse::trim);
}

TEST_CASE("no way of giving out cuts spends less") {
  Dice dice(RunSeed{7}, 0);
  for (int round = 0; round < 150; ++round) {
    CutRules rules = sticks({300, 600, 900});
    rules.one_cut_each = round % 3 == 2;
    if (rules.one_cut_each && round % 2 == 0) rules.most_trim = Length::mm(120);
    std::vector<double> cuts_mm, owned_mm;
    const int cuts_n = 1 + static_cast<int>(dice.between(0, 4)),
              owned_n = static_cast<int>(dice.between(0, 3));
    for (int i = 0; i < cuts_n; ++i) cuts_mm.push_back(std::round(dice.between(40, 950)));
    for (int i = 0; i < owned_n; ++i) owned_mm.push_back(std::round(dice.between(100, 1000)));
    const Cuts cuts = of(cuts_mm, 5), owned = of(owned_mm);
    CAPTURE(round, cuts_mm, owned_mm, rules.one_cut_each);
    const CuttingPlan plan = plan_cuts(cuts, owned, rules);
    const Amounts found = amounts(plan, owned, rules), best = EveryWay(cuts, owned, rules).best;
    for (std::size_t i = 0; i < found.size(); ++i) CHECK(found[i] == Approx(best[i]).margin(1e-6));
    std::vector<int> served(cuts.size(), 0);
    for (const BoughtPiece& piece : plan.bought)
      for (const std::size_t i : piece.cuts) ++served[i];
    for (const OwnedUse& use : plan.owned)
      for (const std::size_t i : use.cuts) ++served[i];
    for (const std::size_t i : plan.unserved) ++served[i];
    CHECK(std::all_of(served.begin(), served.end(), [](int n) { return n == 1; }));
    const CuttingPlan turned =
        plan_cuts(Cuts(cuts.rbegin(), cuts.rend()), Cuts(owned.rbegin(), owned.rend()), rules);
    CHECK(amounts(turned, Cuts(owned.rbegin(), owned.rend()), rules) == found);
  }
}

TEST_CASE("more cuts than can be weighed are all served, and it is said") {
  const CuttingPlan plan =
      plan_cuts(of(std::vector<double>(30, 200.0)), of({450, 450}), sticks({300, 600, 900}));
  CHECK_FALSE(plan.least_proved);
  std::size_t served = plan.unserved.size();
  for (const BoughtPiece& piece : plan.bought) served += piece.cuts.size();
  for (const OwnedUse& use : plan.owned) served += use.cuts.size();
  CHECK(served == 30);
  CHECK(plan.unserved.empty());
  CHECK(plan_cuts({}, of({450}), sticks({300})).bought.empty());
}
