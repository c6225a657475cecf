package say

import (
	"context"
	"embed"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"
	"sync"

	"github.com/BurntSushi/toml"
	"golang.org/x/text/language"
	"golang.org/x/text/message"
	"golang.org/x/text/message/catalog"
)

//go:embed texts/*.toml
var files embed.FS

// pseudo is the tag of English with accents, made from English: a test reads pages in it to see which texts do not come from
// the catalogue. Nobody can choose it.
const pseudo = "en-XA"

// Language is one whose texts there are.
type Language struct {
	Tag  string // "en"
	Name string // in itself: "English"
}

// Languages lists those whose texts there are, by their tags.
func Languages() []Language {
	var out []Language
	for _, tag := range slices.Sorted(maps.Keys(texts().words)) {
		if tag != pseudo {
			out = append(out, Language{tag, texts().words[tag]["language.name"]})
		}
	}
	return out
}

// Spoken tells whether there are texts in a language.
func Spoken(tag string) bool {
	return slices.ContainsFunc(Languages(), func(l Language) bool { return l.Tag == tag })
}

// T is the text of the catalogue by its key, in the language of the context, with the arguments its verbs ask for. A key
// that is not there is returned itself, so that it is seen.
func T(ctx context.Context, key string, args ...any) string { return From(ctx).T(key, args...) }

// T is the text of the catalogue by its key in the language of the style.
func (s Style) T(key string, args ...any) string {
	c := texts()
	p, ok := c.printers[s.Lang()]
	if !ok {
		p = c.printers["en"]
	}
	if _, known := c.words["en"][key]; !known {
		return key
	}
	if len(args) == 0 { // a share in % is no verb
		if text, ok := c.words[s.Lang()][key]; ok {
			return text
		}
		return c.words["en"][key]
	}
	return p.Sprintf(message.Key(key, key), args...)
}

// Keys are those of the catalogue, in order.
func Keys() []string { return slices.Sorted(maps.Keys(texts().words["en"])) }

type texting struct {
	words    map[string]map[string]string // by tag and key
	printers map[string]*message.Printer
}

// texts reads the catalogue, once.
var texts = sync.OnceValue(func() texting {
	c, err := readTexts()
	if err != nil {
		panic(fmt.Sprintf("embedded texts: %v", err)) // cannot happen in a binary whose tests ran
	}
	return c
})

func readTexts() (texting, error) {
	c := texting{words: map[string]map[string]string{}, printers: map[string]*message.Printer{}}
	list, err := files.ReadDir("texts")
	if err != nil {
		return c, err
	}
	for _, f := range list {
		if strings.HasSuffix(f.Name(), composed) {
			continue
		}
		body, err := files.ReadFile("texts/" + f.Name())
		if err != nil {
			return c, err
		}
		var tree map[string]any
		if _, err := toml.Decode(string(body), &tree); err != nil {
			return c, fmt.Errorf("%s: %w", f.Name(), err)
		}
		words := map[string]string{}
		if err := flatten(words, "", tree); err != nil {
			return c, fmt.Errorf("%s: %w", f.Name(), err)
		}
		c.words[strings.TrimSuffix(f.Name(), ".toml")] = words
	}
	c.words[pseudo] = map[string]string{}
	for key, text := range c.words["en"] {
		c.words[pseudo][key] = accented(text)
	}
	b := catalog.NewBuilder(catalog.Fallback(language.English))
	for tag, words := range c.words {
		t, err := language.Parse(tag)
		if err != nil {
			return c, fmt.Errorf("%s.toml: %w", tag, err)
		}
		for key, text := range words {
			if err := b.SetString(t, key, text); err != nil {
				return c, fmt.Errorf("%s: %s: %w", tag, key, err)
			}
		}
	}
	for tag := range c.words {
		c.printers[tag] = message.NewPrinter(language.MustParse(tag), message.Catalog(b))
	}
	return c, nil
}

// flatten names the texts of nested tables by their path: [settings] title is settings.title.
func flatten(out map[string]string, path string, tree map[string]any) error {
	for k, v := range tree {
		key := strings.TrimPrefix(path+"."+k, ".")
		switch v := v.(type) {
		case string:
			out[key] = v
		case map[string]any:
			if err := flatten(out, key, v); err != nil {
				return err
			}
		default:
			return fmt.Errorf("%s is %T, not a text", key, v)
		}
	}
	return nil
}

var accents = strings.NewReplacer("a", "á", "e", "é", "i", "í", "o", "ó", "u", "ú", "A", "Á", "E", "É", "I", "Í", "O", "Ó", "U", "Ú", "y", "ý", "n", "ñ", "c", "ç", "s", "š", "z", "ž")

// accented puts accents on a text and leaves its verbs, such as %d and %[1]s, as they are.
func accented(text string) string {
	var b strings.Builder
	from := 0
	for _, at := range filledIn.FindAllStringIndex(text, -1) {
		b.WriteString(accents.Replace(text[from:at[0]]))
		b.WriteString(text[at[0]:at[1]])
		from = at[1]
	}
	return b.String() + accents.Replace(text[from:])
}

// filledIn are the places of a text where something is put in: by the program, such as %[2]s, and by a script, such as {rows}.
var filledIn = regexp.MustCompile(`(?s)%[\[\]0-9.+-]*.?|\{[a-z]+\}`)
