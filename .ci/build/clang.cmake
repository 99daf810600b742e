# SPDX-License-Identifier: GPL-3.0-or-later
include(${CMAKE_CURRENT_LIST_DIR}/release.cmake)
set(CMAKE_CXX_COMPILER clang++ CACHE STRING "")
set(HOSEFIT_BENCH ON CACHE BOOL "")  # so that the benchmarks keep compiling
