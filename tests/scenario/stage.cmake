hosefit_tests(scenario hosefit::decide hosefit::order hosefit::input hosefit::report)
