// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include "solver/input/key_table.h"
#include "solver/model/vehicle.h"

/// What several of the tables are made of.
namespace hosefit {

inline constexpr std::array kRunners{Runner::hose, Runner::clamp, Runner::rigid_part};

ValueRule size_up_to(double most_mm, std::string_view why);
ValueRule size_or_none_up_to(double most_mm, std::string_view why);
ValueRule gap_value();
KeyRule description_key();
KeyRule name_key(std::string_view doc);
KeyRule id_key();
std::vector<KeyRule> motion_keys();  ///< how far an engine goes

/// A file that holds a list of entries under one key.
MapRule list_file(FileKind kind, std::string_view what, MapTable item, std::string_view key,
                  std::size_t most);

const MapRule& tape_table();  ///< datums, points, their tapes and drops (tape_tables.cpp)

const MapRule& tee_table();  ///< tee_tables.cpp

// Files of what is on sale and of limits (stock_tables.cpp).
const MapRule& stock_file();
const MapRule& clamps_file();
const MapRule& limits_file();

}  // namespace hosefit
