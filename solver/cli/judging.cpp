// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/cli/judging.h"

namespace hosefit {

Judging::Judging(const Arguments& arguments, const Surroundings& around, const Sink& err)
    : line_(around, err), progress_{[this](std::size_t done, std::size_t of, std::string_view what) {
        line_.tell(done, of, what);
      }} {
  budget_.seed = RunSeed{arguments.seed};
  budget_.threads = arguments.threads ? Threads{*arguments.threads} : Threads::of_machine();
}

}  // namespace hosefit
