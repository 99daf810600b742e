hosefit_tests(picture hosefit::picture hosefit::decide hosefit::input)
