# SPDX-License-Identifier: GPL-3.0-or-later
# The visible entries of the root are exactly these; the build folder of the README's commands is git-ignored and let pass.
set(wanted CMakeLists.txt DEVELOPERS.md README.md pumps solver tests vehicles viewer)
file(GLOB entries RELATIVE "${ROOT}" "${ROOT}/*")
list(FILTER entries EXCLUDE REGEX "^(\\..*|build)$")
list(SORT entries)
if(NOT entries STREQUAL wanted)
  message(FATAL_ERROR "top level is '${entries}', want '${wanted}'")
endif()
