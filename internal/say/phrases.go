package say

import (
	"fmt"
	"strings"
	"sync"

	"github.com/BurntSushi/toml"
)

// composed ends the name of a file of phrases: en.composed.toml lists those of the program's source.
const composed = ".composed.toml"

var books sync.Map // of *phrasebook by tag; nil pointers for English

// book is the phrasebook of the style's language, nil for English and for a language without one.
func (s Style) book() *phrasebook {
	tag := s.Lang()
	if tag == "en" {
		return nil
	}
	if b, ok := books.Load(tag); ok {
		return b.(*phrasebook)
	}
	b, err := readBook(tag)
	if err != nil {
		panic(fmt.Sprintf("embedded phrases: %v", err)) // cannot happen in a binary whose tests ran
	}
	kept, _ := books.LoadOrStore(tag, b)
	return kept.(*phrasebook)
}

// scripts is the group of the texts of scripts in a file of phrases.
const scripts = "internal/web/static/js"

// Scripts are the texts of the scripts of pages in the style's language, by their English; nil where they are in English.
func (s Style) Scripts() map[string]string {
	if b := s.book(); b != nil {
		return b.scripts
	}
	return nil
}

// readBook reads the phrases of a language, with the names of months and days of its keyed texts.
func readBook(tag string) (*phrasebook, error) {
	file := tag
	if tag == pseudo {
		file = "en"
	}
	body, err := files.ReadFile("texts/" + file + composed)
	if err != nil {
		return nil, nil //nolint:nilerr // a language may have its keyed texts only
	}
	var groups map[string]map[string]string
	if _, err := toml.Decode(string(body), &groups); err != nil {
		return nil, fmt.Errorf("%s%s: %w", file, composed, err)
	}
	words, ofScripts := map[string]string{}, map[string]string{}
	for name, group := range groups {
		for from, to := range group {
			if tag == pseudo {
				to = accented(from)
			}
			words[from] = to
			if name == scripts && to != "" {
				ofScripts[from] = to
			}
		}
	}
	for key, english := range texts().words["en"] {
		if strings.HasPrefix(key, "calendar.") {
			words[english] = Style{Language: tag}.T(key)
		}
	}
	b := newPhrasebook(words)
	b.scripts = ofScripts
	return b, nil
}
