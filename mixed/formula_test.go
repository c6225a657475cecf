package mixed

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// dump writes what was understood of a formula in one canonical line.
func dump(f Formula) string {
	var b strings.Builder
	b.WriteString(f.Response() + " ~ " + dumpSide(f.fixed))
	for _, r := range f.random {
		b.WriteString(" + (" + dumpSide(r.effects) + " | " + r.groupName() + ")")
	}
	return b.String()
}

func dumpSide(s side) string {
	words := []string{"0"}
	if s.intercept {
		words[0] = "1"
	}
	for _, t := range s.terms {
		words = append(words, joined(s.of(t)))
	}
	return strings.Join(words, " + ")
}

// meaning is what a formula says when the order of the columns within a product does not count: that follows from where
// each stands first.
func meaning(f Formula) [][]string {
	out := [][]string{{f.Response()}}
	add := func(s side, group []variable) {
		out = append(out, []string{fmt.Sprint(s.intercept), joined(group)})
		for _, t := range s.terms {
			var names []string
			for _, v := range s.of(t) {
				names = append(names, v.name)
			}
			slices.Sort(names)
			out = append(out, names)
		}
	}
	add(f.fixed, nil)
	for _, r := range f.random {
		add(r.effects, r.group)
	}
	return out
}

// What the operators mean: R's documentation, ?formula, and An Introduction to R, section 11.1; random terms: Bates et al.
// 2015, J Stat Softw 67(1), table 2.
func TestParseFormula(t *testing.T) {
	cases := []struct{ name, text, want string }{
		{"intercept only", "y ~ 1", "y ~ 1"},
		{"two terms", "y ~ a + b", "y ~ 1 + a + b"},
		{"no blanks", "y~a+b", "y ~ 1 + a + b"},
		{"line breaks", "y ~ a\n\t+ b", "y ~ 1 + a + b"},
		{"same term twice", "y ~ a + b + a", "y ~ 1 + a + b"},
		{"product", "y ~ a:b", "y ~ 1 + a:b"},
		{"product of the same", "y ~ a:a", "y ~ 1 + a"},
		{"product in either order", "y ~ a + b + a:b + b:a", "y ~ 1 + a + b + a:b"},
		{"named in order of appearance", "y ~ b + a + a:b", "y ~ 1 + b + a + b:a"},
		{"star", "y ~ a*b", "y ~ 1 + a + b + a:b"},
		{"star of three", "y ~ a*b*c", "y ~ 1 + a + b + c + a:b + a:c + b:c + a:b:c"},
		{"by degree", "y ~ a:b + c", "y ~ 1 + c + a:b"},
		{"power", "y ~ (a + b + c)^2", "y ~ 1 + a + b + c + a:b + a:c + b:c"},
		{"power as high as it goes", "y ~ (a + b)^5", "y ~ 1 + a + b + a:b"},
		{"nested", "y ~ a/b", "y ~ 1 + a + a:b"},
		{"nested in two", "y ~ (a + b)/c", "y ~ 1 + a + b + a:b:c"},
		{"nested twice", "y ~ a/b/c", "y ~ 1 + a + a:b + a:b:c"},
		{"product of sums", "y ~ (a + b):(c + d)", "y ~ 1 + a:c + a:d + b:c + b:d"},
		{"without a term", "y ~ a*b - a:b", "y ~ 1 + a + b"},
		{"without a sum", "y ~ a*b*c - (a:b:c + a:b)", "y ~ 1 + a + b + c + a:c + b:c"},
		{"without what is not there", "y ~ a - b", "y ~ 1 + a"},
		{"no intercept", "y ~ 0 + a", "y ~ 0 + a"},
		{"minus one", "y ~ a - 1", "y ~ 0 + a"},
		{"minus one first", "y ~ -1 + a", "y ~ 0 + a"},
		{"plus zero last", "y ~ a + 0", "y ~ 0 + a"},
		{"minus zero", "y ~ 0 + a - 0", "y ~ 1 + a"},
		{"true minus", "y ~ a − 1", "y ~ 0 + a"},
		{"plus at the start", "y ~ +a", "y ~ 1 + a"},
		{"brackets", "y ~ ((a)) + (b + c)", "y ~ 1 + a + b + c"},
		{"factor", "y ~ factor( x )", "y ~ 1 + factor(x)"},
		{"as.factor", "y ~ as.factor(x):z", "y ~ 1 + as.factor(x):z"},
		{"I", "y ~ I(age-11)*Sex", "y ~ 1 + I(age - 11) + Sex + I(age - 11):Sex"},
		{"square", "y ~ day + I(day ^ 2)", "y ~ 1 + day + I(day^2)"},
		{"arithmetic as R writes it", "y ~ I( a*2.50/b+(c-1e6) ) + log( x+1 )", "y ~ 1 + I(a * 2.5/b + (c - 1e+06)) + log(x + 1)"},
		{"sign", "y ~ I(-a^2)", "y ~ 1 + I(-a^2)"},
		{"functions", "log(y) ~ log2(a) + log10(a) + exp(a) + sqrt(a) + abs(a)", "log(y) ~ 1 + log2(a) + log10(a) + exp(a) + sqrt(a) + abs(a)"},
		{"season", "y ~ sin(2 * pi * t) + cos(2*pi*t)", "y ~ 1 + sin(2 * pi * t) + cos(2 * pi * t)"},
		{"response as arithmetic", "y/x*100 ~ 1", "y/x * 100 ~ 1"},
		{"names with dots and marks", "y.1 ~ .x + a_b + größe", "y.1 ~ 1 + .x + a_b + größe"},
		{"backticks", "`the yield` ~ `a b`", "`the yield` ~ 1 + `a b`"},
		{"random intercept", "y ~ 1 + (1|g)", "y ~ 1 + (1 | g)"},
		{"random slope", "y ~ x + (x|g)", "y ~ 1 + x + (1 + x | g)"},
		{"slope alone", "y ~ x + (1|g) + (0 + x|g)", "y ~ 1 + x + (1 | g) + (0 + x | g)"},
		{"slope alone, other spelling", "y ~ (x - 1 | g)", "y ~ 1 + (0 + x | g)"},
		{"two bars", "y ~ x + (x||g)", "y ~ 1 + x + (1 | g) + (0 + x | g)"},
		{"two bars of two", "y ~ (x*z||g)", "y ~ 1 + (1 | g) + (0 + x | g) + (0 + z | g) + (0 + x:z | g)"},
		{"two bars without intercept", "y ~ (0 + x + z||g)", "y ~ 1 + (0 + x | g) + (0 + z | g)"},
		{"nested groups", "y ~ (1|a/b)", "y ~ 1 + (1 | a) + (1 | a:b)"},
		{"nested groups twice", "y ~ (x|a/b/c)", "y ~ 1 + (1 + x | a) + (1 + x | a:b) + (1 + x | a:b:c)"},
		{"group of two columns", "y ~ (1|a:b)", "y ~ 1 + (1 | a:b)"},
		{"group of two columns, other order", "y ~ (1|b:a)", "y ~ 1 + (1 | b:a)"},
		{"several groups", "y ~ (1|a + b)", "y ~ 1 + (1 | a) + (1 | b)"},
		{"factor as group", "y ~ (1|factor(day))", "y ~ 1 + (1 | factor(day))"},
		{"factor as effect", "y ~ (0 + m|w)", "y ~ 1 + (0 + m | w)"},
		{"random term first", "y ~ (1|g) + x", "y ~ 1 + x + (1 | g)"},
		{"random term in a bracket", "y ~ (x + (1|g))", "y ~ 1 + x + (1 | g)"},
		{"term taken away beside a random one", "y ~ a*b + (1|g) - a:b", "y ~ 1 + a + b + (1 | g)"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			f, err := ParseFormula(c.text)
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(c.want, dump(f)); diff != "" {
				t.Error(diff)
			}
			again, err := ParseFormula(dump(f))
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(meaning(f), meaning(again)); diff != "" {
				t.Errorf("read again: %s", diff)
			}
			if f.String() != c.text {
				t.Errorf("String gives %q", f)
			}
		})
	}
}

func TestParseFormulaRefuses(t *testing.T) {
	cases := []struct{ name, text, want string }{
		{"nothing", " ", `model " ", character 1: nothing is written: write response ~ terms, for example y ~ x + (1 | group)`},
		{"no tilde", "y", `model "y", character 2: there is no "~": write response ~ terms`},
		{"no response", "~ x", `model "~ x", character 1: the response is missing before "~"`},
		{"no terms", "y ~", `model "y ~", character 4: a name or number is missing after "~": found the end`},
		{"two tildes", "y ~ x ~ z", `model "y ~ x ~ z", character 7: expected an operator or the end and found "~"`},
		{"term missing", "y ~ x + ", `model "y ~ x + ", character 9: a name or number is missing after "+": found the end`},
		{"operator missing", "y ~ x z", `model "y ~ x z", character 7: expected an operator or the end and found "z"`},
		{"two operators", "y ~ x * / z", `model "y ~ x * / z", character 9: a name or number is missing after "*": found "/"`},
		{"bracket not closed", "y ~ x + (1|g", `model "y ~ x + (1|g", character 9: the bracket "(" is not closed`},
		{"bracket not opened", "y ~ x) + 1", `model "y ~ x) + 1", character 6: expected an operator or the end and found ")"`},
		{"empty bracket", "y ~ ()", `model "y ~ ()", character 6: there is nothing between the brackets`},
		{"dot", "y ~ .", `model "y ~ .", character 5: "." stands for no column here: name the columns`},
		{"strange sign", "y ~ x & z", `model "y ~ x & z", character 7: '&' means nothing in a formula: allowed are names, numbers, + - * / : ^ ~ | and round brackets; put an unusual name between backticks`},
		{"strange sign after wide letters", "größe ~ ä & z", `model "größe ~ ä & z", character 11: '&' means nothing in a formula: allowed are names, numbers, + - * / : ^ ~ | and round brackets; put an unusual name between backticks`},
		{"backtick not closed", "y ~ `a", "model \"y ~ `a\", character 5: the backtick is not closed: write one after the name of the column"},
		{"nothing in backticks", "y ~ ``", "model \"y ~ ``\", character 5: there is no name between the backticks"},
		{"number as term", "y ~ x + 2", `model "y ~ x + 2", character 9: 2 cannot be a term: allowed are 1 (with intercept) and 0 (without); a power of a column is written I(x^2)`},
		{"endless number", "y ~ I(x + 1e999)", `model "y ~ I(x + 1e999)", character 11: 1e999 is not a number that can be kept`},
		{"power of a column", "y ~ x + x^2", `model "y ~ x + x^2", character 9: x^2 is x itself in this notation: the power of a column is written I(x^2)`},
		{"power of terms by a name", "y ~ (a + b)^c", `model "y ~ (a + b)^c", character 13: the power of a bracket of terms is a whole number from 1 to 64; a power of a column is written I(x^2)`},
		{"power of terms by a half", "y ~ (a + b)^1.5", `model "y ~ (a + b)^1.5", character 13: the power of a bracket of terms is a whole number from 1 to 64; a power of a column is written I(x^2)`},
		{"unknown function", "y ~ poly(x)", `model "y ~ poly(x)", character 5: function poly is not known: allowed are factor, I, log, log2, log10, log1p, exp, sqrt, abs, sin, cos`},
		{"two arguments", "y ~ log(x, 2)", `model "y ~ log(x, 2)", character 10: a function takes one argument here`},
		{"factor in arithmetic", "y ~ log(factor(x))", `model "y ~ log(factor(x))", character 9: a factor has no place in arithmetic`},
		{"factor of a factor", "y ~ factor(factor(x))", `model "y ~ factor(factor(x))", character 12: factor of a factor is that factor: write it once`},
		{"colon in arithmetic", "y ~ I(a:b)", `model "y ~ I(a:b)", character 8: ":" has no meaning in arithmetic: allowed are + - * / ^ and factor, I, log, log2, log10, log1p, exp, sqrt, abs, sin, cos`},
		{"function of a constant", "y ~ log(2)", `model "y ~ log(2)", character 5: log(2) names no column`},
		{"response a factor", "factor(y) ~ x", `model "factor(y) ~ x", character 1: the response must be numbers and factor(y) is a factor`},
		{"response a number", "1 ~ x", `model "1 ~ x", character 1: the response 1 names no column`},
		{"response with a bar", "(1|y) ~ x", `model "(1|y) ~ x", character 3: "|" has no meaning in arithmetic: allowed are + - * / ^ and factor, I, log, log2, log10, log1p, exp, sqrt, abs, sin, cos`},
		{"response among the terms", "y ~ x + y", `model "y ~ x + y", character 9: the response y is among the terms that explain it`},
		{"bar without brackets", "y ~ x + 1|g", `model "y ~ x + 1|g", character 10: a random term stands in brackets: write (1 | group)`},
		{"random term in a product", "y ~ x*(1|g)", `model "y ~ x*(1|g)", character 7: a random term stands where none can: add it with + outside of other brackets`},
		{"random term taken away", "y ~ x - (1|g)", `model "y ~ x - (1|g)", character 9: a random term stands where none can: add it with + outside of other brackets`},
		{"random term in a random term", "y ~ (1 + (1|a)|b)", `model "y ~ (1 + (1|a)|b)", character 10: a random term stands where none can: add it with + outside of other brackets`},
		{"two bars in a term", "y ~ (1|a|b)", `model "y ~ (1|a|b)", character 9: there are two bars in one random term: write one bracket for each, (1 | a) + (1 | b)`},
		{"no effect", "y ~ (0|g)", `model "y ~ (0|g)", character 6: there is no effect before the bar: write 1 or the name of a column`},
		{"nothing before the bar", "y ~ (|g)", `model "y ~ (|g)", character 6: a name or number is missing after "(": found "|"`},
		{"nothing after the bar", "y ~ (1|)", `model "y ~ (1|)", character 8: a name or number is missing after "|": found ")"`},
		{"number as group", "y ~ (1|1)", `model "y ~ (1|1)", character 8: 1 cannot be a group: name a column`},
		{"group taken away", "y ~ (1|a - a)", `model "y ~ (1|a - a)", character 10: there is no group after the bar: name a column`},
		{"same random term twice", "y ~ (1|g) + (1|g)", `model "y ~ (1|g) + (1|g)", character 14: the intercept varies by g in two random terms, and two such variances cannot be told apart: keep one (a slope alone is written 0 + x)`},
		{"intercept twice", "y ~ (1|a:b) + (x|b:a)", `model "y ~ (1|a:b) + (x|b:a)", character 16: the intercept varies by b:a in two random terms, and two such variances cannot be told apart: keep one (a slope alone is written 0 + x)`},
		{"slope twice", "y ~ (x|g) + (0 + x|g)", `model "y ~ (x|g) + (0 + x|g)", character 16: x varies by g in two random terms, and two such variances cannot be told apart: keep one (a slope alone is written 0 + x)`},
		{"deep brackets", "y ~ " + strings.Repeat("(", 300), fmt.Sprintf("model %q, character 205: brackets and signs lie more than 200 deep", "y ~ "+strings.Repeat("(", 300))},
		{"long", strings.Repeat("y", 30000), "model of 30000 bytes: allowed are 20000"},
		{"too many terms", "y ~ (a+b+c+d+e+f+g+h+i+j+k+l+m+n+o+p)^8", `model "y ~ (a+b+c+d+e+f+g+h+i+j+k+l+m+n+o+p)^8", character 38: "^" makes more than 5000 terms`},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			_, err := ParseFormula(c.text)
			if err == nil {
				t.Fatal("no error")
			}
			if diff := cmp.Diff(c.want, err.Error()); diff != "" {
				t.Error(diff)
			}
		})
	}
}

func TestColumns(t *testing.T) {
	f, err := ParseFormula("log(y) ~ factor(x) + z + factor(w) + I(w^2) + (z | g:x) + (1 | factor(h))")
	if err != nil {
		t.Fatal(err)
	}
	want := []Column{{"y", false}, {"x", true}, {"z", false}, {"w", false}, {"g", true}, {"h", true}}
	if diff := cmp.Diff(want, f.Columns()); diff != "" {
		t.Error(diff)
	}
}

// Whatever is typed is understood or refused with words about it, and what is understood is understood the same way when it
// is written out.
func FuzzParseFormula(f *testing.F) {
	for _, seed := range []string{
		"y ~ 1", "Reaction ~ Days + (Days | Subject)", "y ~ a*b - a:b + (0 + x || a/b)", "log(y) ~ I(x^2)/factor(z)", "`a b` ~ -1 + .x",
		"y ~ (a+b)^2 + (1|a:b)", "y ~ 1e3", "y~((((", "y ~ a − b", "y ~ x + ~ (|)", "a^b^c~d^2^2", "\x00~\xff",
	} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		a, err := ParseFormula(text)
		if err != nil {
			if !strings.HasPrefix(err.Error(), "model ") {
				t.Fatalf("%q: the error does not say where: %v", text, err)
			}
			return
		}
		b, err := ParseFormula(dump(a))
		if err != nil {
			t.Fatalf("%q is understood as %q, which is not: %v", text, dump(a), err)
		}
		if cmp.Diff(meaning(a), meaning(b)) != "" {
			t.Fatalf("%q is understood as %q, and that as %q", text, dump(a), dump(b))
		}
	})
}
