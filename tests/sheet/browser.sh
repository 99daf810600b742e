#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# browser.sh PROGRAM ROOT WORK: makes both bundled vehicles' sheets, shows them in a browser without a screen at the
# widths of a desk and of a phone, prints them, and reads the PDF. Screenshots stay in WORK to be looked at.
set -eu
program=$1 root=$2 work=$3
mkdir -p "$work"
here=$(dirname "$0")
browser() {
  chromium --headless --no-sandbox --disable-gpu --hide-scrollbars --user-data-dir="$work/profile" \
    --enable-logging=stderr --v=0 "$@" 2>>"$work/browser.log" >/dev/null
}
for vehicle in harrow_half_ton linnet_coupe; do
  sheet=$work/$vehicle
  code=0
  "$program" show "$root/vehicles/$vehicle" --pumps "$root/pumps" --data "$root/solver/data" --date 2026-03-14 \
    --out "$sheet" || code=$?
  [ "$code" -le 1 ] || [ "$code" -eq 3 ] || exit 1
  : >"$work/browser.log"
  browser --window-size=1280,12000 --screenshot="$sheet.desk.png" "file://$sheet.html"
  browser --window-size=390,16000 --screenshot="$sheet.phone.png" "file://$sheet.html"
  browser --no-pdf-header-footer --print-to-pdf="$sheet.printed.pdf" "file://$sheet.html"
  if grep CONSOLE "$work/browser.log"; then exit 1; fi
  for made in desk.png phone.png printed.pdf; do [ -s "$sheet.$made" ] || { echo "no $made"; exit 1; }; done
  python3 "$here/html_check.py" "$sheet.html"
  [ "$(wc -c <"$sheet.html")" -lt 5000000 ]
  for pdf in pdf printed.pdf; do
    pdftotext -layout "$sheet.$pdf" "$sheet.$pdf.txt"
    for word in "CAUTION: hot coolant" "long left" "mm (" "Fingerprint" "2026-03-14" "Not checked"; do
      grep -q -- "$word" "$sheet.$pdf.txt" || { echo "$sheet.$pdf: no \"$word\""; exit 1; }
    done
  done
  grep -q "page 1 of" "$sheet.pdf.txt"
done
