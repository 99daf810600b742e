# SPDX-License-Identifier: GPL-3.0-or-later
# The rules must catch each of the faults planted in tests/architecture/broken; a rule script that passes there is itself broken.
execute_process(COMMAND ${CMAKE_COMMAND} -DROOT=${HERE}/broken -P ${HERE}/include_rules.cmake
  RESULT_VARIABLE result OUTPUT_VARIABLE output ERROR_VARIABLE output)
if(result EQUAL 0)
  message(FATAL_ERROR "the broken tree passed")
endif()
foreach(expected
    "geometry/upward.h: stage geometry may not include solver/model/bay.h"
    "verify/second_opinion.cpp: stage verify may not include solver/field/line_field.h"
    "recheck/borrowed.cpp: stage recheck may not include solver/geometry/centreline.h"
    "recheck/borrowed.cpp: stage recheck may not include solver/verify/proof.h"
    "recheck/borrowed.cpp: stage recheck may not include solver/input/load_job.h"
    "recheck/borrowed.cpp: CGAL may not be included here"
    "recheck/borrowed.h: yaml-cpp may not be included here"
    "cli/prying.cpp: solver/report/json_values.h is for the .cpp files of stage report alone"
    "report/shown.h: solver/report/json_values.h is for the .cpp files of stage report alone"
    "report/shown.h: nlohmann may not be included here"
    "viewer/scene/painting.cpp: solver/report/json_values.h is for one stage alone"
    "route/leak.h: CGAL may not be included here"
    "route/leak.h: nothing in solver/ may name viewer/camera.h"
    "viewer/panes/reaching.cpp: the window may not include solver/cli/run.h"
    "viewer/panes/reaching.cpp: OpenGL and GLFW belong in viewer/gl"
    "viewer/scene/painting.cpp: ImGui belongs in viewer/panes and viewer/gl")
  string(REGEX REPLACE "[ \n]+" " " flat "${output}")
  string(FIND "${flat}" "${expected}" at)
  if(at EQUAL -1)
    message(FATAL_ERROR "not caught: ${expected}\n${output}")
  endif()
endforeach()
