# SPDX-License-Identifier: GPL-3.0-or-later
hosefit_tests(rules hosefit::rules)
