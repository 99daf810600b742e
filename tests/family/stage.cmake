# What makes the bays, the tests of it, and the runner over all of them.
add_library(hosefit_family_bays STATIC family/family.cpp family/rooms.cpp family/crossings.cpp family/ducts.cpp
  family/direct.cpp family/trial.cpp)
target_link_libraries(hosefit_family_bays PUBLIC hosefit_flags hosefit::route hosefit::verify fmt::fmt)
hosefit_tests(family hosefit_family_bays)
add_executable(hosefit_family family/results.cpp family/family_run.cpp)
target_link_libraries(hosefit_family PRIVATE hosefit_family_bays)
target_compile_definitions(hosefit_family PRIVATE HOSEFIT_TEST_DIR="${CMAKE_CURRENT_SOURCE_DIR}")
add_test(NAME "family: the runner gives the same answers on two threads and goes on where it was stopped"
  COMMAND bash ${CMAKE_CURRENT_LIST_DIR}/runner.sh $<TARGET_FILE:hosefit_family> ${CMAKE_CURRENT_BINARY_DIR}/family_runner)
set_tests_properties("family: the runner gives the same answers on two threads and goes on where it was stopped"
  PROPERTIES LABELS fast TIMEOUT 600)
