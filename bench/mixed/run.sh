#!/usr/bin/env bash
# Measures mixed models beside lme4, the two in turn in one run, and how the cost grows with the number of courses.
#   bench/mixed/run.sh [small|inner|portfolio|growth …]     without a name all four
# Needs Go, awk and GNU time (Debian: apt-get install time); the columns of lme4 need R (apt-get install r-base-core r-cran-lme4).
# RUNS (7) and LARGE_RUNS (5) say how often, COURSES (2000) how large, GROWTH ("10 100 1000 10000") for how many courses.
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
root=$here/../..
runs=${RUNS:-7} large_runs=${LARGE_RUNS:-5} courses=${COURSES:-2000} growth=${GROWTH:-10 100 1000 10000}
parts=("$@"); [ $# -gt 0 ] || parts=(small inner portfolio growth)

temp=$(mktemp -d "${TMPDIR:-/tmp}/underfoot-mixed-XXXXXX")
trap 'rm -rf "$temp"' EXIT
program=$temp/underfoot benchmarks=$temp/mixed.test
(cd "$root" && go build -o "$program" ./cmd/underfoot && go test -c -o "$benchmarks" ./mixed)
export UNDERFOOT_BENCH_DATA=$temp

with_r=yes
if ! command -v Rscript >/dev/null || ! Rscript --vanilla -e 'library(lme4)' >/dev/null 2>&1; then
	with_r=
	echo "R with lme4 is not here (Debian: apt-get install r-base-core r-cran-lme4): only our own side is measured." >&2
fi

sleep_data=$root/mixed/testdata/reference/data/sleepstudy.csv
sleep_model='Reaction ~ Days + (Days | Subject)'
b1='value ~ layer * t + (1 + t | green) + (1 | green:layer) + (1 | date)'
b2='value ~ layer * t + (1 + t | green) + (1 | green:layer)'
portfolio_model='value ~ t + layer + (1 + t | course) + (1 | cg)'
awk -v kind=panel -f "$here/generate.awk" >"$temp/panel.csv"

# process NAME COMMAND…: runs the command once; adds its milliseconds and kilobytes at most to NAME.ms and NAME.kb
process() {
	local name=$1 from to
	shift
	from=$(date +%s%N)
	/usr/bin/time -f %M -o "$temp/memory" "$@" >"$temp/out" 2>"$temp/errors" || { cat "$temp/errors" >&2; exit 1; }
	to=$(date +%s%N)
	awk -v ns=$((to - from)) 'BEGIN{print ns / 1e6}' >>"$temp/$name.ms"
	tail -n 1 "$temp/memory" >>"$temp/$name.kb"
}
# middle FILE [FACTOR]: median, least and greatest of its numbers
middle() { sort -g "$1" | awk -v f="${2:-1}" '{v[NR]=$1*f} END{printf "%.5g %.5g %.5g\n", (v[int((NR+1)/2)]+v[int(NR/2)+1])/2, v[1], v[NR]}'; }
cell() { awk '{printf "%s (%s to %s)", $1, $2, $3}' <<<"$1"; }
# row WHAT UNIT OURS THEIRS [FACTOR]: a line of the table from two files of numbers
row() {
	local o t='' ratio='' f=${5:-1}
	o=$(middle "$temp/$3" "$f")
	if [ -n "$with_r" ] && [ -s "$temp/$4" ]; then
		t=$(middle "$temp/$4" "$f")
		ratio=$(awk -v a="${t%% *}" -v b="${o%% *}" 'BEGIN{printf "%.3g", a / b}')
		t=$(cell "$t")
	fi
	echo "| $1, $2 | $(cell "$o") | ${t:-–} | ${ratio:-–} |"
}
# criterion of the fit of one model by both, so that the table compares fits that agree
criteria() {
	local ours theirs=–
	ours=$("$program" mixed "$1" --model "$2" --json | awk -F'[:,]' '/"criterion"/{print $2; exit}')
	[ -z "$with_r" ] || theirs=$(Rscript --vanilla "$here/fit.R" inner "$1" "$2" 1 | awk '{print $2}')
	echo "criterion of $2: ours$ours, lme4 $theirs"
}
# bench NAME PATTERN: one run of Go's own benchmark; adds seconds for one fit to NAME
bench() { (cd "$root/mixed" && "$benchmarks" -test.run '^$' -test.bench "$2" -test.benchtime "${3:-1s}" -test.timeout 0) | awk '/ns\/op/{print $3 / 1e9}' >>"$temp/$1"; }

small() {
	local i
	for ((i = 0; i < runs; i++)); do
		process ours_sleep "$program" mixed "$sleep_data" --model "$sleep_model"
		[ -z "$with_r" ] || process r_sleep Rscript --vanilla "$here/fit.R" whole "$sleep_data" "$sleep_model"
		process ours_b1 "$program" mixed "$temp/panel.csv" --model "$b1"
		[ -z "$with_r" ] || process r_b1 Rscript --vanilla "$here/fit.R" whole "$temp/panel.csv" "$b1"
		process ours_b2 "$program" mixed "$temp/panel.csv" --model "$b2"
		[ -z "$with_r" ] || process r_b2 Rscript --vanilla "$here/fit.R" whole "$temp/panel.csv" "$b2"
		[ -z "$with_r" ] || process r_start Rscript --vanilla -e 'suppressPackageStartupMessages(library(lme4))'
	done
	lines+=("$(row 'whole process, sleepstudy (180 rows)' ms ours_sleep.ms r_sleep.ms)"
		"$(row 'whole process, panel with dates (2,160 rows)' ms ours_b1.ms r_b1.ms)"
		"$(row 'whole process, panel without dates' ms ours_b2.ms r_b2.ms)")
	[ -z "$with_r" ] || lines+=("| of which R starting and loading lme4, ms | – | $(cell "$(middle "$temp/r_start.ms")") | – |")
	notes+=("$(criteria "$temp/panel.csv" "$b1")" "$(criteria "$temp/panel.csv" "$b2")")
}

inner() {
	local i
	for ((i = 0; i < runs; i++)); do
		bench ours_in_sleep '^BenchmarkSleepstudy$/^lmer$'
		[ -z "$with_r" ] || Rscript --vanilla "$here/fit.R" inner "$sleep_data" "$sleep_model" 20 | awk '{print $1}' >>"$temp/r_in_sleep"
		bench ours_in_b1 '^BenchmarkPanel$/^dates$'
		[ -z "$with_r" ] || Rscript --vanilla "$here/fit.R" inner "$temp/panel.csv" "$b1" 20 | awk '{print $1}' >>"$temp/r_in_b1"
		bench ours_in_b2 '^BenchmarkPanel$/^plain$'
		[ -z "$with_r" ] || Rscript --vanilla "$here/fit.R" inner "$temp/panel.csv" "$b2" 20 | awk '{print $1}' >>"$temp/r_in_b2"
	done
	lines+=("$(row 'one fit in the process, sleepstudy' ms ours_in_sleep r_in_sleep 1000)"
		"$(row 'one fit in the process, panel with dates' ms ours_in_b1 r_in_b1 1000)"
		"$(row 'one fit in the process, panel without dates' ms ours_in_b2 r_in_b2 1000)")
}

portfolio() {
	local i file=$temp/portfolio.csv
	awk -v kind=portfolio -v courses="$courses" -f "$here/generate.awk" >"$file"
	for ((i = 0; i < large_runs; i++)); do
		process ours_large "$program" mixed "$file" --model "$portfolio_model" --json
		our_criterion=$(awk -F'[:,]' '/"criterion"/{print $2; exit}' "$temp/out")
		bench ours_in_large '^BenchmarkPortfolio$' 1x
		if [ -n "$with_r" ]; then
			process r_large Rscript --vanilla "$here/fit.R" large "$file" "$portfolio_model"
			awk '{print $2}' "$temp/out" >>"$temp/r_in_large"
			their_criterion=$(awk '{print $3}' "$temp/out")
		fi
	done
	lines+=("$(row "whole process, portfolio of $courses courses ($((courses * 648)) rows)" s ours_large.ms r_large.ms 0.001)"
		"$(row 'the same, the fit alone in the process' s ours_in_large r_in_large)"
		"$(row 'the same, peak memory of the process' MB ours_large.kb r_large.kb 0.001024)")
	notes+=("criterion of $portfolio_model: ours$our_criterion, lme4 ${their_criterion:-–}")
	rm "$file"
}

growth() {
	local n i file=$temp/portfolio.csv
	growing=()
	for n in $growth; do
		awk -v kind=portfolio -v courses="$n" -f "$here/generate.awk" >"$file"
		for ((i = 0; i < 3; i++)); do
			process "whole_$n" "$program" mixed "$file" --model "$portfolio_model" --json
			bench "fit_$n" '^BenchmarkPortfolio$' "$([ "$n" -gt 500 ] && echo 1x || echo 20x)"
		done
		growing+=("$(awk -v n="$n" -v w="$(middle "$temp/whole_$n.ms")" -v f="$(middle "$temp/fit_$n" 1000)" -v k="$(middle "$temp/whole_$n.kb")" 'BEGIN{
			split(w, a, " "); split(f, b, " "); split(k, c, " ")
			printf "| %d | %d | %.4g | %.4g | %.3g | %.3g | %.0f |", n, n * 648, a[1], b[1], a[1] / n, b[1] / n, c[1] * 1.024e-3}')")
	done
	rm "$file"
}

lines=() notes=() growing=()
load=$(cut -d' ' -f1 /proc/loadavg)
for part in "${parts[@]}"; do "$part"; done
echo "$(nproc) processors, load before $load and after $(cut -d' ' -f1 /proc/loadavg); $("$program" version | head -n 1)$([ -z "$with_r" ] || Rscript --vanilla -e 'cat("; R ", R.version$major, ".", R.version$minor, ", lme4 ", format(packageVersion("lme4")), sep = "")')"
if [ ${#lines[@]} -gt 0 ]; then
	printf '\n| what | ours: median (least to greatest) | lme4 | times |\n| --- | --- | --- | --- |\n'
	printf '%s\n' "${lines[@]}"
fi
if [ ${#growing[@]} -gt 0 ]; then
	printf '\n| courses | rows | whole process, ms | fit alone, ms | whole per course, ms | fit per course, ms | peak memory, MB |\n| --- | --- | --- | --- | --- | --- | --- |\n'
	printf '%s\n' "${growing[@]}"
fi
[ ${#notes[@]} -eq 0 ] || { echo; printf '%s\n' "${notes[@]}"; }
