# Writes invented records: awk -v kind=panel|portfolio [-v courses=N] -f generate.awk > FILE.csv
# The same numbers every time: Lehmer's generator (16807, 2³¹−1; Park & Miller 1988, Commun ACM 31:1192–1201) and Box–Muller.
#   panel       one course, 18 greens × 40 dates × 3 layers = 2,160 rows: slopes by green, green within layer, date
#   portfolio   N courses × 18 greens × 12 rounds × 3 layers = 648·N rows: slopes by course, greens within courses
function uniform() { state = (16807 * state) % 2147483647; return state / 2147483647 }
function normal(sd,   r, a) {
	if (kept) { kept = 0; return sd * keep }
	r = sqrt(-2 * log(uniform())); a = 6.283185307179586 * uniform()
	keep = r * sin(a); kept = 1
	return sd * r * cos(a)
}
function times(n, years,   i, j, v) { # time[1..n], in order
	for (i = 1; i <= n; i++) {
		v = years * uniform()
		for (j = i - 1; j >= 1 && time[j] > v; j--) time[j + 1] = time[j]
		time[j + 1] = v
	}
	for (i = 1; i <= n; i++) time[i] = sprintf("%.4f", time[i])
}
BEGIN {
	state = 20251125
	mean[1] = 5.6; mean[2] = 3.3; mean[3] = 1.9
	name[1] = "0-20"; name[2] = "20-40"; name[3] = "40-60"
	if (kind == "panel") {
		slope[1] = -0.12; slope[2] = -0.04; slope[3] = 0.02
		print "green,date,layer,t,value"
		times(40, 10)
		for (d = 1; d <= 40; d++) date[d] = normal(0.15)
		for (g = 1; g <= 18; g++) {
			level = normal(0.4); trend = normal(0.05)
			for (l = 1; l <= 3; l++) own[l] = normal(0.25)
			for (d = 1; d <= 40; d++) for (l = 1; l <= 3; l++)
				printf "g%02d,d%02d,%s,%s,%.4f\n", g, d, name[l], time[d], mean[l] + slope[l] * time[d] + level + trend * time[d] + own[l] + date[d] + normal(0.3)
		}
		exit
	}
	print "course,cg,t,layer,value"
	for (c = 1; c <= courses; c++) {
		level = normal(0.6); trend = normal(0.06) + 0.02 * level
		times(12, 6)
		for (g = 1; g <= 18; g++) {
			green = normal(0.4)
			for (r = 1; r <= 12; r++) for (l = 1; l <= 3; l++)
				printf "c%05d,c%05d.%02d,%s,%s,%.4f\n", c, c, g, time[r], name[l], mean[l] - 0.05 * time[r] + level + trend * time[r] + green + normal(0.35)
		}
	}
}
