// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>

#include "solver/decide/judge.h"
#include "solver/order/order_list.h"
#include "tests/support/tee_job.h"

using namespace hosefit;

TEST_CASE("the order list holds the tee once, its two hoses cut apart and two clamps more") {
  const Prepared with(tee_job::make());
  const CandidateResult result = judge(with, Candidate{0, 0, 0, 0, 0, Length::mm(300)}, Budget{}, {}).result;
  REQUIRE(result.verdict.fit == Fit::fits);
  const auto sheets = cut_sheets(with.job(), result);
  const OrderList list = order_list(with.job(), result, sheets);
  CHECK(list.order_now);
  long tees = 0, clamps = 0;
  for (const OrderRow& row : list.rows) {
    if (row.kind == ItemKind::clamp) clamps += row.needed;
    if (row.kind != ItemKind::tee) continue;
    tees += row.needed;
    CHECK(row.shape == "side tee");
    CHECK(row.lines == std::vector<std::string>{"side from side tee", "side to side tee", "small"});
  }
  CHECK(tees == 1);
  CHECK(clamps == 10);
  // 400 mm between the necks less the 110 mm of the tee's run, and 28 mm pushed over each of four tube ends.
  const Tee& tee = *with.job().vehicle.tee;
  REQUIRE(sheets[tee.before].pieces.size() == 1);
  REQUIRE(sheets[tee.after].pieces.size() == 1);
  CHECK(sheets[tee.before].pieces[0].cut.mm() == Approx(199 - 55 + 2 * 28));
  CHECK(sheets[tee.after].pieces[0].cut.mm() == Approx(201 - 55 + 2 * 28));
}
