// Package docs holds the documents that the program itself shows: what words and figures mean, and how each is worked out.
package docs

import (
	"embed"
	"io/fs"
	"strings"
)

// Language is the tag of the language the documents are in.
const Language = "en"

//go:embed terms.md model/*.md
var files embed.FS

// Models lists the documents that say how figures are worked out, by their names without ending, in order.
func Models() []string {
	list, err := fs.Glob(files, "model/*.md")
	if err != nil {
		panic(err) // the pattern is ours
	}
	for i, name := range list {
		list[i] = strings.TrimSuffix(strings.TrimPrefix(name, "model/"), ".md")
	}
	return list
}

// Model returns the text of such a document, in Markdown; false where there is none of the name.
func Model(name string) (string, bool) {
	if name == "" || strings.ContainsAny(name, `/\.`) {
		return "", false
	}
	text, err := files.ReadFile("model/" + name + ".md")
	return string(text), err == nil
}

// Title is the first heading of a document, or its name.
func Title(name string) string {
	text, _ := Model(name)
	first, _, _ := strings.Cut(text, "\n")
	if title, ok := strings.CutPrefix(first, "# "); ok {
		return title
	}
	return name
}
