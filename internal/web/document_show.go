package web

import (
	"bytes"
	"net/http"
	"strings"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/extension"
	"github.com/yuin/goldmark/parser"

	"underfoot"
	"underfoot/docs"
	"underfoot/internal/web/page"
)

// markdown writes the documents of the program as HTML; raw HTML in them is left out.
var markdown = goldmark.New(goldmark.WithExtensions(extension.Table), goldmark.WithParserOptions(parser.WithAutoHeadingID()))

// wide lets what is wider than a phone scroll by itself, by keyboard too.
var wide = strings.NewReplacer(
	"<table>", `<div class="scroll" tabindex="0" role="group" aria-label="Table"><table class="ruled">`, "</table>", "</table></div>",
	"<pre>", `<pre class="scroll" tabindex="0" role="group" aria-label="Formula">`,
	`style="text-align:right"`, `class="num"`, `style="text-align:center"`, "", `style="text-align:left"`, "",
	"<th></th>", "<td></td>", // a head without words heads nothing
	`.md"`, `"`, // documents link to one another by their files
)

// showDocument shows one of the documents that say how figures are worked out.
func (s *server) showDocument(w http.ResponseWriter, r *http.Request) error {
	name := r.PathValue("document")
	text, ok := docs.Model(name)
	if !ok {
		return underfoot.Errorf(underfoot.NotFound, "there is no document %q: %s are there", name, strings.Join(docs.Models(), ", "))
	}
	var b bytes.Buffer
	if err := markdown.Convert([]byte(text), &b); err != nil {
		return err
	}
	p := page.Document{Frame: s.frame(r, docs.Title(name), "help"), HTML: wide.Replace(b.String())}
	p.Frame.Taken = true
	for _, other := range docs.Models() {
		if other != name {
			p.Others = append(p.Others, page.Link{Href: "/help/" + other, Text: docs.Title(other)})
		}
	}
	return s.send.page(w, r, http.StatusOK, page.DocumentPage(p))
}
