hosefit_tests(route hosefit::route)
