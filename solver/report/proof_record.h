// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <string>
#include <vector>

#include "solver/decide/decide.h"
#include "solver/input/load_job.h"

namespace hosefit {

/// Where the input of a record lay.
struct RecordFolders {
  std::string vehicle, pumps, data;
};

/// What an independent program needs to find out for itself whether every candidate that fits does fit: the
/// format is told in solver/recheck/recheck.h. Nothing in it is meant to be believed. Numbers with all their
/// digits; the same answer gives the same bytes.
std::string proof_record(const Prepared& prepared, const Choice& choice, const std::vector<FileRead>& files,
                         const RecordFolders& folders, const std::string& version);

}  // namespace hosefit
