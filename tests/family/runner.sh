#!/bin/bash
# SPDX-License-Identifier: GPL-3.0-or-later
# The runner of the family: the same answers on one thread and on two, and a stopped run goes on where it was.
# runner.sh <hosefit_family> <folder to write in>
set -euo pipefail
run=$1
mkdir -p "$2"
cd "$2"
rm -f one two torn
answers() { tail -n +2 "$1" | awk '{ $6 = ""; print }' | sort; }  # without the milliseconds
"$run" --count 26 --threads 1 --results one >/dev/null
"$run" --count 26 --threads 2 --results two >/dev/null
[ "$(answers one | wc -l)" = 26 ] || { echo "26 bays asked for, $(answers one | wc -l) in the file"; exit 1; }
diff <(answers one) <(answers two) || { echo "one and two threads differ"; exit 1; }

# Eight bays and a torn line: those eight keep their milliseconds, so they were not routed again.
head -n 9 one >torn
sed -n 10p one | head -c 12 >>torn
printf '\n' >>torn
"$run" --count 26 --threads 2 --results torn >/dev/null
diff <(head -n 9 one) <(head -n 9 torn) || { echo "what was known was changed"; exit 1; }
[ "$(wc -l <torn)" = 28 ] || { echo "18 bays and the torn line were to be added to 9 lines, found $(wc -l <torn)"; exit 1; }
diff <(answers one) <(answers torn | awk 'NF > 5') || { echo "a resumed run differs"; exit 1; }

# Results of other options are refused, and so is a share that is not reached.
status=0
"$run" --count 26 --work 3000 --results one >/dev/null 2>&1 || status=$?
[ "$status" = 2 ] || { echo "results of other options: exit $status"; exit 1; }
status=0
"$run" --count 13 --work 100 --least-solved 99 >/dev/null || status=$?
[ "$status" = 1 ] || { echo "a share not reached: exit $status"; exit 1; }

# Over budgets: a row each, and with more work no fewer bays with a route are solved here.
solved() { awk '/%/ { print $4 }'; }
mapfile -t share < <("$run" --count 26 --budgets 200,4000 | solved)
[ "${#share[@]}" = 2 ] || { echo "two budgets, ${#share[@]} rows"; exit 1; }
awk -v a="${share[0]}" -v b="${share[1]}" 'BEGIN { exit !(a < b) }' || { echo "solved ${share[*]} %"; exit 1; }
