// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <set>
#include <tuple>
#include <vector>

#include "solver/base/dice.h"
#include "solver/route/shapes.h"
#include "tests/bench/timing.h"
#include "tests/support/moulded_shapes.h"

using namespace hosefit;
using namespace hosefit::test;

namespace {

constexpr int kShapes = 10'000, kLines = 60;

// Half of the lines are cut from a shape of the table and sprung, half lie anywhere.
ShapeEnds ends_of(Dice& dice, const std::vector<MouldedShape>& shapes, bool planted) {
  ShapeEnds ends{{}, {}, 24, 24, 28, 28};
  if (planted) {
    const MouldedShape& shape = shapes[dice.below(shapes.size())];
    Sprung s = random_spring(dice, shape, 4, 24);
    s.first_mm = s.last_mm = 30;
    const Centreline line = laid(shape, s);
    ends.start = {start_point(line), start_direction(line)};
    ends.goal = {end_point(line), end_direction(line)};
    return ends;
  }
  const auto way = [&] {
    Vec3 v;
    do v = Vec3(dice.between(-1, 1), dice.between(-1, 1), dice.between(-1, 1));
    while (v.norm() > 1 || v.norm() < 0.1);
    return Vec3(v.normalized());
  };
  ends.start = {Vec3::Zero(), way()};
  ends.goal = {dice.between(150, 500) * way(), way()};
  return ends;
}

void told(const char* what, std::vector<double> ms) {
  std::sort(ms.begin(), ms.end());
  fmt::print("  {:<46} median {:.1f} ms, 95 of 100 under {:.1f} ms, at most {:.1f} ms\n", what,
             ms[ms.size() / 2], ms[ms.size() * 95 / 100], ms.back());
}

}  // namespace

void bench_shapes() {
  fmt::print("\n{} moulded shapes of 1 to 4 bends, CPU for each of {} lines\n", kShapes, kLines);
  Dice dice(RunSeed{10}, 1);
  std::vector<MouldedShape> shapes;
  for (int i = 0; i < kShapes; ++i) shapes.push_back(random_shape(dice, fmt::format("shape {}", i)));
  std::optional<ShapeTable> table;
  const Timed made = timed([&] { table.emplace(shapes); });
  row("bounds of every run of bends, once for all lines", made, fmt::format("{} runs", table->runs().size()));
  std::vector<double> quick, plain;
  std::size_t matched = 0;
  bool same = true;
  for (int i = 0; i < kLines; ++i) {
    const ShapeEnds ends = ends_of(dice, shapes, i % 2 == 0);
    std::vector<ShapeMatch> found;
    quick.push_back(timed([&] {
                      Work work(1'000'000, {});
                      found = shape_matches(*table, shapes, ends, work);
                    }).cpu);
    std::set<std::tuple<std::size_t, std::int64_t, std::int64_t, bool>> by_bounds, by_all;
    const auto micro = [](double mm) { return static_cast<std::int64_t>(mm * 1000); };
    for (const ShapeMatch& m : found)
      by_bounds.insert({m.shape, static_cast<std::int64_t>(m.bends), micro(m.length_mm), m.cut.reversed});
    plain.push_back(
        timed([&] {
          for (const ShapeRun& run : table->runs())
            for (const bool backwards : {false, true}) {
              const ShapeChain chain = chain_of(shapes[run.shape], run.first, run.bends, backwards);
              const std::optional<ChainPose> pose = fit_chain(chain, ends);
              if (pose)
                by_all.insert({run.shape, run.bends,
                               micro(length_mm(centreline_of(chain, *pose, ends.start))), backwards});
            }
        }).cpu);
    same = same && by_bounds == by_all;
    matched += found.size();
  }
  told("bounds first", quick);
  told("every run fitted", plain);
  fmt::print("  {} matches in all, {} with and without bounds\n", matched,
             same ? "the same" : "NOT THE SAME");
}
