hosefit_tests(laws hosefit::route hosefit::verify)
