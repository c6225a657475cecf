#!/usr/bin/env bash
# Measures pages over a store with many courses, made from the example course: every course has its own names, and its results are
# shifted a little, so that no two are alike.
#   bench/pages/run.sh [COURSES…]     numbers of courses; 500 and 5000 unless said otherwise
# Up to FULL courses (500) carry all tables; more of them carry greens, samples, results, bands and a season of readings.
# Needs Go, awk and curl. Prints medians of 50 requests, the size of each page on the wire and the memory of the server.
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
example=$here/../../examples/varrowmere
full=${FULL:-500}
temp=$(mktemp -d "${TMPDIR:-/tmp}/underfoot-pages-XXXXXX")
server=
cleanup() { [ -z "$server" ] || kill "$server" 2>/dev/null || true; rm -rf "$temp"; }
trap cleanup EXIT
(cd "$here/../.." && go build -o "$temp/underfoot" ./cmd/underfoot)

# many COURSES TABLE [PATTERN]: the table for so many courses; of rows with a pattern only those that match it
many() {
	awk -v n="$1" -v table="$2" -v only="${3:-}" '
		NR == 1 { print; next }
		table == "weighings" && (/,blank$/ || /,control$/) { next }
		only != "" && $0 !~ only { next }
		{ row[++m] = $0 }
		END {
			for (i = 1; i <= n; i++) {
				c = sprintf("c%04d", i)
				for (k = 1; k <= m; k++) {
					r = row[k]
					gsub(/varrowmere/, c, r)
					gsub(/vm-2/, c "-2", r); gsub(/vm-w/, c "-w", r); gsub(/vm-r[0-9]/, c "-&", r)
					if (table == "courses") sub(/Varrowmere Links/, "Course " i, r)
					if (table == "results") { split(r, f, ","); v = sprintf("%.2f", f[2] * (0.8 + 0.4 * i / n)); sub("," f[2] ",", "," v ",", r) }
					print r
				}
			}
		}' "$example/$2.csv"
}

# package COURSES: a package of them
package() {
	mkdir -p "$temp/p$1"
	local t
	for t in courses greens samples targets; do many "$1" $t >"$temp/p$1/$t.csv"; done
	cp "$example/sands.csv" "$temp/p$1/"
	if [ "$1" -le "$full" ]; then
		for t in weighings results readings work weather; do many "$1" $t >"$temp/p$1/$t.csv"; done
		return
	fi
	# organic matter as a laboratory reports it, from the weighings of the first crucible of each composite
	awk -F, 'NR > 1 && $12 == "sample" && !seen[$1]++ { printf "%s,%.2f,,,whole,\n", $1, 100 * ($6 - $7) / ($6 - $4) }' "$example/weighings.csv" >"$temp/om"
	{ head -n 1 "$example/results.csv"; grep -h whole "$example/results.csv"; cat "$temp/om"; } >"$temp/results.csv"
	(example=$temp; many "$1" results) >"$temp/p$1/results.csv"
	many "$1" readings ',2026-0[4-9]' >"$temp/p$1/readings.csv"
}

middle() { sort -g | awk '{v[NR]=$1} END{printf "%.1f ms (%.1f to %.1f)", (v[int((NR+1)/2)]+v[int(NR/2)+1])/2, v[1], v[NR]}'; }

# ask NAME TARGET PATH…: medians of 50 requests, turn about over the paths
ask() {
	local name=$1 target=$2 i size
	shift 2
	local paths=("$@")
	for ((i = 0; i < 50; i++)); do curl -sSf -o /dev/null -w '%{time_starttransfer}\n' "$address${paths[i % ${#paths[@]}]}"; done | awk '{print $1*1000}' >"$temp/ms"
	size=$(curl -sSf -H 'Accept-Encoding: gzip' -o /dev/null -w '%{size_download}' "$address${paths[0]}")
	printf '%-46s %-34s %9.1f kB   %s\n' "$name" "$(middle <"$temp/ms")" "$(awk -v s="$size" 'BEGIN{print s/1000}')" "$target"
}

for n in "${@:-500 5000}"; do for n in $n; do
	package "$n"
	from=$(date +%s%N)
	"$temp/underfoot" import "$temp/p$n" --store "$temp/$n.db" >/dev/null
	printf '\n%s courses, %s MB, brought in in %s s\n' "$n" "$(du -m "$temp/$n.db" | cut -f1)" "$((($(date +%s%N) - from) / 1000000000))"
	for turn in "after the import" "started again"; do
		: >"$temp/said" # the address in it is that of the one before
		from=$(date +%s%N)
		"$temp/underfoot" serve --store "$temp/$n.db" --listen 127.0.0.1:0 >"$temp/said" 2>"$temp/stderr" &
		server=$!
		address=
		while [ -z "$address" ]; do address=$(grep -o 'http://[0-9.:]*' "$temp/said" || true); [ -n "$address" ] || sleep 0.005; done
		curl -sSf -o /dev/null "$address/"
		printf '%-46s %s ms\n' "first page, $turn" "$((($(date +%s%N) - from) / 1000000))"
		ask "courses page, $turn" '≤ 200 ms' /
		if [ "$turn" = "started again" ]; then
			courses=(); for i in 7 9 $((n / 9)) $((n / 8)) $((n / 7)) $((n / 6)) $((n / 5)) $((n / 4)) $((n / 3)) $((n / 2)); do courses+=("/course/$(printf 'c%04d' "$i")"); done
			ask "course page, ten courses turn about" '≤ 50 ms' "${courses[@]}"
			ask "search for a bag" '≤ 100 ms' "/search?q=$(printf "c%04d" $((n / 2)))-2026-autumn-g09-0-20" "/search?q=Course+$((n / 3))"
		else
			# the background works the summaries out; a while is given to it
			for ((i = 0; i < ${WAIT:-120}; i++)); do
				[ "$(curl -sSf "$address/?show=working" | grep -c 'being worked out' || true)" = 0 ] && break
				sleep 1
			done
			printf '%-46s %s s\n' "waited for summaries" "$i"
		fi
		printf '%-46s %s MB\n' "memory of the server" "$(awk '/VmRSS/{printf "%.0f", $2/1000}' "/proc/$server/status")"
		kill "$server"; wait "$server" 2>/dev/null || true; server=
	done
done; done
