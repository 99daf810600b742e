// SPDX-License-Identifier: GPL-3.0-or-later
// Routes the family of bays with known answers and prints what was found, proved and said.
#include <fmt/format.h>

#include <cstdlib>
#include <fstream>
#include <map>
#include <mutex>
#include <set>
#include <sstream>

#include "solver/base/parallel.h"
#include "tests/family/results.h"

using namespace hosefit;
using namespace hosefit::family;

namespace {

constexpr const char* kHelp =
    R"(hosefit_family: routes bays whose answer is known, proves what is found, prints tables

  --seeds FILE     bays to route, a line each: kind and seed (default: tests/family/seeds.txt)
  --from N         leave out the first N of them (default 0)
  --count N        route N of them (default all)
  --kind KIND      only bays of this kind
  --results FILE   a line per bay is added to FILE as soon as it is known; bays already in it are not routed
                   again, so a stopped run goes on where it was. Begin a new file after changing the router.
  --work N         work units per make (default: the router's own)
  --budgets A,B,.. instead of tables by kind one that goes over these work units per make: how the share of bays
                   that stay undecided falls
  --threads N      bays at a time (default: what the machine has); answers do not depend on it
  --least-solved P exit 1 when less than P percent of the bays with a known route are found and proved
  --each           print a line per bay: kind, seed, direct, outcome, proved, ms, work, length, witness's
                   length, bends, missing mm, missing mm as told
  --kinds          print the kinds and end

Exit 1 also when a route is found that the proof refuses, when a route is proved where there can be none, and
when a bay with a route is said to have none. Times are CPU of one thread, index and grid ready. Exit 2: usage.
)";

struct Wishes {
  std::string seeds = std::string(HOSEFIT_TEST_DIR) + "/family/seeds.txt", results;
  std::size_t from = 0, count = static_cast<std::size_t>(-1);
  std::optional<Kind> kind;
  RouteOptions options;
  Threads threads = Threads::of_machine();
  double least_solved = 0;
  std::vector<std::int64_t> budgets;
  bool each = false;
};

[[noreturn]] void refuse(const std::string& what) {
  fmt::print(stderr, "{}\nhosefit_family --help tells the options\n", what);
  std::exit(2);
}

double number(const std::string& option, const std::string& text) {
  char* end = nullptr;
  const double value = std::strtod(text.c_str(), &end);
  if (text.empty() || *end != 0 || !(value >= 0)) refuse(option + " wants a number, not '" + text + "'");
  return value;
}

std::vector<std::int64_t> budgets_of(const std::string& text) {
  std::vector<std::int64_t> out;
  std::istringstream in(text);
  for (std::string word; std::getline(in, word, ',');)
    out.push_back(static_cast<std::int64_t>(number("--budgets", word)));
  if (out.empty()) refuse("--budgets wants numbers with commas between");
  return out;
}

Wishes wishes_of(const std::vector<std::string>& words) {
  Wishes w;
  for (std::size_t i = 0; i < words.size(); ++i) {
    const std::string& option = words[i];
    if (option == "--help") {
      fmt::print("{}", kHelp);
      std::exit(0);
    }
    if (option == "--kinds") {
      for (const Kind kind : kKinds) fmt::print("{}{}\n", word(kind), feasible(kind) ? "" : " (no route)");
      std::exit(0);
    }
    if (option == "--each") {
      w.each = true;
      continue;
    }
    const std::set<std::string> known{"--seeds", "--from",    "--count",        "--kind",   "--results",
                                      "--work",  "--threads", "--least-solved", "--budgets"};
    if (!known.contains(option)) refuse("'" + option + "' is no option");
    if (i + 1 == words.size()) refuse(option + " wants a value");
    const std::string& value = words[++i];
    if (option == "--seeds") w.seeds = value;
    if (option == "--results") w.results = value;
    if (option == "--from") w.from = static_cast<std::size_t>(number(option, value));
    if (option == "--count") w.count = static_cast<std::size_t>(number(option, value));
    if (option == "--work") w.options.work_units_per_make = static_cast<std::int64_t>(number(option, value));
    if (option == "--budgets") w.budgets = budgets_of(value);
    if (option == "--threads") w.threads.count = std::max(1U, static_cast<unsigned>(number(option, value)));
    if (option == "--least-solved") w.least_solved = number(option, value);
    if (option == "--kind") {
      w.kind = kind_named(value);
      if (!w.kind) refuse("'" + value + "' is no kind; see --kinds");
    }
  }
  if (!w.budgets.empty() && (!w.results.empty() || w.each || w.least_solved > 0))
    refuse("--budgets goes with none of --results, --each and --least-solved");
  return w;
}

std::vector<BayName> bays_of(const Wishes& w) {
  int line = 0;
  const auto all = read_seeds(w.seeds, line);
  if (!all) refuse(fmt::format("{}:{}: not a kind and a seed", w.seeds, line));
  std::vector<BayName> bays;
  for (std::size_t i = w.from; i < all->size() && i - w.from < w.count; ++i)
    if (!w.kind || (*all)[i].kind == *w.kind) bays.push_back((*all)[i]);
  return bays;
}

using Done = std::map<std::pair<Kind, std::uint64_t>, Trial>;

Done earlier_results(const Wishes& w, const std::string& heading) {
  Done done;
  std::ifstream in(w.results);
  std::string line;
  if (!std::getline(in, line)) return done;
  if (line != heading) refuse(w.results + " was made with other options: " + line);
  while (std::getline(in, line))
    if (const auto t = trial_of(line)) done[{t->kind, t->seed}] = *t;  // a torn last line is routed again
  return done;
}

// Exit code.
int over_budgets(const Wishes& w, const std::vector<BayName>& bays) {
  print_budget_heading();
  bool wrong = false;
  for (const std::int64_t budget : w.budgets) {
    RouteOptions options = w.options;
    options.work_units_per_make = budget;
    std::vector<Trial> trials(bays.size());
    parallel_for(bays.size(), w.threads, [&](std::size_t i) {
      trials[i] = try_bay(family_bay(bays[i].kind, bays[i].seed), options);
    });
    print_budget_row(budget, trials);
    wrong = wrong || is_wrong(totals_of(trials));
  }
  return wrong ? 1 : 0;
}

}  // namespace

int main(int argc, char** argv) {
  const Wishes w = wishes_of({argv + 1, argv + argc});
  const std::vector<BayName> bays = bays_of(w);
  if (!w.budgets.empty()) return over_budgets(w, bays);
  const std::string heading = fmt::format("# hosefit_family, work {}", w.options.work_units_per_make);
  const Done done = w.results.empty() ? Done{} : earlier_results(w, heading);
  std::ofstream out;
  if (!w.results.empty()) {
    out.open(w.results, std::ios::app);
    if (!out) refuse("cannot write " + w.results);
    if (done.empty() && out.tellp() == 0) out << heading << std::endl;
  }
  std::vector<Trial> trials(bays.size());
  std::mutex writing;
  parallel_for(bays.size(), w.threads, [&](std::size_t i) {
    if (const auto old = done.find({bays[i].kind, bays[i].seed}); old != done.end()) {
      trials[i] = old->second;
      return;
    }
    trials[i] = try_bay(family_bay(bays[i].kind, bays[i].seed), w.options);
    const std::scoped_lock lock(writing);
    if (out.is_open()) out << line_of(trials[i]) << std::endl;
  });
  if (w.each)
    for (const Trial& t : trials) fmt::print("{}\n", line_of(t));
  print_summary(trials);
  const Totals sum = totals_of(trials);
  const double share = sum.feasible > 0 ? 100.0 * sum.solved / sum.feasible : 100;
  if (share < w.least_solved) fmt::print("{:.1f} % solved, {:.1f} % asked for\n", share, w.least_solved);
  return share < w.least_solved || is_wrong(sum) ? 1 : 0;
}
