hosefit_tests(model hosefit::model)
