// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <string>

#include "solver/input/key_table.h"

namespace hosefit {

/// The JSON Schema (draft 2020-12) of a kind of file, for editors that complete and check while typing. Made
/// from the same tables as the reader, always the same text. It cannot say everything the reader knows:
/// limits in millimetres hold for lengths of any unit only where the limit is 0, and names are resolved by
/// the reader alone.
std::string schema_of(FileKind kind);

}  // namespace hosefit
