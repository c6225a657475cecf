package page

import (
	"context"
	"encoding/json"
	"strconv"

	"github.com/a-h/templ"

	spoken "underfoot/internal/say" // say is a component here
)

// txt is a text of the catalogue in the reader's language.
func txt(ctx context.Context, key string, args ...any) string { return spoken.T(ctx, key, args...) }

// lang is the tag of the reader's language.
func lang(ctx context.Context) string { return spoken.From(ctx).Lang() }

// said is a composed sentence in the reader's units and order of dates.
func said(ctx context.Context, words string) string { return spoken.From(ctx).Text(words) }

// unitName is the reader's unit for a metric one.
func unitName(ctx context.Context, metric string) string { return spoken.From(ctx).Unit(metric) }

// dateOrder tells a script in which order the reader writes days: "month" for the month first.
func dateOrder(ctx context.Context) string {
	if spoken.From(ctx).Dates == spoken.MonthFirst {
		return "month"
	}
	return "day"
}

// labelUnit is the unit in the label of a field: the reader's where the numbers of the field are in it too.
func labelUnit(ctx context.Context, x Field) string {
	if x.Several {
		return unitName(ctx, x.Unit)
	}
	return x.Unit
}

// unitsIn is a text in which units stand without a number, in the reader's units.
func unitsIn(ctx context.Context, text string) string {
	s, _ := spoken.From(ctx).Head(text)
	return s
}

// readers tells the script of the log how its sentence reads in the reader's units.
func readers(ctx context.Context, wanted bool) templ.Attributes {
	if !wanted || metric(ctx) {
		return nil
	}
	s := spoken.From(ctx)
	read := map[string]spoken.Reader{}
	for _, metric := range []string{"mm", "kg/m²", "t", "m²", "kg/m³"} {
		read[metric] = s.Reader(metric)
	}
	text, err := json.Marshal(read)
	if err != nil {
		return nil
	}
	return templ.Attributes{"data-read": string(text)}
}

// metric tells whether the reader's units are those in which everything is composed.
func metric(ctx context.Context) bool { return spoken.From(ctx).Units != spoken.US }

// perMM tells a script in which unit its fields of sand are, and how many of it a millimetre is.
func perMM(ctx context.Context) templ.Attributes {
	if metric(ctx) {
		return nil
	}
	s := spoken.From(ctx)
	return templ.Attributes{"data-sand-unit": s.Unit("mm"), "data-sand-per-mm": strconv.FormatFloat(s.Value(1, "mm"), 'g', 12, 64)}
}

// scriptTexts are the texts of scripts in the language of the context, by their English; nil in English.
func scriptTexts(ctx context.Context) map[string]string { return spoken.From(ctx).Scripts() }
