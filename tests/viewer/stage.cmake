# SPDX-License-Identifier: GPL-3.0-or-later
if(NOT TARGET hosefit::viewer)
  return()
endif()
hosefit_tests(viewer hosefit::viewer)
add_executable(hosefit_big_bay ${CMAKE_CURRENT_LIST_DIR}/big_bay.cpp)  # writes a vehicle with a large mesh
target_link_libraries(hosefit_big_bay PRIVATE hosefit_flags)
add_test(NAME "window: a real window under a virtual screen"
  COMMAND bash ${CMAKE_CURRENT_LIST_DIR}/window.sh $<TARGET_FILE:hosefit-view> ${PROJECT_SOURCE_DIR} ${CMAKE_CURRENT_BINARY_DIR}/window)
set_tests_properties("window: a real window under a virtual screen" PROPERTIES LABELS window TIMEOUT 900 SKIP_RETURN_CODE 77 RUN_SERIAL ON)
