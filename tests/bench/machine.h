// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <string>

/// What the figures were measured on, and with how much memory.
std::string machine();
double peak_memory_mb();
/// CPU time of this process, all threads, in milliseconds; wall time since some fixed moment.
double cpu_ms();
double wall_ms();
