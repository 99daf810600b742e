# SPDX-License-Identifier: GPL-3.0-or-later
hosefit_tests(recheck hosefit::recheck hosefit::decide hosefit::input hosefit::report nlohmann_json::nlohmann_json)
target_compile_definitions(test_recheck PRIVATE HOSEFIT_MADE_VEHICLES="${PROJECT_BINARY_DIR}/vehicles")
add_dependencies(test_recheck hosefit_scanned_vehicles)
