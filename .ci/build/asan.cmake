# SPDX-License-Identifier: GPL-3.0-or-later
# The second compiler and the sanitizers in one build: its warnings are errors, its tests run under them.
include(${CMAKE_CURRENT_LIST_DIR}/release.cmake)
set(CMAKE_CXX_COMPILER clang++ CACHE STRING "")
set(CMAKE_BUILD_TYPE RelWithDebInfo CACHE STRING "" FORCE)
set(CMAKE_CXX_FLAGS_RELWITHDEBINFO "-O1 -g1" CACHE STRING "")  # asserts stay on
set(HOSEFIT_SANITIZE address,undefined CACHE STRING "")
set(HOSEFIT_FUZZ ON CACHE BOOL "")
set(HOSEFIT_BENCH ON CACHE BOOL "")  # so that the benchmarks keep compiling
