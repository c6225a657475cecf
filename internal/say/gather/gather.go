// Package gather reads the program's own source for the words a person may come to read: texts, formats and sentences put together
// of parts. It serves the catalogue of composed texts, which a test holds to the source; nothing in the program calls it.
package gather

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Text is one text of the source.
type Text struct {
	Package string // directory of the package, "internal/web"; "." for the root
	Words   string // as a format: what is put in stands as %s, %d and the like, a share as %%
}

// From reads the packages in dirs below a root and returns their texts, each once in a package, by package and words. Tests are left out;
// of a page made of a template what stands in its expressions is taken, its markup is not.
func From(root fs.FS, dirs ...string) ([]Text, error) {
	var out []Text
	for _, dir := range dirs {
		list, err := fs.ReadDir(root, dir)
		if err != nil {
			return nil, err
		}
		for _, f := range list {
			name := f.Name()
			if f.IsDir() || path.Ext(name) != ".go" || strings.HasSuffix(name, "_test.go") {
				continue
			}
			body, err := fs.ReadFile(root, path.Join(dir, name))
			if err != nil {
				return nil, err
			}
			words, err := fromFile(name, body)
			if err != nil {
				return nil, err
			}
			for _, w := range words {
				out = append(out, Text{dir, w})
			}
		}
	}
	slices.SortFunc(out, func(a, b Text) int {
		return strings.Compare(a.Package+"\x00"+a.Words, b.Package+"\x00"+b.Words)
	})
	return slices.Compact(out), nil
}

var (
	// asked is a text a script asks for; spoken is one that looks as if it were for a person: two words and more, in quotes or
	// with values in them.
	asked  = regexp.MustCompile(`\btxt\(("(?:[^"\\]|\\.)*")`)
	spoken = regexp.MustCompile("\"[^\"]*\\p{L}{2,} \\p{L}{2,}[^\"]*\"|`[^`]*\\p{L}{2,} \\p{L}{2,}[^`]*`")
	// value is what a script puts into a text.
	value = regexp.MustCompile(`\$\{[^{}]*\}`)
	// selector is what picks elements of a page, or lists their classes.
	selector = regexp.MustCompile(`^["` + "`" + `](?:\)|[\w-]*[.#\[>][^"]*|(?:[\w-]+ )*(?:btn|corner|rib-row)[\w -]*|input, select, textarea|non-scaling-stroke|.*\$\{[^}]*$)`)
)

// FromScripts returns the texts that the scripts of a directory ask for, and lines that seem to speak without asking.
func FromScripts(root fs.FS, dir string) (texts []Text, unasked []string, err error) {
	files, err := fs.Glob(root, dir+"/*.js")
	if err != nil {
		return nil, nil, err
	}
	for _, name := range files {
		body, err := fs.ReadFile(root, name)
		if err != nil {
			return nil, nil, err
		}
		for n, line := range strings.Split(string(body), "\n") {
			line, _, _ = strings.Cut(line, "// ")
			for _, m := range asked.FindAllStringSubmatch(line, -1) {
				words, err := strconv.Unquote(m[1])
				if err != nil {
					return nil, nil, fmt.Errorf("%s, line %d: %w", name, n+1, err)
				}
				texts = append(texts, Text{dir, words})
			}
			line = value.ReplaceAllString(asked.ReplaceAllString(line, "txt("), "%s")
			for _, found := range spoken.FindAllString(line, -1) {
				if !selector.MatchString(found) {
					unasked = append(unasked, fmt.Sprintf("%s, line %d: %s", path.Base(name), n+1, found))
				}
			}
		}
	}
	return texts, unasked, nil
}

// notForReaders, as a comment of its own, keeps a file out: its words are those of others, such as headings a laboratory may use, or
// names of styles.
const notForReaders = "//gather:none"

// fromFile returns the texts of one file, in its order.
func fromFile(name string, body []byte) ([]string, error) {
	files := token.NewFileSet()
	f, err := parser.ParseFile(files, name, body, parser.SkipObjectResolution|parser.ParseComments)
	if err != nil {
		return nil, fmt.Errorf("read source: %w", err)
	}
	for _, c := range f.Comments {
		if c.List[0].Text == notForReaders {
			return nil, nil
		}
	}
	g := gatherer{done: map[ast.Node]bool{}}
	ast.Inspect(f, g.visit)
	return g.words, nil
}

type gatherer struct {
	words []string
	done  map[ast.Node]bool // seen as a part of something else, or not for reading
}

// visit takes the texts at a node. A parent comes before its children, so it can say what a child is.
func (g *gatherer) visit(n ast.Node) bool {
	if n == nil || g.done[n] {
		return false
	}
	switch n := n.(type) {
	case *ast.ImportSpec:
		return false
	case *ast.Field:
		if n.Tag != nil {
			g.done[n.Tag] = true
			g.tag(n.Tag)
		}
	case *ast.CaseClause:
		g.skip(n.List...)
	case *ast.IndexExpr:
		g.skip(n.Index)
	case *ast.BinaryExpr:
		switch n.Op {
		case token.EQL, token.NEQ:
			g.skip(n.X, n.Y)
		case token.ADD:
			g.take(n, false)
		}
	case *ast.CallExpr:
		g.call(n)
	case *ast.BasicLit:
		g.take(n, false)
	}
	return true
}

// tag takes what the tag of a column says about it.
func (g *gatherer) tag(lit *ast.BasicLit) {
	if tag, err := strconv.Unquote(lit.Value); err == nil {
		if about := strings.ReplaceAll(reflect.StructTag(tag).Get("about"), "%", "%%"); readable(about) {
			g.words = append(g.words, about)
		}
	}
}

func (g *gatherer) skip(list ...ast.Expr) {
	for _, e := range list {
		if lit, ok := e.(*ast.BasicLit); ok {
			g.done[lit] = true
		}
	}
}

// forCode are functions whose texts are for the machine.
var forCode = regexp.MustCompile(`^(FormValue|PostFormValue|Get|Set|Has|HasPrefix|HasSuffix|Contains|ContainsAny|Index|IndexByte|IndexAny|Cut|CutPrefix|CutSuffix|TrimPrefix|TrimSuffix|Trim|TrimLeft|TrimRight|` +
	`Split|SplitN|Fields|MustCompile|LastIndex|EqualFold|Format|Parse|Handle|HandleFunc|PathValue|T|panic|Getenv|ReadFile|Attr|NewReplacer|Del|ReplaceAll|Replace|Sscanf|Sscan|Query|Exec|Register|txt|JoinStringErrs)$`)

// formats are functions whose text is a format, and the place of it among the arguments.
var formats = regexp.MustCompile(`[fF]$|^(bad|refuse)$`)

func (g *gatherer) call(c *ast.CallExpr) {
	name := called(c)
	if forCode.MatchString(name) || markup(c) {
		g.skip(c.Args...)
		return
	}
	if !formats.MatchString(name) {
		return
	}
	for _, a := range c.Args { // the first text among the arguments is the format
		if literal(a) {
			g.take(a, true)
			return
		}
	}
}

// markup tells whether a call writes markup of a template.
func markup(c *ast.CallExpr) bool {
	f, ok := c.Fun.(*ast.SelectorExpr)
	if !ok {
		return false
	}
	in, ok := f.X.(*ast.Ident)
	return ok && in.Name == "templruntime" && f.Sel.Name == "WriteString"
}

func called(c *ast.CallExpr) string {
	switch f := c.Fun.(type) {
	case *ast.Ident:
		return f.Name
	case *ast.SelectorExpr:
		return f.Sel.Name
	}
	return ""
}

// literal tells whether a text stands in an expression as it is or put together.
func literal(e ast.Expr) bool {
	switch e := e.(type) {
	case *ast.BasicLit:
		return e.Kind == token.STRING
	case *ast.BinaryExpr:
		return e.Op == token.ADD && (literal(e.X) || literal(e.Y))
	case *ast.ParenExpr:
		return literal(e.X)
	}
	return false
}

// take keeps the words of an expression: a text, or texts and values put together.
func (g *gatherer) take(e ast.Expr, format bool) {
	if g.done[e] || !literal(e) {
		return
	}
	words := g.together(e, format)
	if readable(words) {
		g.words = append(g.words, strings.TrimSpace(words))
	}
}

// together writes an expression as one format and marks its parts as taken. A value that is itself composed is looked into later.
func (g *gatherer) together(e ast.Expr, format bool) string {
	switch e := e.(type) {
	case *ast.BasicLit:
		if e.Kind == token.STRING {
			g.done[e] = true
			words, err := strconv.Unquote(e.Value)
			if err == nil && (format || verb.MatchString(words) && !strings.Contains(words, "% ")) {
				return words
			}
			return strings.ReplaceAll(words, "%", "%%")
		}
	case *ast.BinaryExpr:
		if e.Op == token.ADD {
			g.done[e] = true
			defer func() { // what is put in may hold texts of its own
				for _, part := range []ast.Expr{e.X, e.Y} {
					if !g.done[part] {
						ast.Inspect(part, g.visit)
					}
				}
			}()
			return g.together(e.X, format) + g.together(e.Y, format)
		}
	case *ast.ParenExpr:
		if literal(e.X) {
			g.done[e] = true
			return g.together(e.X, format)
		}
	}
	return "%s"
}

var (
	verb = regexp.MustCompile(`%(\[\d+\])?[-+# 0]*[\d*.]*[a-zA-Z%]`)
	word = regexp.MustCompile(`\p{L}{2,}`)
	// code is what no person reads: addresses, names of files and of fields, markup, layouts of dates.
	code = regexp.MustCompile(`^[\w%]*[./_=:#{<\[&?-][\w./%=:#{}<>()\[\]&?*"+-]+$|^(2006|Jan|Mon)\b|^[<&]|://|^(GET|POST|PUT|DELETE) /|text/|application/|^\p{Ll}+[\p{Lu}\d]\w*$|\b(SELECT|INSERT|UPDATE|DELETE)\b|^[\w-]+: [\w-]+;|2006|^@|\.go\b|\(\?|\\[bdspw]|\[\^`)
)

// readable tells whether words are for a person.
func readable(words string) bool {
	if !utf8.ValidString(words) || strings.ContainsFunc(words, unicode.IsControl) {
		return false // the head of a file, a block of lines
	}
	bare := strings.TrimSpace(verb.ReplaceAllString(words, " "))
	return word.MatchString(bare) && !code.MatchString(strings.TrimSpace(words)) && !code.MatchString(bare)
}
