// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <string>
#include <string_view>

#include "solver/sheet/customer_sheet.h"

namespace hosefit {

/// One file: HTML 5 in its XML form, UTF-8, no script, nothing from outside (pictures are data URIs, a
/// content policy forbids the rest). Reads on a phone, on paper and aloud. Same sheet, same bytes.
std::string sheet_html(const CustomerSheet& sheet);

/// & < > " ' as character references; control characters become '?'.
std::string escaped(std::string_view text);

/// RFC 4648, with padding.
std::string base64(std::string_view bytes);

}  // namespace hosefit
