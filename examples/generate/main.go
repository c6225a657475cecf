// Command generate makes the two invented courses of examples/ and the truth behind the larger one.
//
// Every byte follows from one seed: the same program writes the same files. The profile is kept with the
// arithmetic of a stack of parcels (growth, decay, sand, coring), then cored, burnt and written down with the
// errors that spreaders, corers, furnaces and balances make. Nothing here imports the rest of the program, so
// that the data cannot agree with a mistake in it.
//
//	go run ./examples/generate          # writes into examples/
//	go run ./examples/generate -o DIR   # writes somewhere else
package main

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
)

// seed is the only source of chance in the examples.
const seed = 20261125

func main() {
	out := flag.String("o", "examples", "folder to write into")
	flag.Parse()
	if err := run(*out); err != nil {
		fmt.Fprintln(os.Stderr, "generate:", err)
		os.Exit(3)
	}
}

func run(out string) error {
	files, err := generate()
	if err != nil {
		return err
	}
	for _, name := range slices.Sorted(mapKeys(files)) {
		path := filepath.Join(out, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			return fmt.Errorf("making the folder of %s: %w", name, err)
		}
		if err := os.WriteFile(path, files[name], 0o644); err != nil {
			return fmt.Errorf("writing %s: %w", name, err)
		}
	}
	return nil
}

// generate gives every file by its path inside examples/.
func generate() (map[string][]byte, error) {
	files := map[string][]byte{}
	for folder, make := range map[string]func() ([]file, error){"varrowmere": varrowmere, "second": second, ".": truthFile} {
		made, err := make()
		if err != nil {
			return nil, fmt.Errorf("making %s: %w", folder, err)
		}
		for _, f := range made {
			files[filepath.ToSlash(filepath.Join(folder, f.name))] = f.data
		}
	}
	return files, nil
}
