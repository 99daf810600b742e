hosefit_tests(order hosefit::order)
