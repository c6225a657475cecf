package app_test

import (
	"context"
	"encoding/json"
	"math"
	"os"
	"testing"
	"time"

	"underfoot/internal/app"
)

// The example course was made by a program that knows what really happened in the top layer; the balance sees only
// cores and the log. What it says must cover the truth.
func TestBalanceCoversTheTruthOfTheExample(t *testing.T) {
	var truth struct {
		Account []struct {
			From, Until string
			Formed      float64 `json:"net_formed_kg_m2_year"`
			Buried      float64 `json:"buried_kg_m2"`
			Sand        float64 `json:"sand_kg_m2"`
		} `json:"account_0_20_mm"`
	}
	text, err := os.ReadFile("../../examples/truth.json")
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(text, &truth); err != nil {
		t.Fatal(err)
	}
	now := time.Date(2026, time.November, 25, 12, 0, 0, 0, time.UTC)
	list, err := app.ReadPackage(context.Background(), "../../examples/varrowmere", now, nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	s, err := app.Stand(list[0], list[0].Course.Today(now), app.Wishes{})
	if err != nil {
		t.Fatal(err)
	}
	top := s.Holding(0, 20)
	if top == nil || len(top.Accounts) != len(truth.Account) || len(truth.Account) < 5 {
		t.Fatalf("accounts of 0–20 mm: %+v, truth has %d", top, len(truth.Account))
	}
	var years, formed, worst float64
	outside := 0
	for i, want := range truth.Account {
		got := top.Accounts[i]
		if got.From.Format(time.DateOnly) != want.From || got.To.Format(time.DateOnly) != want.Until {
			t.Errorf("interval %d runs %s to %s, want %s to %s", i, got.From, got.To, want.From, want.Until)
		}
		z := (got.FormedPerYear.Value - want.Formed) / got.FormedPerYear.SE
		worst = math.Max(worst, math.Abs(z))
		if math.Abs(z) > 1.645 {
			outside++
		}
		years += got.Years
		formed += want.Formed * got.Years
	}
	mean := formed / years
	if top.Check == nil {
		t.Fatalf("the balance is by the rounds alone: %s", s.WhyByRounds())
	}
	rounds := top.Check.Formed
	t.Logf("by the rounds alone formed %.3f (%.3f to %.3f) kg/m² a year, in truth %.3f; single intervals miss by %.1f standard uncertainties at most, %d of %d outside 9 in 10",
		rounds.Value, rounds.Q05, rounds.Q95, mean, worst, outside, len(truth.Account))
	if mean < rounds.Q05 || mean > rounds.Q95 {
		t.Errorf("net formation %.3f to %.3f kg/m² a year by the rounds does not cover the true %.3f", rounds.Q05, rounds.Q95, mean)
	}
	n := len(truth.Account)
	lately := (truth.Account[n-2].Formed*top.Accounts[n-2].Years + truth.Account[n-1].Formed*top.Accounts[n-1].Years) / (top.Accounts[n-2].Years + top.Accounts[n-1].Years)
	t.Logf("by the model %.3f (%.3f to %.3f) since %s, in truth %.3f", top.Formed.Q50, top.Formed.Q05, top.Formed.Q95, top.Since.Format(time.DateOnly), lately)
	if lately < top.Formed.Q05 || lately > top.Formed.Q95 {
		t.Errorf("net formation %.3f to %.3f kg/m² a year by the model does not cover the true %.3f of the last two years", top.Formed.Q05, top.Formed.Q95, lately)
	}
	if model, alone := top.Formed.Q95-top.Formed.Q05, rounds.Q95-rounds.Q05; model > alone {
		t.Errorf("the model leaves %.3f open, the rounds alone %.3f", model, alone)
	}
	if outside > 2 { // of 6 at 9 in 10: more than 2 happens less than once in 60
		t.Errorf("%d of %d intervals lie outside 9 in 10", outside, len(truth.Account))
	}
}
