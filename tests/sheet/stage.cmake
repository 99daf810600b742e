# SPDX-License-Identifier: GPL-3.0-or-later
hosefit_tests(sheet hosefit::sheet)

# The HTML against a parser that is not ours.
add_executable(sheet_tool ${CMAKE_CURRENT_SOURCE_DIR}/sheet/sheet_tool.cpp)
target_link_libraries(sheet_tool PRIVATE hosefit::sheet)
target_compile_definitions(sheet_tool PRIVATE HOSEFIT_ROOT_DIR="${PROJECT_SOURCE_DIR}")
find_package(Python3 COMPONENTS Interpreter QUIET)
if(Python3_FOUND)
  add_test(NAME "sheet: hostile names leave the HTML well-formed and closed"
    COMMAND sh -c "\"$<TARGET_FILE:sheet_tool>\" hostile_sheet.html && \"${Python3_EXECUTABLE}\" \"${CMAKE_CURRENT_SOURCE_DIR}/sheet/html_check.py\" hostile_sheet.html")
  set_tests_properties("sheet: hostile names leave the HTML well-formed and closed" PROPERTIES LABELS fast)
endif()

# In a browser without a screen and with a PDF reader, where both are installed; see browser.sh.
find_program(CHROMIUM chromium)
find_program(PDFTOTEXT pdftotext)
if(TARGET hosefit AND Python3_FOUND AND CHROMIUM AND PDFTOTEXT)
  add_test(NAME "sheet: a browser shows and prints it without complaint"
    COMMAND sh ${CMAKE_CURRENT_SOURCE_DIR}/sheet/browser.sh $<TARGET_FILE:hosefit> ${PROJECT_SOURCE_DIR} ${CMAKE_CURRENT_BINARY_DIR}/browser)
  set_tests_properties("sheet: a browser shows and prints it without complaint" PROPERTIES LABELS browser TIMEOUT 900)
endif()
