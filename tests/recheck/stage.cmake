# SPDX-License-Identifier: GPL-3.0-or-later
hosefit_tests(recheck hosefit::recheck hosefit::decide hosefit::input hosefit::report nlohmann_json::nlohmann_json)
