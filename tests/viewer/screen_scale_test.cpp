// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/screen_scale.h"

#include <catch2/catch.hpp>
#include <limits>

using namespace hosefit;

TEST_CASE("text is as large as the monitor asks, and finer where its points hold several pixels") {
  CHECK(screen_scale({1, 1}, {}) == ScreenScale{1, 1});
  CHECK(screen_scale({2, 1}, {}) == ScreenScale{2, 1});  // the window counts pixels: all sizes double
  CHECK(screen_scale({2, 2}, {}) == ScreenScale{1, 2});  // the window system doubles them itself
  CHECK(screen_scale({1.5F, 2}, {}) == ScreenScale{0.75F, 2});
  CHECK(screen_scale({2, 1603.0F / 801}, {}) == screen_scale({2, 2}, {}));
}

TEST_CASE("moving to another monitor changes the scale unless it was given") {
  CHECK(screen_scale({1, 1}, {}) != screen_scale({1.5F, 1}, {}));
  CHECK(screen_scale({1, 1}, 1.25F) == screen_scale({1.5F, 1}, 1.25F));
  CHECK(screen_scale({2, 2}, 1.25F) == ScreenScale{1.25F, 2});
}

TEST_CASE("a monitor that says nonsense leaves a window that can be read") {
  const float nan = std::numeric_limits<float>::quiet_NaN(), endless = std::numeric_limits<float>::infinity();
  for (const float wrong : {0.0F, -2.0F, nan, endless}) {
    CHECK(screen_scale({wrong, wrong}, {}) == ScreenScale{1, 1});
    CHECK(screen_scale({2, 1}, wrong) == ScreenScale{1, 1});
  }
  CHECK(screen_scale({100, 1}, {}) == ScreenScale{4, 1});
  CHECK(screen_scale({0.01F, 1}, {}) == ScreenScale{0.5F, 1});
}
