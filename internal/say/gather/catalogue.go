package gather

import (
	"bytes"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
)

// shared is the group of texts that stand in more than one package.
const shared = "shared"

// scripts is the folder of the scripts of pages, and the group of their texts.
const scripts = "internal/web/static/js"

// Catalogue writes texts as a file of phrases in TOML: a group for each package, a line for each text, with nothing beside it.
// In the file of a language its words stand there.
func Catalogue(texts []Text) []byte {
	group := map[string]string{}
	lines := map[string][]string{}
	for _, t := range texts {
		if t.Package == scripts { // they are handed to the page by themselves
			lines[scripts] = append(lines[scripts], t.Words)
			continue
		}
		if in, ok := group[t.Words]; ok && in != t.Package {
			group[t.Words] = shared
		} else {
			group[t.Words] = t.Package
		}
	}
	for words, in := range group {
		lines[in] = append(lines[in], words)
	}
	var b bytes.Buffer
	b.WriteString("# What the program composes, in English: gathered from its source by the test of package gather (-update writes this file anew).\n" +
		"# Another language is a copy named by its tag with its words on the right. %s, %d and the like stand for what is put in; where\n" +
		"# it comes in another order they are numbered: %[2]s. What has nothing on the right is said in English.\n")
	for _, in := range slices.Sorted(maps.Keys(lines)) {
		name := in
		if name == "." {
			name = "root"
		}
		fmt.Fprintf(&b, "\n[%s]\n", tomlString(name))
		slices.Sort(lines[in])
		for _, words := range slices.Compact(lines[in]) {
			fmt.Fprintf(&b, "%s = \"\"\n", tomlString(words))
		}
	}
	return b.Bytes()
}

// tomlString quotes a text as a basic string of TOML.
func tomlString(text string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range text {
		switch {
		case r == '"' || r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r < ' ' || r == 0x7f:
			fmt.Fprintf(&b, `\u%04X`, r)
		case strconv.IsPrint(r):
			b.WriteRune(r)
		default:
			fmt.Fprintf(&b, `\U%08X`, r)
		}
	}
	b.WriteByte('"')
	return b.String()
}
