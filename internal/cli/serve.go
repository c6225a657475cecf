package cli

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"time"

	"underfoot"
	"underfoot/internal/app"
	"underfoot/internal/web"
)

type serveCommand struct {
	Store  string `default:"underfoot.db" type:"path" help:"Store file; made if it is not there."`
	Listen string `default:"127.0.0.1:8420" help:"Address to listen on."`
	Who    string `help:"Name for the history; your login name if left out."`
}

// Run serves the web app over a store until it is interrupted.
func (c *serveCommand) Run(env *Env) error {
	st, err := openStore(env, c.Store, true)
	if err != nil {
		return err
	}
	defer st.Close()
	if c.Who != "" {
		env.Who = c.Who
	}
	return serve(env, app.New(st, env.Now, env.Who), c.Listen, "store "+shown(c.Store), "")
}

// serve listens on an address and answers until the context ends.
func serve(env *Env, a *app.App, address, what, remark string) error {
	l, err := net.Listen("tcp", address)
	if err != nil {
		return underfoot.Errorf(underfoot.Conflict, "listening on %s: %w: give another address with --listen", address, err)
	}
	local := l.Addr().(*net.TCPAddr).IP.IsLoopback()
	fmt.Fprintf(env.Stdout, "Underfoot, %s: open http://%s in a browser. Ctrl+C ends it.\n", what, l.Addr())
	if !local {
		fmt.Fprintln(env.Stderr, "note: this address can be reached from other machines, and whoever reaches it can read and change the records")
	}
	ctx, stop := context.WithCancel(env.Context)
	wait := a.Begin(ctx, slog.Default())
	defer wait()
	defer stop()
	server := &http.Server{
		Handler:           web.New(a, web.Options{Local: local, Prompt: true, Version: readVersion().Version, Remark: remark}),
		ReadHeaderTimeout: 10 * time.Second,
		IdleTimeout:       2 * time.Minute,
	}
	go func() {
		<-env.Context.Done()
		ctx, cancel := context.WithTimeout(context.Background(), 5*time.Second)
		defer cancel()
		server.Shutdown(ctx)
	}()
	if err := server.Serve(l); !errors.Is(err, http.ErrServerClosed) {
		return fmt.Errorf("serving on %s: %w", l.Addr(), err)
	}
	return nil
}
