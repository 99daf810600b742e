// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/base/result.h"

#include <catch2/catch.hpp>

using namespace hosefit;

TEST_CASE("a result holds its value or all problems") {
  const Result<int> good(3);
  REQUIRE(good);
  CHECK(*good == 3);
  const Result<int> bad(Problems{{{"a.yaml", 2, 5}, "x", "first", ""}, {{}, "y", "second", ""}});
  REQUIRE_FALSE(bad);
  CHECK(bad.problems().size() == 2);
  CHECK(bad.problems()[0].place == Place{"a.yaml", 2, 5});
}
