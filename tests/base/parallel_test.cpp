// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/base/parallel.h"

#include <atomic>
#include <catch2/catch.hpp>
#include <chrono>
#include <stdexcept>
#include <string>
#include <thread>
#include <vector>

using namespace hosefit;

TEST_CASE("every index is called exactly once, whatever the threads") {
  for (const unsigned threads : {0U, 1U, 2U, 5U, 64U})
    for (const std::size_t n : {0U, 1U, 3U, 1000U}) {
      CAPTURE(threads, n);
      std::vector<std::atomic<int>> calls(n);
      parallel_for(n, {threads}, [&](std::size_t i) { ++calls[i]; });
      for (const auto& c : calls) REQUIRE(c == 1);
    }
}

TEST_CASE("results written by index are the same on one thread and on four") {
  const auto squares = [](Threads threads) {
    std::vector<double> out(500);
    parallel_for(out.size(), threads,
                 [&](std::size_t i) { out[i] = static_cast<double>(i) * static_cast<double>(i) / 3; });
    return out;
  };
  CHECK(squares({1}) == squares({4}));
}

TEST_CASE("of several exceptions the one of the lowest index is passed on, after the rest has run") {
  std::atomic<int> calls{0};
  const auto run = [&] {
    parallel_for(100, {4}, [&](std::size_t i) {
      ++calls;
      if (i == 90 || i == 17 || i == 55) throw std::runtime_error(std::to_string(i));
    });
  };
  CHECK_THROWS_WITH(run(), "17");
  CHECK(calls == 100);
}

TEST_CASE("once stop is requested no further index starts") {
  std::stop_source source;
  std::atomic<int> calls{0};
  parallel_for(
      1000, {1},
      [&](std::size_t i) {
        ++calls;
        if (i == 9) source.request_stop();
      },
      source.get_token());
  CHECK(calls == 10);
  calls = 0;
  parallel_for(
      1000, {4}, [&](std::size_t) { ++calls; }, source.get_token());
  CHECK(calls == 0);
}

TEST_CASE("the machine offers at least one thread") {
  CHECK(Threads::of_machine().count >= 1);
}

TEST_CASE("no more threads work than were asked for") {
  std::atomic<int> at_work{0}, most{0};
  parallel_for(200, {3}, [&](std::size_t) {
    const int now = ++at_work;
    for (int seen = most; now > seen && !most.compare_exchange_weak(seen, now);) {
    }
    std::this_thread::sleep_for(std::chrono::microseconds(200));
    --at_work;
  });
  CHECK(most <= 3);
  CHECK(most >= 1);
}
