// SPDX-License-Identifier: GPL-3.0-or-later
#include <GLFW/glfw3.h>

#include "solver/cli/run.h"
