package exchange

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"underfoot"
)

// The description of a package after the Data Package standard, version 2.0 (datapackage.org), sections Data Package,
// Data Resource, Table Dialect and Table Schema.
type description struct {
	Schema    string     `json:"$schema"`
	Name      string     `json:"name"`
	Title     string     `json:"title"`
	Underfoot marker     `json:"underfoot"`
	Resources []resource `json:"resources"`
}

// marker says that we wrote the package, and in which version of the exchange format.
type marker struct {
	Format int `json:"format"`
}

// formatVersion is the version of the exchange format that this program reads and writes.
const formatVersion = 1

type resource struct {
	Schema    string       `json:"$schema,omitempty"`
	Name      string       `json:"name"`
	Path      string       `json:"path"`
	Type      string       `json:"type,omitempty"`
	Title     string       `json:"title"`
	Format    string       `json:"format"`
	MediaType string       `json:"mediatype"`
	Encoding  string       `json:"encoding"`
	Dialect   *dialect     `json:"dialect,omitempty"`
	Table     *tableSchema `json:"schema,omitempty"`
}

type dialect struct {
	Schema         string `json:"$schema"`
	Delimiter      string `json:"delimiter"`
	LineTerminator string `json:"lineTerminator"`
	QuoteChar      string `json:"quoteChar"`
	DoubleQuote    bool   `json:"doubleQuote"`
	Header         bool   `json:"header"`
}

type tableSchema struct {
	Schema        string       `json:"$schema"`
	Fields        []field      `json:"fields"`
	PrimaryKey    []string     `json:"primaryKey"`
	ForeignKeys   []foreignKey `json:"foreignKeys,omitempty"`
	MissingValues []string     `json:"missingValues"`
}

type field struct {
	Name        string       `json:"name"`
	Type        string       `json:"type"`
	Description string       `json:"description,omitempty"`
	Unit        string       `json:"unit,omitempty"`
	WhenEmpty   string       `json:"whenEmpty,omitempty"`
	Constraints *constraints `json:"constraints,omitempty"`
}

type constraints struct {
	Required         bool     `json:"required,omitempty"`
	Enum             []string `json:"enum,omitempty"`
	Minimum          *float64 `json:"minimum,omitempty"`
	ExclusiveMinimum *float64 `json:"exclusiveMinimum,omitempty"`
	Maximum          *float64 `json:"maximum,omitempty"`
}

type foreignKey struct {
	Fields    []string  `json:"fields"`
	Reference reference `json:"reference"`
}

type reference struct {
	Resource string   `json:"resource"`
	Fields   []string `json:"fields"`
}

const profiles = "https://datapackage.org/profiles/2.0/"

// describe returns the description of a package with the given tables and, by table, columns that are not of the
// format. It says nothing of when or where it was written, so that the same records make the same package.
func describe(name, title string, tables []*underfoot.Table, unknown map[*underfoot.Table][]string) ([]byte, error) {
	d := description{Schema: profiles + "datapackage.json", Name: name, Title: title, Underfoot: marker{formatVersion}}
	present := map[string]bool{}
	for _, t := range tables {
		present[t.Name] = true
	}
	for _, t := range tables {
		d.Resources = append(d.Resources, describeTable(t, unknown[t], present))
	}
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	err := e.Encode(d)
	return b.Bytes(), err
}

func describeTable(t *underfoot.Table, unknown []string, present map[string]bool) resource {
	if t == underfoot.Outlines {
		return resource{
			Name: t.Name, Path: outlineFile, Title: t.Title,
			Format: "geojson", MediaType: "application/geo+json", Encoding: "utf-8",
		}
	}
	s := &tableSchema{Schema: profiles + "tableschema.json", MissingValues: []string{""}}
	for i := range t.Columns {
		c := &t.Columns[i]
		s.Fields = append(s.Fields, describeColumn(c))
		if c.Key {
			s.PrimaryKey = append(s.PrimaryKey, c.Name)
		}
		if c.Refers != "" && present[c.Refers] {
			s.ForeignKeys = append(s.ForeignKeys, refersTo(c))
		}
	}
	for _, name := range unknown {
		s.Fields = append(s.Fields, field{Name: name, Type: "string"})
	}
	return resource{
		Schema: profiles + "dataresource.json", Name: t.Name, Path: fileOf(t), Type: "table", Title: t.Title,
		Format: "csv", MediaType: "text/csv", Encoding: "utf-8",
		Dialect: &dialect{profiles + "tabledialect.json", ",", "\n", `"`, true, true}, Table: s,
	}
}

func describeColumn(c *underfoot.Column) field {
	f := field{Name: c.Name, Description: c.About, Unit: c.Unit, WhenEmpty: c.Default}
	switch c.Kind {
	case underfoot.Number:
		f.Type = "number"
	case underfoot.Whole:
		f.Type = "integer"
	case underfoot.Day:
		f.Type = "date"
	default:
		f.Type = "string"
	}
	if c.Need || c.OneOf != nil || c.Min != nil || c.Above != nil || c.Max != nil {
		f.Constraints = &constraints{c.Need, c.OneOf, c.Min, c.Above, c.Max}
	}
	return f
}

func refersTo(c *underfoot.Column) foreignKey {
	to := strings.TrimSuffix(c.Refers, "s")
	if c.Refers == "greens" {
		return foreignKey{[]string{"course", c.Name}, reference{c.Refers, []string{"course", to}}}
	}
	return foreignKey{[]string{c.Name}, reference{c.Refers, []string{to}}}
}

// maxDescription is the largest datapackage.json that is read. Common practice, no source.
const maxDescription = 4 << 20

// readDescription checks datapackage.json: it may be absent, but what it says must be true.
func (r *reader) readDescription() {
	if r.files[descriptionFile] == nil {
		return
	}
	say := func(line int, column, text string) {
		r.problem(Problem{File: descriptionFile, Line: line, Column: column, Text: text})
	}
	text, problem := readSmall(filepath.Join(r.dir, descriptionFile), maxDescription)
	defer r.progress(int64(len(text)))
	if problem != "" {
		say(0, "", problem)
		return
	}
	var d struct {
		Underfoot *marker `json:"underfoot"`
		Resources []struct {
			Name string `json:"name"`
			Path any    `json:"path"`
		} `json:"resources"`
	}
	if err := json.Unmarshal(text, &d); err != nil {
		say(lineOf(text, err), "", "is not a data package: "+err.Error())
		return
	}
	if d.Underfoot != nil && d.Underfoot.Format > formatVersion {
		say(0, "underfoot.format", fmt.Sprintf("the package is of version %d of the format and this program reads up to %d: use a newer one",
			d.Underfoot.Format, formatVersion))
	}
	if d.Resources == nil {
		say(0, "resources", "is missing: a data package lists its files")
	}
	for i, res := range d.Resources {
		r.checkPath(fmt.Sprintf("resources[%d]", i), res.Path, say)
	}
}

// checkPath checks the path of a resource, one or a list.
func (r *reader) checkPath(column string, path any, say func(int, string, string)) {
	switch p := path.(type) {
	case string:
		r.checkFile(column+".path", p, say)
	case []any:
		for _, part := range p {
			r.checkPath(column, part, say)
		}
	default:
		r.notice(Notice{File: descriptionFile, Column: column, Text: "has no path and was not read"})
	}
}

func (r *reader) checkFile(column, path string, say func(int, string, string)) {
	switch {
	case strings.Contains(path, "://"):
		r.notice(Notice{File: descriptionFile, Column: column, Text: shorten(path) + " is elsewhere and was not read"})
	case !filepath.IsLocal(path) || strings.ContainsAny(path, "\\\x00"):
		say(0, column, fmt.Sprintf("%q leads out of the package: a path inside its folder is expected", shorten(path)))
	case r.files[path] != nil:
	case missingFile(filepath.Join(r.dir, path)):
		say(0, column, shorten(path)+" is listed and not in the folder")
	default:
		r.notice(Notice{File: descriptionFile, Column: column, Text: shorten(path) + " is not part of the format and was not read"})
	}
}

func missingFile(path string) bool {
	_, err := os.Stat(path)
	return err != nil
}

// lineOf returns the line of a JSON error, 0 when the error does not say.
func lineOf(text []byte, err error) int {
	var offset int64
	switch e := err.(type) {
	case *json.SyntaxError:
		offset = e.Offset
	case *json.UnmarshalTypeError:
		offset = e.Offset
	default:
		return 0
	}
	return 1 + bytes.Count(text[:min(int(offset), len(text))], []byte("\n"))
}
