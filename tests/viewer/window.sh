#!/bin/bash
# SPDX-License-Identifier: GPL-3.0-or-later
# window.sh PROGRAM ROOT WORK: the window under a virtual screen, first played from scripts, then by real X events.
# Screens are compared with tests/golden/viewer/*.png above the height bars (what is known there depends on the machine's
# speed): at most 4 pixels in 1000 may differ by more than 15 % of full scale, since graphics drivers round edges differently.
# HOSEFIT_APPROVE=1 accepts the screens as they are. Exit code 77 = skipped, for want of a tool.
set -euo pipefail
program=$1 root=$2 work=$3
golden=$root/tests/golden/viewer
for tool in Xvfb xvfb-run xdotool compare convert identify import; do
  command -v $tool >/dev/null || { echo "skipped: $tool is missing (packages: xvfb xdotool imagemagick libgl1-mesa-dri)"; exit 77; }
done
rm -rf "$work"
mkdir -p "$work/vehicles"
cp -r "$root/vehicles/linnet_coupe" "$work/vehicles/"
cp -r "$root/pumps" "$work/"
cd "$root/vehicles"
failed=0

# on_screen SIZE COMMAND...: on a virtual screen of its own. A screen that did not come up (a number taken by another one
# at the same moment) is asked for again.
on_screen() {
  local size=$1 status=75 try
  shift
  for try in 1 2 3 4 5; do
    status=0
    LIBGL_ALWAYS_SOFTWARE=1 timeout 600 xvfb-run -a -s "-screen 0 ${size}x24" \
      bash -c 'xdotool getdisplaygeometry >/dev/null 2>&1 || exit 75; exec "$@"' on_screen "$@" || status=$?
    [ $status = 75 ] || break
    sleep "$try"
  done
  return $status
}
play() { on_screen 3840x2160 "$program" --scale 1 --drive "$1" || { echo "FAILED: $1"; failed=1; }; }

# same NAME HEIGHT [SCALE]: the upper HEIGHT pixels of a screen, perhaps made smaller, against the approved ones
same() {
  convert "$work/$1.png" -crop "x$2+0+0" +repage -resize "${3:-100%}" "$work/$1.upper.png"
  if [ "${HOSEFIT_APPROVE:-}" = 1 ]; then cp "$work/$1.upper.png" "$golden/$1.png"; return; fi
  local pixels different
  pixels=$(identify -format '%[fx:w*h]' "$work/$1.upper.png")
  different=$(compare -metric AE -fuzz 15% "$golden/$1.png" "$work/$1.upper.png" "$work/$1.different.png" 2>&1 || true)
  if awk -v d="$different" -v p="$pixels" 'BEGIN { exit !(d ~ /^[0-9.e+]+$/ && d <= 0.004 * p) }'; then
    echo "$1: as approved ($different of $pixels pixels differ)"
  else
    echo "FAILED: $1 differs from the approved screen ($different of $pixels pixels); see $work/$1.different.png"
    failed=1
  fi
}

cat >"$work/walk.drive" <<END
expect start
shot $work/start.png
drop $work/vehicles/linnet_coupe
wait solved
expect no problems
expect panes 7
expect verdict fits
shot $work/solved.png
# a click reads about what is under it
click 380 220
expect selected
# the chosen pump alone, then the slider: nothing may be claimed for the new height before its proof
type s
expect panes 1
slide height 300
expect not proved
wait solved
expect proved
shot $work/alone.png
type s
type u
type u
# the list of keys, and Escape closes it
type ?
shot $work/keys.png
key escape
# on a finer monitor
scale 2
resize 2880 1800
shot $work/fine.png
scale 1
resize 1440 900
wait 8
# cut above, then in front; the hood dim; pictures put together from stored ones are those drawn plainly
shot $work/stored.png
shot_plain $work/plain.png
type x
shot $work/section.png
shot_plain $work/section_plain.png
type X
type X
type X
shot $work/section_front.png
type x
type h
type F
shot $work/dim.png
type h
type h
type h
type f
frames_sliding 3
wait solved
# as small and as large as windows come, once what the sliding asked for is answered
resize 320 240
shot $work/tiny.png
resize 3840 2160
shot $work/huge.png
resize 1440 900
key page_up
expect not proved
wait solved
expect proved
quit
END
play "$work/walk.drive"
# alike STORED PLAIN: what is put together from stored pictures must be what is drawn at one go, bit for bit, above the
# height bars, which fill in meanwhile
alike() {
  local different screen
  for screen in "$1" "$2"; do convert "$work/$screen.png" -crop x590+0+0 +repage "$work/$screen.above.png"; done
  different=$(compare -metric AE "$work/$1.above.png" "$work/$2.above.png" "$work/$1.plain_different.png" 2>&1 || true)
  if [ "$different" = 0 ]; then
    echo "$1: as drawn plainly"
  else
    echo "FAILED: $1 differs from what is drawn plainly ($different pixels)"
    failed=1
  fi
}
alike stored plain
alike section section_plain
same fine 1180 50%
same section 590
same section_front 590
same dim 590
same start 250
same solved 590
same alone 590
same keys 590
same tiny 200
same huge 1700 30%

# a file that breaks under the window, and one that was never good
cp "$work/vehicles/linnet_coupe/vehicle.yaml" "$work/good.yaml"
mkdir -p "$work/vehicles/broken"
sed 's/^units: mm/units: furlongs/' "$work/good.yaml" >"$work/vehicles/broken/vehicle.yaml"
cat >"$work/broken.drive" <<END
drop $work/vehicles/broken/vehicle.yaml
wait solved
expect problems
shot $work/broken.png
drop $work/vehicles/linnet_coupe
wait solved
expect no problems
expect proved
quit
END
play "$work/broken.drive"
cp "$work/good.yaml" "$work/vehicles/linnet_coupe/vehicle.yaml"

# the same with a hand: real pointer and keyboard events of the window system
cat >"$work/hand.sh" <<'END'
set -eu
"$1" --scale 1 --size 1440x900 & window=$!
for _ in $(seq 100); do id=$(xdotool search --onlyvisible --name '^hosefit$' 2>/dev/null | head -1) && [ -n "$id" ] && break; sleep 0.1; done
sleep 1
import -window root "$2/hand_start.png"
xdotool windowfocus "$id" mousemove 520 165 sleep 0.3 click 1
sleep 3
xdotool mousemove 700 300 mousedown 1 mousemove 760 320 sleep 0.2 mouseup 1
xdotool key Page_Up sleep 0.3 key F1
sleep 1
import -window root "$2/hand_keys.png"
xdotool key Escape sleep 0.2 key ctrl+q
for _ in $(seq 100); do kill -0 $window 2>/dev/null || break; sleep 0.1; done
if kill -0 $window 2>/dev/null; then echo "Ctrl Q did not leave"; kill $window; exit 1; fi
wait $window
END
on_screen 1600x1000 bash "$work/hand.sh" "$program" "$work" || { echo "FAILED: by hand"; failed=1; }
changed=$(compare -metric AE -fuzz 15% "$work/hand_start.png" "$work/hand_keys.png" null: 2>&1 || true)
awk -v d="$changed" 'BEGIN { exit !(d > 100000) }' || { echo "FAILED: clicks and keys changed only $changed pixels"; failed=1; }

exit $failed
