// SPDX-License-Identifier: GPL-3.0-or-later
#include <imgui.h>
#include "solver/report/json_values.h"
