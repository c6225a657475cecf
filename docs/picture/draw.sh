#!/usr/bin/env bash
# Draws the pictures of the README from the example course: real pages at the width of a desk and of a phone, and the first
# page of the client report.
#   docs/picture/draw.sh [FOLDER]     FOLDER is where they go; without it, this one
# Needs Go, curl, chromium and pdftoppm (Debian: chromium, poppler-utils).
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
out=${1:-$here}
temp=$(mktemp -d)
server=
cleanup() { [ -z "$server" ] || kill "$server" 2>/dev/null || true; rm -rf "$temp"; }
trap cleanup EXIT

(cd "$here/../.." && go build -o "$temp/underfoot" ./cmd/underfoot)
"$temp/underfoot" demo --listen 127.0.0.1:0 >"$temp/said" 2>"$temp/stderr" &
server=$!
address=
while [ -z "$address" ]; do
	kill -0 "$server" 2>/dev/null || { cat "$temp/stderr" >&2; exit 1; }
	address=$(grep -o 'http://[0-9.:]*' "$temp/said" || true)
	[ -n "$address" ] || sleep 0.1
done

# page NAME WIDTH HEIGHT PATH: asked for once before, so that what takes a calibration is there
page() {
	curl -sSfL -o /dev/null "$address$4"
	chromium --headless --no-sandbox --disable-gpu --no-first-run --hide-scrollbars --force-color-profile=srgb --virtual-time-budget=8000 \
		--user-data-dir="$temp/browser" --window-size="$2,$3" --screenshot="$out/$1.png" "$address$4" >/dev/null 2>&1
	echo "$out/$1.png"
}

curl -sSfL -o /dev/null "$address/course/varrowmere/profile" # calibrates the model, which the pages then rest on
page course 1360 1320 /course/varrowmere
page findings 1360 1100 /course/varrowmere/findings
page courses 1360 900 / # by now the model stands behind it
page profile 1360 1150 /course/varrowmere/profile
next=$(($(date +%Y) + 1))
page plan 1360 1700 "/course/varrowmere/plan?from=$next-03-01&until=$((next + 1))-10-15&toward=lower&chance=8"
page bench 1360 1000 /course/varrowmere/bench
page log-phone 390 844 /course/varrowmere/log
page course-phone 390 844 /course/varrowmere

curl -sSf -o "$temp/report.pdf" "$address/course/varrowmere/report.pdf?kind=client&paper=a4"
pdftoppm -r 80 -png -f 1 -l 1 -singlefile "$temp/report.pdf" "$out/report"
echo "$out/report.png"
