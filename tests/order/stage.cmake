hosefit_tests(order hosefit::order hosefit::input)
