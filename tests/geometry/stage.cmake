# SPDX-License-Identifier: GPL-3.0-or-later
hosefit_tests(geometry hosefit::geometry)
