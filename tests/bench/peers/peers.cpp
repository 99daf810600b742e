// SPDX-License-Identifier: GPL-3.0-or-later
// The router beside set-ups of a general motion-planning library on the family of bays.
#include <fmt/format.h>

#include <cmath>
#include <cstdlib>
#include <sstream>

#include "tests/bench/machine.h"
#include "tests/bench/peers/contest.h"
#include "tests/family/results.h"

using namespace hosefit;
using namespace hosefit::bench;

namespace {

constexpr const char* kHelp =
    R"(hosefit_peers: the router beside set-ups of a general motion-planning library, on bays with a known route

  --count N       bays, from the beginning of tests/family/seeds.txt, those without a route left out (default 90)
  --from N        leave out the first N of them (default 0)
  --other-bays    the same kinds with seeds that the list does not hold: to choose set-ups by
  --kind KIND     only bays of this kind
  --peers A,B     which set-ups: KPIECE1, KPIECE1+polish, corner_RRT, SST, RRT, RRTConnect, BITstar; none (default KPIECE1,RRTConnect,
                  KPIECE1+polish)
  --budget N      clearance calls a bay for each (default 400000)
  --length        also the router asked for length alone
  --best-of N     with N long searches for length more, to know the shortest run better (default 0)
  --empty         only: lengths with no obstacle beside the shortest arc, straight, arc
  --each          a line per bay: kind seed direct best, then per solver: proved ms calls length spare bends

Exit 1 when a run that a solver found is refused by the proof, and with --empty when a length is off by more than
0.1 %. Nothing is asserted about times. Exit 2: usage.
)";

struct Wishes {
  std::size_t from = 0, count = 90;
  std::optional<family::Kind> kind;
  Rules rules;
  bool other_bays = false, empty = false, each = false;
};

[[noreturn]] void refuse(const std::string& what) {
  fmt::print(stderr, "{}\nhosefit_peers --help tells the options\n", what);
  std::exit(2);
}

std::int64_t number(const std::string& option, const std::string& text) {
  char* end = nullptr;
  const double value = std::strtod(text.c_str(), &end);
  if (text.empty() || *end != 0 || !(value >= 0 && value <= 1e12))
    refuse(option + " wants a number, not '" + text + "'");
  return static_cast<std::int64_t>(value);
}

std::vector<Planner> peers_of(const std::string& text) {
  std::vector<Planner> peers;
  std::istringstream in(text);
  for (std::string name; text != "none" && std::getline(in, name, ',');) {
    const std::optional<Planner> planner = planner_named(name);
    if (!planner) refuse("'" + name + "' is no set-up");
    peers.push_back(*planner);
  }
  return peers;
}

bool flag(const std::string& option, Wishes& w) {
  if (option == "--help") {
    fmt::print("{}", kHelp);
    std::exit(0);
  }
  if (option == "--other-bays") return w.other_bays = true;
  if (option == "--length") return w.rules.length = true;
  if (option == "--empty") return w.empty = true;
  if (option == "--each") return w.each = true;
  return false;
}

Wishes wishes_of(const std::vector<std::string>& words) {
  Wishes w;
  w.rules.length = false;
  for (std::size_t i = 0; i < words.size(); ++i) {
    const std::string& option = words[i];
    if (flag(option, w)) continue;
    if (i + 1 == words.size()) refuse("'" + option + "' is no option, or wants a value");
    const std::string& value = words[++i];
    if (option == "--from") {
      w.from = static_cast<std::size_t>(number(option, value));
    } else if (option == "--count") {
      w.count = static_cast<std::size_t>(number(option, value));
    } else if (option == "--budget") {
      w.rules.budget = number(option, value);
    } else if (option == "--best-of") {
      w.rules.reference_seeds = static_cast<int>(number(option, value));
    } else if (option == "--peers") {
      w.rules.peers = peers_of(value);
    } else if (option == "--kind") {
      w.kind = family::kind_named(value);
      if (!w.kind) refuse("'" + value + "' is no kind; see hosefit_family --kinds");
    } else {
      refuse("'" + option + "' is no option");
    }
  }
  return w;
}

std::vector<family::BayName> bays_of(const Wishes& w) {
  int line = 0;
  const std::string file = std::string(HOSEFIT_ROOT_DIR) + "/tests/family/seeds.txt";
  const auto all = family::read_seeds(file, line);
  if (!all) refuse(fmt::format("{}:{}: not a kind and a seed", file, line));
  std::vector<family::BayName> bays;
  std::size_t passed = 0;
  for (family::BayName name : *all) {
    if (!family::feasible(name.kind) || (w.kind && name.kind != *w.kind)) continue;
    if (passed++ < w.from || bays.size() == w.count) continue;
    if (w.other_bays) name.seed += 100000;
    bays.push_back(name);
  }
  return bays;
}

void print_line(const Contest& c) {
  fmt::print("{} {} {} {:.2f}", family::word(c.kind), c.seed, int{c.direct}, c.best_known_mm);
  for (const Attempt& a : c.attempts)
    fmt::print(" | {} {:.2f} {} {:.2f} {:.3f} {}",
               a.proved  ? "yes"
               : a.found ? "REFUSED"
                         : "no",
               a.cpu_ms, a.calls, a.length_mm, a.spare_mm, a.bends);
  fmt::print("\n");
}

}  // namespace

int main(int argc, char** argv) {
  const Wishes w = wishes_of({argv + 1, argv + argc});
  fmt::print("{}\n", machine());
  if (w.empty) return print_empty_space() ? 0 : 1;
  std::vector<Contest> contests;
  for (const family::BayName& name : bays_of(w)) {
    contests.push_back(hold(family::family_bay(name.kind, name.seed), w.rules));
    if (w.each) print_line(contests.back());
    std::fflush(stdout);
  }
  if (contests.empty()) refuse("no bay is left");
  std::int64_t asked = 0;
  for (const Contest& c : contests)
    for (const Attempt& a : c.attempts) asked += a.calls;
  if (asked == 0) refuse("no clearance call was counted: the linker did not lead them past the counter");
  print_tables(contests, w.rules);
  return refused(contests) == 0 ? 0 : 1;
}
