hosefit_tests(view hosefit::view)
