# SPDX-License-Identifier: GPL-3.0-or-later
hosefit_tests(rod hosefit::rod)
