package app

// dressingMonths is the usual length of the dressing season: the median over the seasons of the months from the first
// dressing to the last, both counted; 0 where nothing was logged. A season begins after the longest run of months in
// which there was never a dressing, so that one over the new year is one season.
func (s *Standing) dressingMonths() float64 {
	var dressed [12]bool
	for _, d := range s.Done {
		if d.dressing() {
			dressed[d.Work.Date.Month()-1] = true
		}
	}
	begin := seasonBegins(dressed)
	first, last := map[int]int{}, map[int]int{} // by season, months since its beginning
	for _, d := range s.Done {
		if !d.dressing() {
			continue
		}
		months := d.Work.Date.Year()*12 + int(d.Work.Date.Month()) - 1 - begin
		season, month := months/12, months%12
		if _, ok := first[season]; !ok {
			first[season] = month // the log is in order of date
		}
		last[season] = month
	}
	var lengths []float64
	for season := range first {
		lengths = append(lengths, float64(last[season]-first[season])+1)
	}
	return median(lengths)
}

func (d *Done) dressing() bool { return d.Work.Kind == "topdress" && d.SurfaceMM > 0 }

// seasonBegins is the month (0 to 11) after the longest run of months without a dressing; January where there is none.
func seasonBegins(dressed [12]bool) int {
	begin, longest, run := 0, 0, 0
	for m := range 24 { // twice round, for a run over the new year
		if dressed[m%12] {
			run = 0
			continue
		}
		if run++; run > longest && run <= 12 {
			longest, begin = run, (m+1)%12
		}
	}
	return begin
}
