hosefit_tests(scenario hosefit::decide hosefit::order hosefit::input hosefit::report hosefit::paper)
target_compile_definitions(test_scenario PRIVATE HOSEFIT_MADE_VEHICLES="${PROJECT_BINARY_DIR}/vehicles")
add_dependencies(test_scenario hosefit_scanned_vehicles)
