// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <string>
#include <vector>

#include "solver/input/shape_yaml.h"
#include "solver/model/family.h"

namespace hosefit {

/// The five files of an engine family, after check_tree. A file that could not be read has an empty tree with
/// ok = false.
struct FamilyFiles {
  InputFile engine, pumps, drives, housings, intakes;
};

/// Reads what can be read; everything else is in the log. Entries that were refused are left out.
Family read_family(const std::string& name, const FamilyFiles& files, const ReadTools& tools);

/// The mappings of a list at the root of a file, refused ones too.
std::vector<MapView> entries(const InputFile& file, std::string_view key);
/// What stands at `key` of each, in order.
std::vector<std::string> names_of(const std::vector<MapView>& maps, std::string_view key = "name");

}  // namespace hosefit
