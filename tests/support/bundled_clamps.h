// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <stdexcept>
#include <vector>

#include "solver/input/check_tree.h"
#include "solver/input/clamp_yaml.h"
#include "solver/input/yaml_tree.h"

/// The clamp sizes of the data folder, for jobs made by hand.
namespace hosefit::test {

inline std::vector<ClampSize> bundled_clamps() {
  const std::string path = HOSEFIT_ROOT_DIR "/solver/data/clamps.yaml";
  const Result<std::string> bytes = read_bytes(path, kMostYamlBytes);
  if (!bytes) throw std::runtime_error("no " + path);
  ProblemLog log;
  InputFile file{source_text(path, *bytes), FileKind::clamps, {}};
  auto root = read_yaml(file.source, log);
  if (!root) throw std::runtime_error("not read: " + path);
  file.root = *std::move(root);
  if (!check_tree(file, log)) throw std::runtime_error("refused: " + path);
  std::vector<ClampSize> clamps = read_clamps(file, log);
  if (!log.empty() || clamps.empty()) throw std::runtime_error("refused: " + path);
  return clamps;
}

}  // namespace hosefit::test
