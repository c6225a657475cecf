#!/usr/bin/env bash
# Measures the whole program: time from start to end of the process, processor time (user and system) and peak memory, over several runs.
#   bench/speed/run.sh [VIRTUAL]     VIRTUAL is a folder of packages v01, v02, …; without it those rows are left out
# Needs Go, awk, curl and GNU time (Debian: apt-get install time curl); uses hyperfine where there is one.
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
virtual=${1:-${UNDERFOOT_VIRTUAL:-}}
runs=${RUNS:-10}
rows=${ROWS:-1000000}

temp=$(mktemp -d "${TMPDIR:-/tmp}/underfoot-speed-XXXXXX")
server=
cleanup() { [ -z "$server" ] || kill "$server" 2>/dev/null || true; rm -rf "$temp"; }
trap cleanup EXIT
program=$temp/underfoot
(cd "$here/../.." && go build -o "$program" ./cmd/underfoot)

# row WHAT MEDIAN LEAST GREATEST MEMORY TARGET [CPU]
row() { printf '%-52s %12s %12s %12s %10s  %-10s %10s\n' "${@:1:6}" "${7:-}"; }
now() { date +%s%N; }
# middle FILE: median, least and greatest of its numbers
middle() { sort -g "$1" | awk '{v[NR]=$1} END{print (v[int((NR+1)/2)]+v[int(NR/2)+1])/2, v[1], v[NR]}'; }

# measure NAME RUNS TARGET_MS BEFORE COMMAND…: runs BEFORE (not timed), then the command, so many times
measure() {
	local name=$1 n=$2 target=$3 before=$4 i
	shift 4
	: >"$temp/ms"; : >"$temp/kb"; : >"$temp/cpu"
	for ((i = 0; i < n; i++)); do
		eval "$before"
		local from to
		from=$(now)
		/usr/bin/time -f '%U %S %M' -o "$temp/memory" "$@" >/dev/null 2>"$temp/stderr" || { cat "$temp/stderr" >&2; exit 1; }
		to=$(now)
		echo $(((to - from) / 1000)) | awk '{print $1/1000}' >>"$temp/ms"
		tail -n 1 "$temp/memory" | awk '{print $3}' >>"$temp/kb"
		tail -n 1 "$temp/memory" | awk '{print ($1+$2)*1000}' >>"$temp/cpu"
	done
	read -r mid low high < <(middle "$temp/ms")
	read -r _ _ peak < <(middle "$temp/kb")
	read -r cpu _ _ < <(middle "$temp/cpu")
	row "$name" "$(printf '%.0f ms' "$mid")" "$(printf '%.0f ms' "$low")" "$(printf '%.0f ms' "$high")" "$(awk -v k="$peak" 'BEGIN{printf "%.0f MB", k*1024/1e6}')" "$target" "$(printf '%.0f ms' "$cpu")"
}

# generate FOLDER COMPOSITES KIND [QUALITY]
generate() { mkdir -p "$temp/$1"; awk -v dir="$temp/$1" -v composites="$2" -v kind="$3" -v quality="${4:-0}" -f "$here/generate.awk"; }

# first_page NAME TARGET ARG…: from starting the program to the last byte of its first page
first_page() {
	local name=$1 target=$2 i address from to
	shift 2
	: >"$temp/ms"
	for ((i = 0; i < runs; i++)); do
		: >"$temp/serve" # the address in it is that of the one before
		from=$(now)
		"$program" "$@" --listen 127.0.0.1:0 >"$temp/serve" 2>"$temp/stderr" &
		server=$!
		address=
		while [ -z "$address" ]; do
			kill -0 "$server" 2>/dev/null || { cat "$temp/stderr" >&2; exit 1; }
			address=$(grep -o 'http://[0-9.:]*' "$temp/serve" || true)
			[ -n "$address" ] || sleep 0.002
		done
		curl -sSfL -o /dev/null "$address/"
		to=$(now)
		echo $(((to - from) / 1000)) | awk '{print $1/1000}' >>"$temp/ms"
		kill "$server"; wait "$server" 2>/dev/null || true
		server=
	done
	read -r mid low high < <(middle "$temp/ms")
	row "$name" "$(printf '%.0f ms' "$mid")" "$(printf '%.0f ms' "$low")" "$(printf '%.0f ms' "$high")" "" "$target"
}

# pages NAME TARGET PATH: the median of 50 requests for one page of a server that runs
pages() {
	local i
	: >"$temp/ms"
	for ((i = 0; i < 50; i++)); do
		curl -sSfL -o /dev/null -w '%{time_total}\n' "$address$3" | awk '{print $1*1000}' >>"$temp/ms"
	done
	read -r mid low high < <(middle "$temp/ms")
	row "$1" "$(printf '%.1f ms' "$mid")" "$(printf '%.1f ms' "$low")" "$(printf '%.1f ms' "$high")" "" "$2"
}

echo "$("$program" version); $(nproc) processors; load $(cut -d' ' -f1 /proc/loadavg)"
row what median least greatest memory target processor
if [ -n "$virtual" ]; then
	measure "import one virtual course" "$runs" "≤ 150 ms" 'rm -f "$temp"/one.db*' "$program" import "$virtual/v01" --store "$temp/one.db"
	measure "import all virtual courses, one process each" "$runs" "≤ 1500 ms" 'rm -f "$temp"/all.db*' \
		bash -c 'for d in "$1"/v[0-9][0-9]; do "$2" import "$d" --store "$3" || exit 1; done' all "$virtual" "$program" "$temp/all.db"
fi
generate composites 10000 weighings
measure "bench, 10,000 composites" "$runs" "≤ 300 ms" : "$program" bench "$temp/composites"
measure "bench --json, 10,000 composites" "$runs" "≤ 300 ms" : "$program" bench "$temp/composites" --json
generate checked 10000 weighings 1
measure "bench, 10,000 composites with checks" "$runs" "≤ 500 ms" : "$program" bench "$temp/checked"
measure "bench --json, the same" "$runs" "≤ 500 ms" : "$program" bench "$temp/checked" --json
generate million "$rows" results
measure "import $rows results and as many samples" "${LARGE_RUNS:-3}" "< 300 MB" 'rm -f "$temp"/million.db*' \
	"$program" import "$temp/million" --store "$temp/million.db"
awk -v n="$rows" -v ms="$mid" 'BEGIN{printf "  %.0f rows/s counting both tables, %.0f results/s (target ≥ 50000 rows/s)\n", 2*n/ms*1000, n/ms*1000}'
rm -rf "$temp"/million*

first_page "first page after the start of demo" "≤ 300 ms" demo
"$program" import "$here/../../examples/varrowmere" --store "$temp/example.db" >/dev/null
first_page "first page after the start of serve" "≤ 300 ms" serve --store "$temp/example.db"
# a store no program has worked in yet, and the same once more with what is kept in it
"$program" import "$here/../../examples/varrowmere" --store "$temp/fresh.db" >/dev/null
measure "report of the example, first time" "${REPORT_RUNS:-5}" "≤ 500 ms" 'rm -f "$temp"/report.db*; cp "$temp/fresh.db" "$temp/report.db"' \
	"$program" report --store "$temp/report.db" --out "$temp/report.pdf"
measure "report of the example, again" "$runs" "≤ 500 ms" : "$program" report --store "$temp/report.db" --out "$temp/report.pdf"
: >"$temp/serve"
"$program" serve --store "$temp/example.db" --listen 127.0.0.1:0 >"$temp/serve" 2>"$temp/stderr" &
server=$!
until address=$(grep -o 'http://[0-9.:]*' "$temp/serve"); do sleep 0.01; done
# the course page is the one the first page leads to
page=$(curl -sSfL "$address/" | grep -o 'href="/[^"]*varrowmere[^"]*"' | head -n 1 | cut -d'"' -f2 || true)
[ -z "$page" ] || pages "course page $page" "≤ 50 ms" "$page"
row "memory of serve after that" "" "" "" "$(awk '/VmHWM/{printf "%.0f MB", $2*1024/1e6}' "/proc/$server/status")" ""

if command -v hyperfine >/dev/null; then
	hyperfine --warmup 2 --runs "$runs" "'$program' bench '$temp/composites'" "'$program' bench '$temp/composites' --json"
fi
