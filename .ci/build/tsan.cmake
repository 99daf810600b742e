# SPDX-License-Identifier: GPL-3.0-or-later
include(${CMAKE_CURRENT_LIST_DIR}/release.cmake)
set(CMAKE_BUILD_TYPE RelWithDebInfo CACHE STRING "" FORCE)
set(CMAKE_CXX_FLAGS_RELWITHDEBINFO "-O1 -g1" CACHE STRING "")
set(HOSEFIT_SANITIZE thread CACHE STRING "")
set(HOSEFIT_WERROR OFF CACHE BOOL "")  # sanitizing makes GCC 12 warn falsely; the plain builds keep warnings as errors
