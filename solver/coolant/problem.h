// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <string>

#include "solver/base/result.h"

namespace hosefit {

/// A Problem of a value that has no place in a file here: the caller knows the file.
Problem coolant_problem(std::string path, std::string text);

}  // namespace hosefit
