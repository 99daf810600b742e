// SPDX-License-Identifier: GPL-3.0-or-later
// The only file that compiles Catch2's own main; it costs more than most test files together.
#define CATCH_CONFIG_MAIN
#include <catch2/catch.hpp>
