hosefit_tests(verify hosefit::verify)
