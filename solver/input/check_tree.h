// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <map>
#include <string>

#include "solver/base/measured.h"
#include "solver/base/quantity.h"
#include "solver/geometry/tape_network.h"
#include "solver/input/key_table.h"
#include "solver/input/yaml_tree.h"

namespace hosefit {

/// One input file between reading and meaning: its text, its tree, and what its head says about the rest.
struct InputFile {
  SourceText source;
  FileKind kind = FileKind::vehicle;
  YamlNode root;
  LengthUnit units = LengthUnit::mm;
  MeasuredBy method = MeasuredBy::assumed;      ///< of values that say none
  TapeSurvey tape = {};                         ///< of a vehicle file, once read (tape_yaml.h)
  std::map<std::string, TapePlace> taped = {};  ///< its points by name: what `{taped: NAME}` stands for
};

/// Reads the head (kind, units, method) and holds the whole tree against its table: unknown keys, missing
/// keys, wrong types, values out of range. Every part of the tree that is refused gets `ok = false`, and all
/// that it stands in. False when the file is of another kind, or no mapping at all, and its content was
/// therefore not looked at.
bool check_tree(InputFile& file, ProblemLog& log);

}  // namespace hosefit
