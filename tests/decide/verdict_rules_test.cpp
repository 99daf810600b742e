// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/decide/verdict_rules.h"

#include <algorithm>
#include <array>
#include <catch2/catch.hpp>

#include "solver/base/dice.h"

using namespace hosefit;

namespace {

constexpr std::array kStates{LineState::proved, LineState::wrong_stock, LineState::open, LineState::blocked};

Finding finding(Severity severity, std::optional<double> margin, bool undecided = false) {
  Finding f;
  f.severity = severity;
  f.margin = margin;
  f.undecided = undecided;
  return f;
}

}  // namespace

TEST_CASE("every combination of parts and two lines has the verdict of the table") {
  // Rows: first line proved, wrong_stock, open, blocked; columns the same for the second; parts that go
  // together.
  const Fit f = Fit::fits, p = Fit::passage_no_stock, n = Fit::does_not_fit, u = Fit::undecided;
  const Fit table[4][4] = {{f, p, u, n}, {p, p, u, n}, {u, u, u, n}, {n, n, n, n}};
  for (std::size_t a = 0; a < kStates.size(); ++a)
    for (std::size_t b = 0; b < kStates.size(); ++b) {
      CAPTURE(a, b);
      const std::array lines{kStates[a], kStates[b]};
      CHECK(fit_of(PartsState::go_together, lines) == table[a][b]);
      CHECK(fit_of(PartsState::do_not, lines) == Fit::does_not_fit);
      CHECK(fit_of(PartsState::not_seen, lines) == (table[a][b] == n ? n : u));
    }
  CHECK(fit_of(PartsState::go_together, {}) == Fit::fits);
  CHECK(fit_of(PartsState::not_seen, {}) == Fit::undecided);
  CHECK(fit_of(PartsState::do_not, {}) == Fit::does_not_fit);
}

TEST_CASE("only searches that exclude something are arguments") {
  CHECK(is_argument(SearchOutcome::stub_blocked));
  CHECK(is_argument(SearchOutcome::no_passage));
  CHECK(is_argument(SearchOutcome::no_room_to_bend));
  CHECK_FALSE(is_argument(SearchOutcome::found));
  CHECK_FALSE(is_argument(SearchOutcome::no_stock));
  CHECK_FALSE(is_argument(SearchOutcome::budget_spent));
}

TEST_CASE("findings stand with stops first and the shortest margin first, whatever order they came in") {
  const std::vector<Finding> ordered{finding(Severity::stop, -9.0),   finding(Severity::stop, -4.0),
                                     finding(Severity::stop, {}),     finding(Severity::stop, -20.0, true),
                                     finding(Severity::flag, -3.0),   finding(Severity::flag, 1.0),
                                     finding(Severity::note, -100.0), finding(Severity::note, {})};
  for (std::uint64_t task = 0; task < 50; ++task) {
    CAPTURE(task);
    Dice dice(RunSeed{7}, task);
    std::vector<Finding> mixed = ordered;
    for (std::size_t i = mixed.size() - 1; i > 0; --i) std::swap(mixed[i], mixed[dice.below(i + 1)]);
    order_findings(mixed);
    for (std::size_t i = 0; i < ordered.size(); ++i) {
      CHECK(mixed[i].severity == ordered[i].severity);
      CHECK(mixed[i].margin == ordered[i].margin);
    }
  }
}

TEST_CASE("a limit counts once, under what its provenance is worth") {
  LimitsCount count;
  count.add("a", {Source::standard, "ISO 1307:2008", "", ""});
  count.add("a", {Source::standard, "ISO 1307:2008", "", ""});
  count.add("b", {Source::handbook, "", "", ""});
  count.add("c", {Source::shop, "", "the fitter", "measured"});
  count.add("d", {Source::shop, "", "", "nobody signed"});
  CHECK(count.answer() == LimitsAnswer{1, 2, 1});
}
