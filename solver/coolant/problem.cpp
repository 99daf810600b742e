// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/coolant/problem.h"

#include <utility>

namespace hosefit {

Problem coolant_problem(std::string path, std::string text) {
  Problem problem;
  problem.path = std::move(path);
  problem.text = std::move(text);
  return problem;
}

}  // namespace hosefit
