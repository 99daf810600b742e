# SPDX-License-Identifier: GPL-3.0-or-later
hosefit_tests(recheck hosefit::recheck hosefit::decide hosefit::input hosefit::report nlohmann_json::nlohmann_json)
# The same mutants as in the fast tests, thousands of them; .ci/run runs this.
add_test(NAME "recheck: thousands of mutants, caught by both proofs" COMMAND test_recheck "[mutants]" -s)
set_tests_properties("recheck: thousands of mutants, caught by both proofs" PROPERTIES
  LABELS slow TIMEOUT 3600 ENVIRONMENT "HOSEFIT_MUTANTS=6000")
