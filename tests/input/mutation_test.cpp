// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <catch2/catch.hpp>
#include <vector>

#include "solver/base/dice.h"
#include "tests/input/edited_job.h"
#include "tests/support/rounds.h"

namespace hosefit::test {
namespace {

constexpr int kMutations = rounds(3200);

// Between one and four bytes put in, taken out, changed, or a piece copied elsewhere.
std::string mutated(std::string bytes, Dice& dice) {
  static const std::string kTelling = "{}[]:,-#&*!|>'\"%@`\t\n 0129.eE+_~nan?\\/\x01\x7f\xff\xc3";
  for (auto times = 1 + dice.below(4); times > 0; --times) {
    const std::size_t at = dice.below(bytes.size() + 1);
    switch (dice.below(5)) {
      case 0:
        bytes.insert(at, 1, kTelling[dice.below(kTelling.size())]);
        break;
      case 1:
        bytes.erase(at, 1 + dice.below(6));
        break;
      case 2:
        if (at < bytes.size()) bytes[at] = static_cast<char>(dice.below(256));
        break;
      case 3:
        if (at < bytes.size()) bytes[at] = kTelling[dice.below(kTelling.size())];
        break;
      default:
        bytes.insert(at, bytes.substr(dice.below(bytes.size() + 1), dice.below(60)));
    }
  }
  return bytes;
}

}  // namespace

TEST_CASE("whatever happens to its bytes, a job loads or tells its problems with a place") {
  const Files good = good_files();
  const ScratchFolder scratch;
  REQUIRE(load_from(scratch, good));
  int loaded = 0, refused = 0;
  for (int task = 0; task < kMutations; ++task) {
    CAPTURE(task);
    Dice dice(RunSeed{7}, static_cast<std::uint64_t>(task));
    const auto which = std::next(good.begin(), static_cast<std::ptrdiff_t>(dice.below(good.size())));
    CAPTURE(which->first);
    write_file(scratch.path() / which->first, mutated(which->second, dice));
    const Result<Job> result = load_job(paths_in(scratch.path()));
    write_file(scratch.path() / which->first, which->second);
    if (result) {
      ++loaded;
      continue;
    }
    ++refused;
    const Problems& problems = result.problems();
    REQUIRE(std::all_of(problems.begin(), problems.end(), [](const Problem& p) { return !p.text.empty(); }));
    REQUIRE(std::any_of(problems.begin(), problems.end(), [](const Problem& p) { return p.place.line > 0; }));
    REQUIRE(format_problems(problems).find_first_of("\x01\x1b\x7f\t") == std::string::npos);
  }
  CHECK(loaded > kMutations / 50);  // comments and free text may change
  CHECK(refused > kMutations / 2);
}

}  // namespace hosefit::test
