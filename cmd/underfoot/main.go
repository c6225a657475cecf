// Command underfoot is the working tool of the agronomist who keeps putting greens firm and even.
package main

import (
	"os"

	"underfoot/internal/cli"
)

func main() { os.Exit(cli.Main(os.Args[1:], cli.Process())) }
