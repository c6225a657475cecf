# Writes a package of invented results: awk -v dir=FOLDER -v composites=N -v kind=weighings|results [-v quality=1] -f generate.awk
# 18 greens, three layers, one round a week; the same numbers every time, no chance. With quality, every round is a furnace
# run of its own with a blank, two burns of a control material, a duplicate, and its row in runs.csv.
function day(n,   y, m, d, a) { # n days after 2000-01-01, by the civil calendar
	n += 730425                 # days from 0000-03-01
	a = int((10000 * n + 14780) / 3652425)
	d = n - (365 * a + int(a / 4) - int(a / 100) + int(a / 400))
	if (d < 0) { a--; d = n - (365 * a + int(a / 4) - int(a / 100) + int(a / 400)) }
	m = int((100 * d + 52) / 3060)
	y = a + int((m + 2) / 12)
	return sprintf("%04d-%02d-%02d", y, (m + 2) % 12 + 1, d - int((m * 306 + 5) / 10) + 1)
}
# the furnace run of a round: blank, two controls around 4.9 %, a duplicate of its first composite
function bench_of(r,   c, loss) {
	printf "run %d,%s,ann,big,105,16,440,8\n", r, day(r % 9000 + 3) > (dir "/runs.csv")
	printf "blank %d,b1,run %d,41.000,41.000,41.000,105,440,8,0.001,blank\n", r, r > burnt
	for (c = 1; c <= 2; c++) {
		loss = 35 * (0.049 + (r * 7 + c * 5) % 13 / 13 * 0.003 - 0.0015)
		printf "k1,r%dk%d,run %d,40.000,75.000,%.3f,105,440,8,0.001,control\n", r, c, r, 75 - loss > burnt
	}
	printf "big-%07d,d1,run %d,40.000,75.000,%.3f,105,440,8,0.001,duplicate\n", i, r, 75 - (2 + i % 37 / 50) * (1 + r % 9 / 300) > burnt
}
BEGIN {
	print "course,name,time_zone\nbig,Big course,UTC" > (dir "/courses.csv")
	print "course,green,name,area_m2" > (dir "/greens.csv")
	for (g = 1; g <= 18; g++) printf "big,g%02d,Green %d,500\n", g, g > (dir "/greens.csv")
	samples = dir "/samples.csv"
	burnt = dir "/" kind ".csv"
	print "sample,course,green,round,date,top_mm,bottom_mm,cores,core_diameter_mm,verdure" > samples
	if (kind == "weighings")
		print "sample,crucible,furnace_run,tare_g,dry_g,ash_g,dry_c,ash_c,ash_hours,balance_resolution_g,kind" > burnt
	else
		print "sample,om_percent,om_sd_percent,dry_mass_g,method,lab" > burnt
	if (quality) {
		print "control,accepted_percent,sd_percent\nk1,4.90,0.10" > (dir "/controls.csv")
		print "furnace_run,date,by,furnace,dry_c,dry_hours,ash_c,ash_hours" > (dir "/runs.csv")
	}
	for (i = 0; i < composites; i++) {
		round = int(i / 54)
		top = int(i / 18) % 3 * 20
		if (quality && i % 54 == 0) bench_of(round)
		printf "big-%07d,big,g%02d,round %d,%s,%d,%d,5,20,kept\n", i, i % 18 + 1, round, day(round % 9000), top, top + 20 > samples
		if (kind == "weighings")
			printf "big-%07d,c%d,run %d,%.3f,%.3f,%.3f,105,440,8,0.001,sample\n", i, i % 54, round, 40 + i % 7,
				75 + i % 7 + i % 100 / 100, 73 + i % 7 + i % 100 / 100 - i % 37 / 50 > burnt
		else
			printf "big-%07d,%.2f,0.12,%.3f,whole,own\n", i, 2 + i % 400 / 100, 30 + i % 1000 / 1000 > burnt
	}
}
