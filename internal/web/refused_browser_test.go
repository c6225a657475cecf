package web

import (
	"context"
	"encoding/json"
	"fmt"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// refusal is a form filled in wrongly: sent, it comes again with what is wrong beside the field and with all that was typed.
type refusal struct {
	pattern string            // of the address the form is sent to
	page    string            // where the form stands
	typed   map[string]string // what is typed, by the names of the fields; a file’s is its text
	wrong   []string          // the fields with something wrong
	press   string            // the button, if not the form’s first
}

var refusals = []refusal{
	{"/import", "/import", nil, []string{"files"}, ""},
	{"/sheet/{draft}", "/sheet/{sheet}", map[string]string{"course": "varrowmere"}, []string{"dates", "green"}, "[value=store]"},
	{"/new", "/new", map[string]string{"latitude_deg": "north"}, []string{"name", "course", "latitude_deg"}, ""},
	{"/course/{course}/edit", "/course/varrowmere/edit", map[string]string{"latitude_deg": "north"}, []string{"latitude_deg"}, ""},
	{"/course/{course}/table/{table}", "/course/ostrelby/table/readings", map[string]string{"r0-green": "g01", "r0-date": "soon", "r0-value": "much"}, []string{"r0-date", "r0-kind", "r0-value"}, "[value=save]"},
	{"/course/{course}/design", "/course/varrowmere/design", map[string]string{"cores": "many", "note": "wet bank"}, []string{"cores"}, "[value=save]"},
	{"/course/{course}/round/{round}/plan", "/course/varrowmere/round/spring%2027/plan", map[string]string{"layers": "0-20 10-30", "note": "wet bank"}, []string{"layers"}, "[value=save]"},
	{"/course/{course}/green/{green}/outline", "/course/varrowmere/green/g03/outline", map[string]string{"corners": "54.1 north"}, []string{"corners"}, "button:not([type=button])"},
	{"/course/{course}/green/{green}/outline/file", "/course/varrowmere/green/g03/outline", map[string]string{"file": "no map", "which": "the third"}, []string{"file"}, ""},
	{"/course/{course}/green/{green}/points", "/course/varrowmere/green/g03/outline", map[string]string{"lat-1": "north"}, []string{"lat-1"}, "button:not([type=button])"},
	{"/course/{course}/custody", "/course/varrowmere/custody", map[string]string{"by": "A. Tester", "read": "no such bag"}, []string{"read"}, "[value=cut]:not([name=all])"},
	{"/course/{course}/bench/enter", "/course/ostrelby/bench/enter", map[string]string{"furnace_run": "new", "r0-crucible": "d01", "r0-dry_g": "much"}, []string{"r0-sample", "r0-dry_g"}, "[value=save]"},
	{"/course/{course}/bench/release", "/course/varrowmere/bench?run={held}", map[string]string{"reason": "the jar stood open"}, []string{"by"}, "[value=release]"},
	{"/course/{course}/findings", "/course/varrowmere/findings", map[string]string{"files": "no,peers\n1,2\n"}, []string{"files"}, ""},
	{"/course/{course}/judgement", "/course/varrowmere/findings", map[string]string{"by": "A. Tester"}, []string{"reason"}, "button:not([name], [type=button])"},
	{"/course/{course}/plan/keep", "/course/varrowmere/plan?{plan}", map[string]string{"scenario": strings.Repeat("x", 20), "nitrogen": "much"}, []string{"nitrogen"}, "[formaction$=keep]"},
	{"/course/{course}/plan/accept", "/course/varrowmere/plan?{plan}", map[string]string{"mm": "much"}, []string{"mm"}, "[formaction$=accept]"},
	{"/course/{course}/operations/file", "/course/varrowmere/operations", map[string]string{"file": "no catalogue"}, []string{"file"}, ""},
	{"/course/{course}/operation", "/course/varrowmere/operation", map[string]string{"name": "a try", "sand_high_mm": "much"}, []string{"id", "sand_high_mm", "spacing_days"}, "button:not([name], [type=button])"},
	{"/course/{course}/operation/{operation}", "/course/varrowmere/operation/core-8", map[string]string{"passes": "twice"}, []string{"passes"}, "button:not([name], [type=button])"},
	{"/course/{course}/closings", "/course/varrowmere/operations", map[string]string{"name": "the open", "healed_days": "soon"}, []string{"from", "healed_days"}, ""},
	{"/course/{course}/crew", "/course/varrowmere/operations", map[string]string{"crew_hours": "all", "crew_note": "two of them"}, []string{"crew_hours"}, ""},
	{"/course/{course}/report/build", "/course/ostrelby/report/build", map[string]string{"for": "the board", "note": "once a year", "logo": "no picture"}, []string{"logo"}, "[name=keep]"},
	{"/course/{course}/log", "/course/varrowmere/log", map[string]string{"amount": "-3", "note": "the day after"}, []string{"amount"}, "[value=save]"},
	{"/course/{course}/log/{entry}", "/course/varrowmere/log/vm-w0003", map[string]string{"cost": "much", "note": "once more"}, []string{"cost"}, "[value=save]"},
}

// onlyButtons are the addresses of forms that hold nothing to type, buttons and choices alone: using them cannot be wrong.
var onlyButtons = []string{
	"/view", "/settings", "/import/{draft}/confirm", "/import/{draft}/discard", "/course/{course}/round/{round}/plan/delete", "/course/{course}/green/{green}/outline/delete",
	"/course/{course}/plan/drop", "/course/{course}/operation/{operation}/switch", "/course/{course}/operation/{operation}/forget", "/course/{course}/closings/drop",
	"/course/{course}/crew/drop", "/course/{course}/log/{entry}/delete", "/course/{course}/undo",
}

// wrongForm fills in and sends the form of the page that is sent to an address, and marks the page it leaves.
const wrongForm = `((action, typed, press) => {
	const to = (e) => new URL(e.getAttribute("formaction") ?? e.getAttribute("action") ?? "", location).pathname;
	const form = [...document.forms].find((f) => (to(f) === action || [...f.elements].some((e) => e.hasAttribute("formaction") && to(e) === action)) && Object.keys(typed).every((name) => f.elements[name]));
	if (!form) return "no form with these fields is sent to " + action;
	form.noValidate = true; // the server has the last word
	for (const [name, text] of Object.entries(typed)) {
		const e = [...form.elements].find((e) => e.name === name);
		if (!e) return "no field " + name;
		if (e.type !== "file") { e.value = text; }
	}
	const button = [...form.elements].find((e) => e.localName === "button" && e.matches(press || "button:not([type=button])"));
	if (!button) return "no button " + press;
	document.documentElement.dataset.left = "yes";
	form.requestSubmit(button);
	return "";
})`

// refusedForm says what is wrong with the way a form came back.
const refusedForm = `((action, typed, wrong) => {
	const out = [], all = [...document.querySelectorAll("input, select, textarea")];
	for (const name of wrong) {
		const e = all.find((e) => e.name === name && e.getAttribute("aria-invalid") === "true");
		if (!e) { out.push(name + ": the field is not marked as wrong (aria-invalid)"); continue; }
		const said = (e.getAttribute("aria-describedby") ?? "").split(" ").map((id) => document.getElementById(id)).filter((x) => x?.matches(".error, .err, [id^=e-]") && x.checkVisibility()).map((x) => x.innerText.trim()).join("");
		if (!said) out.push(name + ": nothing beside the field says what is wrong");
	}
	for (const e of all) if (e.getAttribute("aria-invalid") === "true" && !wrong.includes(e.name)) out.push(e.name + ": marked as wrong too");
	for (const [name, text] of Object.entries(typed)) {
		const fields = all.filter((e) => e.name === name && e.type !== "file");
		if (fields.length && !fields.some((e) => e.value === text)) out.push(name + ": what was typed is gone; the field holds " + JSON.stringify(fields[0].value));
	}
	return out;
})`

// everyFormRefuses sends every form with something wrong in it: it comes again with what is wrong beside the field, told to those
// who hear it, what was typed still there, and nothing stored; on a phone too all of it can be pressed and is within the screen.
func everyFormRefuses(t *testing.T, ctx context.Context, s *site, home string, fill *strings.Replacer) {
	srv := newServer(s.app, Options{})
	srv.handler()
	known := map[string]bool{}
	for _, r := range refusals {
		known[r.pattern] = true
	}
	for _, pattern := range onlyButtons {
		known[pattern] = true
	}
	for _, pattern := range srv.patterns {
		if pattern, ok := strings.CutPrefix(pattern, "POST "); ok && !known[pattern] {
			t.Errorf("no form sent to %s is among the refusals: nothing looks how it answers to what is wrong", pattern)
		}
	}
	do(t, ctx, chromedp.EmulateViewport(1360, 900))
	before := s.latest()
	for _, r := range refusals {
		t.Run(strings.ReplaceAll(r.pattern, "/", " "), func(t *testing.T) { formRefuses(t, ctx, home, r, fill) })
	}
	if s.latest() != before {
		t.Error("something was stored")
	}
}

func formRefuses(t *testing.T, ctx context.Context, home string, r refusal, fill *strings.Replacer) {
	js := func(v any) string { b, _ := json.Marshal(v); return string(b) }
	where, _, _ := strings.Cut(fill.Replace(r.page), "?")
	action := actionOf(r.pattern, where)
	do(t, ctx, chromedp.Navigate(home+fill.Replace(r.page)), chromedp.WaitReady("h1"))
	if r.typed == nil {
		r.typed = map[string]string{}
	}
	for name, text := range r.typed {
		if name == "file" || name == "files" || name == "logo" {
			file := keep(t, filepath.Join(t.TempDir(), "wrong"), "wrong.csv", text)
			do(t, ctx, chromedp.SetUploadFiles(fmt.Sprintf("input[type=file][name=%s]", name), []string{file}))
		}
	}
	if why := eval[string](t, ctx, wrongForm+"("+js(action)+","+js(r.typed)+","+js(r.press)+")"); why != "" {
		t.Fatalf("%s: %s", r.page, why)
	}
	back := false
	for end := time.Now().Add(20 * time.Second); time.Now().Before(end) && !back; time.Sleep(20 * time.Millisecond) {
		back, _ = chromedp.Run(ctx, chromedp.Evaluate[bool](`!document.documentElement.dataset.left && document.readyState === "complete" && !!document.querySelector("h1")`))
	}
	if !back {
		t.Fatalf("%s: the form did not come back", r.page)
	}
	do(t, ctx, chromedp.Evaluate[chromedp.Void](axeSource), chromedp.Evaluate[chromedp.Void](everybodySource))
	for _, why := range eval[[]string](t, ctx, refusedForm+"("+js(action)+","+js(r.typed)+","+js(r.wrong)+")") {
		t.Errorf("%s: %s", r.page, why)
	}
	for _, f := range axe(t, ctx, false) {
		t.Errorf("%s: %s (%s)\n\t%s\n\t%s", r.page, f.Help, f.Rule, f.At, f.Why)
	}
	do(t, ctx, chromedp.EmulateViewport(390, 844, chromedp.EmulateMobile, chromedp.EmulateTouch))
	for _, script := range []string{"small(44)", "over()"} {
		for _, fault := range eval[[]string](t, ctx, "everybody."+script) {
			t.Errorf("%s, 390 px, %s: %s", r.page, script, fault)
		}
	}
	do(t, ctx, chromedp.EmulateViewport(1360, 900))
}

// actionOf is the address of a pattern with the words of the address the form stands at.
func actionOf(pattern, where string) string {
	a, b := strings.Split(pattern, "/"), strings.Split(where, "/")
	for i := range a {
		if strings.HasPrefix(a[i], "{") && i < len(b) {
			a[i] = b[i]
		}
	}
	return strings.Join(a, "/")
}
