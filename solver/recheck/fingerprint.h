// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <string>
#include <string_view>

namespace hosefit::recheck {

/// SHA-256 (FIPS 180-4) in hexadecimal, small letters.
std::string sha256(std::string_view bytes);

}  // namespace hosefit::recheck
