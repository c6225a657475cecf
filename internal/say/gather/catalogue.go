package gather

import (
	"bytes"
	"fmt"

	"github.com/BurntSushi/toml"
)

// shared is the group of texts that stand in more than one package.
const shared = "shared"

// scripts is the folder of the scripts of pages, and the group of their texts.
const scripts = "internal/web/static/js"

// head says how a file of phrases is used.
const head = `# What the program composes, in English: gathered from its source by the test of package gather (-update writes this file anew).
# Another language is a copy named by its tag with its words on the right. %s, %d and the like stand for what is put in; where
# it comes in another order they are numbered: %[2]s. What has nothing on the right is said in English.

`

// Catalogue writes texts as a file of phrases in TOML: a group for each package, a line for each text, with nothing beside it.
// In the file of a language its words stand there.
func Catalogue(texts []Text) ([]byte, error) {
	group := map[string]string{}
	lines := map[string]map[string]string{}
	put := func(in, words string) {
		if lines[in] == nil {
			lines[in] = map[string]string{}
		}
		lines[in][words] = ""
	}
	for _, t := range texts {
		switch in, ok := group[t.Words]; {
		case t.Package == scripts: // they are handed to the page by themselves
			put(scripts, t.Words)
		case ok && in != t.Package:
			group[t.Words] = shared
		default:
			group[t.Words] = t.Package
		}
	}
	for words, in := range group {
		if in == "." {
			in = "root"
		}
		put(in, words)
	}
	b := bytes.NewBufferString(head)
	e := toml.NewEncoder(b)
	e.Indent = ""
	if err := e.Encode(lines); err != nil {
		return nil, fmt.Errorf("write phrases: %w", err)
	}
	return b.Bytes(), nil
}
