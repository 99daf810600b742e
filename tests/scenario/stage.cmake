hosefit_tests(scenario hosefit::decide hosefit::input hosefit::report)
