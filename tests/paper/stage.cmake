hosefit_tests(paper hosefit::paper)
