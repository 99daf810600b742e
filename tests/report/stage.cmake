hosefit_tests(report hosefit::report nlohmann_json::nlohmann_json)
