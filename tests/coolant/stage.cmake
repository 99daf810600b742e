# SPDX-License-Identifier: GPL-3.0-or-later
hosefit_tests(coolant hosefit::coolant)
