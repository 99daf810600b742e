// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <string>
#include <string_view>

#include "solver/base/result.h"

namespace hosefit::recheck {

/// Line and column, from 1, of a byte of a text.
Place place_of(const std::string& file, std::string_view text, std::size_t at);

/// Where the value of a path such as "candidates[0].lines[2].name" stands in a text that is valid JSON; of as
/// much of the path as there is.
Place place_of_path(const std::string& file, std::string_view text, std::string_view path);

}  // namespace hosefit::recheck
