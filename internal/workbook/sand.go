package workbook

import "underfoot/internal/app"

// sandSheets are the sand of the advice, the account between the rounds and what holds each layer.
func sandSheets(s *app.Standing, why map[string]string) []Sheet {
	b := s.BalanceFound()
	sheets := []Sheet{adviceSheet(s.AdviceFound()), holdSheet(b), accountSheet(b), flowSheet(b.Flows), leverSheet(b.Levers), horizonSheet(b.Levers)}
	for _, name := range []string{"Sand to hold", "Account"} {
		why[name] = b.Why
	}
	if b.Levers == nil {
		for _, name := range []string{"Flows", "Levers", "Sand to hold ahead"} {
			why[name] = b.ByRounds
		}
	}
	return sheets
}

// amount is a quantity of sand with its interval.
type amount struct {
	what, unit string
	value      *app.Spread
}

func adviceSheet(a app.AdviceFound) Sheet {
	var rows []amount
	add := func(what string, x *app.AmountFound) {
		if x == nil {
			return
		}
		for _, r := range []amount{{what, "mm a year", x.MM}, {what, "kg/m² a year", x.KgM2}, {what, "dry t a year", x.DryT}, {what, "t a year as delivered", x.DeliveredT}} {
			if r.value != nil {
				rows = append(rows, r)
			}
		}
	}
	add("sand advised in the top layer", a.Sand)
	add("sand that holds the top layer", a.Hold)
	add("sand in the top layer lately", a.Applied)
	for i := range a.Deeper {
		add("sand in "+layerName(a.Deeper[i].TopMM, a.Deeper[i].BottomMM)+", which sand on top does not reach", a.Deeper[i].Sand)
	}
	t := rowsOf(rows).text("what", func(r *amount) string { return r.what }).text("unit", func(r *amount) string { return r.unit })
	spread(t, "", "that unit", 3, func(r *amount) *app.Spread { return r.value })
	return t.sheet("Sand needed", "Next season's sand: advised, what would hold the top layer, and what went in lately.")
}

// spread adds value, standard deviation and 9 in 10 of a quantity.
func spread[T any](t *table[T], what, unit string, decimals int, of func(*T) *app.Spread) {
	head := func(part string) string {
		if what != "" {
			part = what + ", " + part
		}
		return part + ", " + unit
	}
	part := func(get func(*app.Spread) float64) func(*T) any {
		return func(r *T) any {
			if x := of(r); x != nil {
				return get(x)
			}
			return nil
		}
	}
	t.number(head("mean"), decimals, part(func(x *app.Spread) float64 { return x.Value }))
	t.number(head("s.d."), decimals, part(func(x *app.Spread) float64 { return x.SD }))
	t.number(head("5 %"), decimals, part(func(x *app.Spread) float64 { return x.Q05 }))
	t.number(head("middle"), decimals, part(func(x *app.Spread) float64 { return x.Q50 }))
	t.number(head("95 %"), decimals, part(func(x *app.Spread) float64 { return x.Q95 }))
}

func holdSheet(b app.BalanceFound) Sheet {
	type row = app.LayerBalance
	t := rowsOf(b.Layers).
		layer(func(r *row) (float64, float64) { return r.TopMM, r.BottomMM }).
		text("by", func(r *row) string { return r.Basis }).
		day("first round", func(r *row) any { return r.From }).
		day("last round", func(r *row) any { return r.To })
	spread(t, "sand to hold", "mm a year", 2, func(r *row) *app.Spread { return r.HoldMM })
	spread(t, "sand to hold", "kg/m² a year", 3, func(r *row) *app.Spread { return r.Hold })
	spread(t, "sand applied", "mm a year", 2, func(r *row) *app.Spread { return r.AppliedMM })
	spread(t, "sand applied", "kg/m² a year", 3, func(r *row) *app.Spread { return r.Applied })
	spread(t, "made less decayed", "kg/m² a year", 3, func(r *row) *app.Spread { return r.Formed })
	spread(t, "taken out with cores", "kg/m² a year", 4, func(r *row) *app.Spread { return r.Removed })
	return t.day("applied since", func(r *row) any { return r.Lately }).
		chance("chance that less went in than holds it", func(r *row) any { return r.Short }).
		chance("chance that none is needed", func(r *row) any { return r.NoneNeeded }).
		number("organic matter of what sinks out, %", 2, func(r *row) any { return r.Leaving }).
		text("why not", func(r *row) string { return r.Why }).
		sheet("Sand to hold", "The sand that would hold each layer, beside what went in, with coring as it was.")
}

func accountSheet(b app.BalanceFound) Sheet {
	type row = of[app.LayerBalance, app.AccountFound]
	var rows []row
	for i := range b.Layers {
		for _, a := range b.Layers[i].Accounts {
			rows = append(rows, row{&b.Layers[i], a})
		}
	}
	t := rowsOf(rows).
		layer(func(r *row) (float64, float64) { return r.layer.TopMM, r.layer.BottomMM }).
		text("from round", func(r *row) string { return r.row.From }).
		text("to round", func(r *row) string { return r.row.To }).
		number("years", 2, func(r *row) any { return r.row.Years })
	value := func(name string, of func(*app.AccountFound) app.Value) {
		t.number(name+", kg/m²", 3, func(r *row) any { return of(&r.row).Value })
		t.number(name+", s.e., kg/m²", 3, func(r *row) any { return of(&r.row).SE })
	}
	value("sand in", func(a *app.AccountFound) app.Value { return a.Sand })
	value("mineral sunk in from above", func(a *app.AccountFound) app.Value { return a.EnteredMineral })
	value("organic sunk in from above", func(a *app.AccountFound) app.Value { return a.EnteredOrganic })
	value("mineral taken out", func(a *app.AccountFound) app.Value { return a.RemovedMineral })
	value("organic taken out", func(a *app.AccountFound) app.Value { return a.RemovedOrganic })
	value("mineral sunk out below", func(a *app.AccountFound) app.Value { return a.LeftMineral })
	value("organic sunk out below", func(a *app.AccountFound) app.Value { return a.LeftOrganic })
	value("change of mineral", func(a *app.AccountFound) app.Value { return a.ChangeMineral })
	value("change of organic", func(a *app.AccountFound) app.Value { return a.ChangeOrganic })
	value("organic made less decayed", func(a *app.AccountFound) app.Value { return a.Formed })
	return t.sheet("Account", "Where sand and organic matter of each layer went between each round and the next, by the rounds.")
}

// middle adds a quantity's middle and where 9 in 10 lie.
func middle[T any](t *table[T], head, unit string, decimals int, of func(*T) *app.Quantiles) {
	part := func(get func(*app.Quantiles) float64) func(*T) any {
		return func(r *T) any {
			if q := of(r); q != nil {
				return get(q)
			}
			return nil
		}
	}
	t.number(head+", 5 %, "+unit, decimals, part(func(q *app.Quantiles) float64 { return q.Q05 }))
	t.number(head+", middle, "+unit, decimals, part(func(q *app.Quantiles) float64 { return q.Q50 }))
	t.number(head+", 95 %, "+unit, decimals, part(func(q *app.Quantiles) float64 { return q.Q95 }))
}

func flowSheet(list []app.FlowFound) Sheet {
	type row = app.FlowFound
	t := rowsOf(list).
		day("from", func(r *row) any { return r.From }).
		day("to", func(r *row) any { return r.To }).
		layer(func(r *row) (float64, float64) { return r.TopMM, r.BottomMM })
	for _, f := range []struct {
		head, unit string
		of         func(*row) *app.Quantiles
	}{
		{"made", "kg/m²", func(r *row) *app.Quantiles { return &r.Made }},
		{"decayed", "kg/m²", func(r *row) *app.Quantiles { return &r.Decayed }},
		{"taken out", "kg/m²", func(r *row) *app.Quantiles { return &r.TakenOut }},
		{"sunk in", "kg/m²", func(r *row) *app.Quantiles { return &r.SunkIn }},
		{"buried", "kg/m²", func(r *row) *app.Quantiles { return &r.Buried }},
		{"sand in", "kg/m²", func(r *row) *app.Quantiles { return &r.Sand }},
		{"at the start", "%", func(r *row) *app.Quantiles { return &r.Start }},
		{"at the end", "%", func(r *row) *app.Quantiles { return &r.End }},
		{"by what was made", "points", func(r *row) *app.Quantiles { return &r.ByMade }},
		{"by decay", "points", func(r *row) *app.Quantiles { return &r.ByDecay }},
		{"by taking out", "points", func(r *row) *app.Quantiles { return &r.ByTaking }},
		{"by sand", "points", func(r *row) *app.Quantiles { return &r.BySand }},
		{"by sinking", "points", func(r *row) *app.Quantiles { return &r.BySinking }},
	} {
		middle(t, f.head, f.unit, 3, f.of)
	}
	return t.sheet("Flows", "What happened to each layer in each season by the profile model, the mean of the greens.")
}

func leverSheet(l *app.LeversFound) Sheet {
	var rows []app.EffectFound
	if l != nil {
		rows = l.Effects
	}
	type row = app.EffectFound
	words := map[string]string{"sand_1_mm_a": "1 mm more sand a year", "coring_1_a": "one more coring a year", "nitrogen_less_10_kg_ha_a": "10 kg/ha less nitrogen a year"}
	t := rowsOf(rows).
		text("one more of", func(r *row) string { return words[r.Lever] }).
		day("on", func(r *row) any { return r.Date }).
		layer(func(r *row) (float64, float64) { return r.TopMM, r.BottomMM })
	middle(t, "change", "points", 3, func(r *row) *app.Quantiles { return &r.Change })
	return t.sheet("Levers", "What one more of each kind of work would change in each layer, by the profile model.")
}

func horizonSheet(l *app.LeversFound) Sheet {
	var rows []app.HoldFound
	if l != nil {
		rows = l.Holding
	}
	type row = app.HoldFound
	t := rowsOf(rows).
		day("back to what it holds now on", func(r *row) any { return r.Date }).
		layer(func(r *row) (float64, float64) { return r.TopMM, r.BottomMM }).
		chance("share of runs in which sand on top can", func(r *row) any { return r.Possible })
	middle(t, "sand", "mm a year", 2, func(r *row) *app.Quantiles { return r.MM })
	middle(t, "sand", "kg/m² a year", 3, func(r *row) *app.Quantiles { return r.KgM2 })
	return t.sheet("Sand to hold ahead", "The sand on top that brings each layer back, on a day to come, to what it holds now, by the profile model.")
}
