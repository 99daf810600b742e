// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>

#include "solver/decide/height_cover.h"
#include "tests/support/box_job.h"

using namespace hosefit;

namespace {

std::vector<HeightWindow> windows(const Prepared& prepared, std::size_t pump, double least_step_mm = 1.0,
                                  unsigned threads = 1) {
  Budget budget;
  budget.threads.count = threads;
  return height_windows(prepared, pump, 0, Length::mm(least_step_mm), budget, {}, {});
}

Fit fit_at(const Prepared& prepared, std::size_t pump, double height_mm) {
  Query query;
  query.height = Length::mm(height_mm);
  query.pumps = {pump};
  const Choice choice = decide(prepared, query, {}, {}, {});
  return choice.candidates[choice.ranking[0].best].verdict.fit;
}

double edge_mm(const std::vector<HeightWindow>& all, Fit fit, bool upper) {
  for (const HeightWindow& w : all)
    if (w.fit == fit) return upper ? w.to.mm() : w.from.mm();
  return -1;
}

}  // namespace

TEST_CASE("height windows are ascending, without holes, over the whole range of the intake") {
  const Prepared prepared(box_job::make());
  for (const std::size_t pump : {std::size_t{0}, std::size_t{1}}) {
    const auto all = windows(prepared, pump);
    REQUIRE_FALSE(all.empty());
    CHECK(all.front().from == Length::mm(250));
    CHECK(all.back().to == Length::mm(350));
    for (std::size_t i = 0; i < all.size(); ++i) {
      CHECK(all[i].from < all[i].to);
      if (i == 0) continue;
      CHECK(all[i].from == all[i - 1].to);
      CHECK(all[i].fit != all[i - 1].fit);
    }
  }
}

TEST_CASE("height windows of the box bay end where the gaps worked out by hand end") {
  const Prepared prepared(box_job::make());
  const auto low = windows(prepared, 0);
  CHECK(edge_mm(low, Fit::does_not_fit, true) == Approx(257.7).margin(1.1));  // hose under the plenum
  CHECK(edge_mm(low, Fit::fits, false) == Approx(257.7).margin(2.2));  // the route keeps 1 mm in reserve
  CHECK(edge_mm(low, Fit::fits, true) == Approx(340).margin(1.1));     // hood
  const auto tall = windows(prepared, 1);
  CHECK(edge_mm(tall, Fit::does_not_fit, true) == Approx(282).margin(1.1));  // snout under the plenum
  CHECK(edge_mm(tall, Fit::fits, false) == Approx(282).margin(1.1));
  REQUIRE(tall.back().fit == Fit::does_not_fit);
  REQUIRE(tall.back().binds);
  CHECK(tall.back().binds->rule == RuleId::hood_over_intake);
  for (const HeightWindow& w : tall)
    if (w.fit == Fit::fits) {
      REQUIRE(w.binds);
      CHECK(w.binds->rule == RuleId::hood_over_intake);
    }
}

TEST_CASE("what binds in a window stands with the height it was judged at, in it or just above a fit") {
  const Prepared prepared(box_job::make());
  const auto tall = windows(prepared, 1);
  bool any_fit = false;
  for (std::size_t i = 0; i < tall.size(); ++i) {
    const HeightWindow& w = tall[i];
    if (!w.binds) continue;
    REQUIRE(w.binds->margin);
    if (w.fit == Fit::fits) {
      any_fit = true;
      REQUIRE(w.binds->rule == RuleId::hood_over_intake);
      CHECK(w.binds_at >= w.to);
      CHECK(*w.binds->margin == Approx(340 - w.binds_at.mm()).margin(0.05));  // 340 mm by hand
    } else {
      CHECK((w.binds_at >= w.from && w.binds_at <= w.to));
    }
  }
  CHECK(any_fit);
  REQUIRE(tall.front().fit == Fit::does_not_fit);
  REQUIRE(tall.front().binds);
  REQUIRE(
      tall.front().binds->limit);  // how far parts overlap is not measured: no more than the gap is missing
  CHECK(*tall.front().binds->margin ==
        Approx(std::max(tall.front().binds_at.mm() - 282, -*tall.front().binds->limit)).margin(0.05));
  REQUIRE(tall.back().fit == Fit::does_not_fit);  // several heights were judged in it
  CHECK(*tall.back().binds->margin < *tall[tall.size() - 2].binds->margin);
}

TEST_CASE("every height asked for inside a window has the verdict of the window") {
  const Prepared prepared(box_job::make());
  for (const std::size_t pump : {std::size_t{0}, std::size_t{1}})
    for (const HeightWindow& w : windows(prepared, pump)) {
      if (w.fit == Fit::undecided) continue;
      for (std::uint64_t task = 0; task < 5; ++task) {
        Dice dice(RunSeed{11}, task);
        const double height = dice.between(w.from.mm(), w.to.mm());
        CAPTURE(pump, height, word(w.fit));
        CHECK(fit_at(prepared, pump, height) == w.fit);
      }
    }
}

TEST_CASE("parts that do not pair do not fit at any height") {
  Job job = box_job::make();
  job.family.pumps[0].rotation = Rotation::counterclockwise;
  const Prepared prepared(std::move(job));
  const auto all = windows(prepared, 0);
  REQUIRE(all.size() == 1);
  CHECK(all[0].fit == Fit::does_not_fit);
  REQUIRE(all[0].binds);
  CHECK(all[0].binds->rule == RuleId::rotation);
}

TEST_CASE("height windows are the same on any number of threads") {
  const Prepared prepared(box_job::make());
  const auto one = windows(prepared, 1, 2.0, 1);
  const auto eight = windows(prepared, 1, 2.0, 8);
  REQUIRE(one.size() == eight.size());
  for (std::size_t i = 0; i < one.size(); ++i) {
    CHECK(one[i].from == eight[i].from);
    CHECK(one[i].to == eight[i].to);
    CHECK(one[i].fit == eight[i].fit);
  }
}

TEST_CASE("an interrupted search for windows leaves the rest undecided and no hole") {
  const Prepared prepared(box_job::make());
  std::stop_source source;
  source.request_stop();
  const auto all = height_windows(prepared, 0, 0, Length::mm(1), {}, source.get_token(), {});
  REQUIRE(all.size() == 1);
  CHECK(all[0].fit == Fit::undecided);
  CHECK(all[0].from == Length::mm(250));
  CHECK(all[0].to == Length::mm(350));
}

TEST_CASE("a fit reaches no further than the spare gap of what moves with the height against what stands") {
  const Prepared prepared(box_job::make());  // hood over the intake: height <= 340
  Candidate candidate;
  candidate.height = Length::mm(332);
  const Judgement judgement = judge(prepared, candidate, {}, {});
  REQUIRE(judgement.result.verdict.fit == Fit::fits);
  CHECK(height_cover(prepared, judgement).up_mm == Approx(8).margin(0.1));
}

TEST_CASE("a fit does not reach up to where a stretch box comes into being") {
  Job job = box_job::make();
  job.family.intakes[0].stretch[0].shape =
      std::get<BoxShape>(box_job::box("", {120, 0, 182}, {80, 80, 2}).shape);
  const Prepared prepared(std::move(job));  // drawn 4 mm thick at 300: gone at 296 and below
  Candidate candidate;
  candidate.height = Length::mm(290);
  const Judgement judgement = judge(prepared, candidate, {}, {});
  REQUIRE(judgement.result.verdict.fit == Fit::fits);
  const HeightCover cover = height_cover(prepared, judgement);
  CHECK(cover.up_mm == Approx(6).margin(1e-9));
  CHECK(cover.down_mm > 6);
}
