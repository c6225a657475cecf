// Package cli is the command line: one file per command, and the wiring of the program. It parses, calls the use cases
// of package app, prints, and turns an error into an exit code.
package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"os/user"
	"syscall"
	"time"

	"github.com/alecthomas/kong"

	"underfoot"
)

// Env is what a command has of the world around it.
type Env struct {
	Context context.Context
	Stdout  io.Writer
	Stderr  io.Writer
	Now     func() time.Time
	Who     string // the person named in the history
	Screen  bool   // standard error is a terminal: progress may be shown

	open []io.Closer // closed when the command is done
}

// Process returns the environment of the running process; the first interrupt ends the context.
func Process() *Env {
	ctx, _ := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	who := "someone"
	if u, err := user.Current(); err == nil {
		who = u.Username
		if u.Name != "" {
			who = u.Name
		}
	}
	info, err := os.Stderr.Stat()
	return &Env{
		Context: ctx, Stdout: os.Stdout, Stderr: os.Stderr, Now: time.Now, Who: who,
		Screen: err == nil && info.Mode()&os.ModeCharDevice != 0,
	}
}

// commands is the command line as kong reads it.
type commands struct {
	Demo       demoCommand       `cmd:"" help:"Open the example courses in a fresh store and serve the web app on this machine."`
	Serve      serveCommand      `cmd:"" help:"Serve the web app over a store."`
	Check      checkCommand      `cmd:"" help:"Read a package and report every problem in it; write nothing."`
	Import     importCommand     `cmd:"" help:"Bring a package into a store, whole or not at all."`
	Export     exportCommand     `cmd:"" help:"Write a course of a store as a package."`
	Bench      benchCommand      `cmd:"" help:"Weighings to organic matter, density and stock, with uncertainty."`
	Sieve      sieveCommand      `cmd:"" help:"Sieve tables to curves, sizes, classes, limits met or not, drift and blends."`
	Findings   findingsCommand   `cmd:"" help:"What changed by layer and how sure that is; evenness; the direction."`
	Forecast   forecastCommand   `cmd:"" help:"Where each layer will be, from the profile model calibrated to the course."`
	Calibrate  calibrateCommand  `cmd:"" help:"Calibrate and foretell every course of a store; a run that was stopped goes on where it was."`
	Balance    balanceCommand    `cmd:"" help:"Sand and organic matter in and out of each layer, and the sand that would hold it."`
	Advise     adviseCommand     `cmd:"" help:"Next season's sand in plain words: how much, how often, where it must go, how sure."`
	Peers      peersCommand      `cmd:"" help:"Where a course stands among others of the same species; the anonymous summary of one's own."`
	Power      powerCommand      `cmd:"" help:"What sampling can see, so far and with another design; the cheapest design; what the next round is worth."`
	Round      roundCommand      `cmd:"" help:"Design a round: greens, layers, cores, where each is taken, what it costs and can see; from when on it is worth it."`
	Season     seasonCommand     `cmd:"" help:"The season plan: the dated work of least money and disturbance that brings the layers where they should be."`
	Report     reportCommand     `cmd:"" help:"The report for those who pay, the committee, the crew or the bench, as PDF or as a page that prints well."`
	Workbook   workbookCommand   `cmd:"" help:"Every table of a course as a spreadsheet (.xlsx): results, plan and records, units in the headers."`
	Labels     labelsCommand     `cmd:"" help:"Bag labels of a round as PDF: a code and the same text for people."`
	Fieldsheet fieldsheetCommand `cmd:"" help:"Field sheet of a round as PDF: greens in walking order, where each core is cut, a depth ruler to scale."`
	Mixed      mixedCommand      `cmd:"" help:"Any linear mixed model of any table, for a closer look."`
	Calc       calcCommand       `cmd:"" help:"The small sums of the trade: coring area, sand to fill, conversions, density, sample volume."`
	Version    versionCommand    `cmd:"" help:"Which Underfoot this is."`
}

const description = `Underfoot keeps putting greens firm and even: from crucible weighings to next season's sand.

SOURCE is a package folder, or --store FILE with --course ID.
Exit status: 0 done, 1 the honest answer is no, 2 bad usage or bad input, 3 internal.`

// Main runs the command line args and returns the exit status.
func Main(args []string, env *Env) int {
	var c commands
	status := -1
	parser, err := kong.New(&c, kong.Name("underfoot"), kong.Description(description), kong.Writers(env.Stdout, env.Stderr),
		kong.UsageOnError(), kong.ConfigureHelp(kong.HelpOptions{Compact: true, FlagsLast: true, WrapUpperBound: 110}),
		kong.Exit(func(code int) { status = code }))
	if err != nil {
		fmt.Fprintln(env.Stderr, "underfoot:", err)
		return 3
	}
	if len(args) == 0 {
		args = []string{"--help"}
	}
	ctx, err := parser.Parse(args)
	if status >= 0 { // help was asked for
		return status
	}
	if err != nil {
		fmt.Fprintf(env.Stderr, "underfoot: %v\nRun \"underfoot --help\", or \"underfoot COMMAND --help\".\n", err)
		return 2
	}
	defer env.close()
	err = ctx.Run(env)
	if err != nil && !errors.Is(err, errQuiet) {
		fmt.Fprintln(env.Stderr, "underfoot:", err)
	}
	return exitStatus(err)
}

// close closes what a command left open until it was done.
func (env *Env) close() {
	for _, c := range env.open {
		if err := c.Close(); err != nil {
			fmt.Fprintln(env.Stderr, "underfoot: closing the store:", err)
		}
	}
	env.open = nil
}

// errQuiet is for a command that has already said what there is to say.
var errQuiet = errors.New("")

// exitStatus maps the kinds of error to exit codes; the one place that does.
func exitStatus(err error) int {
	if err == nil {
		return 0
	}
	if errors.Is(err, context.Canceled) {
		return 130
	}
	switch underfoot.KindOf(err) {
	case underfoot.Negative:
		return 1
	case underfoot.Invalid, underfoot.NotFound, underfoot.Conflict, underfoot.Forbidden:
		return 2
	}
	return 3
}
