# SPDX-License-Identifier: GPL-3.0-or-later
hosefit_tests(input hosefit::input)

# The schemas against a validator that is not ours, where one is installed.
add_executable(schema_tool ${CMAKE_CURRENT_SOURCE_DIR}/input/schema_tool.cpp)
target_link_libraries(schema_tool PRIVATE hosefit::input)
find_package(Python3 COMPONENTS Interpreter QUIET)
if(Python3_FOUND)
  execute_process(COMMAND ${Python3_EXECUTABLE} -c "import jsonschema" RESULT_VARIABLE no_jsonschema OUTPUT_QUIET ERROR_QUIET)
endif()
if(Python3_FOUND AND no_jsonschema EQUAL 0)
  add_test(NAME "input: another validator agrees with the reader about the schemas"
    COMMAND ${Python3_EXECUTABLE} ${CMAKE_CURRENT_SOURCE_DIR}/input/schema_check.py $<TARGET_FILE:schema_tool> ${PROJECT_SOURCE_DIR})
  set_tests_properties("input: another validator agrees with the reader about the schemas" PROPERTIES LABELS fast)
else()
  message(STATUS "python3 with jsonschema not found: the schemas are not held against another validator")
endif()
