package cli

import (
	"context"
	"fmt"
	"log/slog"
	"os"
	"os/exec"
	"os/signal"
	"runtime"
	"syscall"

	"slabwright/internal/faces/serve"
)

type serveCommand struct {
	Kept
	Listen      string   `help:"Address and port on this machine." default:"127.0.0.1:8147"`
	Public      string   `help:"For a shop's people, who sign in: how their browsers reach this server." placeholder:"URL" group:"Shared"`
	Behind      []string `help:"A proxy in front, whose word on the caller's address is taken." placeholder:"ADDRESS" group:"Shared"`
	Certificate string   `help:"Certificate, where no proxy in front speaks https." placeholder:"FILE" group:"Shared"`
	Key         string   `help:"Key of the certificate." placeholder:"FILE" group:"Shared"`
	NoOpen      bool     `help:"Do not open the browser."`
	NoWorks     bool     `help:"Leave long works to slabwright work."`
	Verbose     bool     `help:"Say each request on standard error; never what was typed."`
}

// Help shows how it is used.
func (serveCommand) Help() string {
	return `Examples:
  slabwright serve                        opens the page; jobs in your data folder
  slabwright serve --file shop.db         jobs in a file of your own; backups beside it, in shop-backups/
  slabwright serve --store postgres://shop@db.example:5432/shop
                                          jobs in a PostgreSQL database that several servers share; the password
                                          from PGPASSWORD or ~/.pgpass
  slabwright serve --listen 127.0.0.1:0   on any free port
  slabwright serve --public https://slabs.example --store postgres://shop@db.example:5432/shop
                                          for a shop, behind a proxy on this machine that speaks https: people sign in
  slabwright serve --public https://slabs.example --listen :443 --certificate slabs.pem --key slabs.key
                                          the same without a proxy
Without --public only this machine can open it, and nobody signs in until slabwright people adds somebody. The first start of
a shared server prints a link, once: whoever opens it becomes the owner. End it with Ctrl-C; nothing typed is lost.`
}

// Run serves until it is interrupted.
func (c serveCommand) Run(s *session) error {
	where, err := c.where(s)
	if err != nil {
		return err
	}
	level := slog.LevelWarn
	if c.Verbose {
		level = slog.LevelDebug
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	atOnce := 1
	if c.NoWorks {
		atOnce = 0
	}
	server, err := serve.Start(ctx, serve.Options{Store: where, Edition: edition(), AtOnce: atOnce, Listen: c.Listen, Now: s.Now, Log: slog.New(slog.NewTextHandler(s.Err, &slog.HandlerOptions{Level: level})), Page: serve.Page,
		Shared: serve.Shared{Public: c.Public, Behind: c.Behind, Certificate: c.Certificate, Key: c.Key}})
	if err != nil {
		return exit{code: Failed, err: err}
	}
	if s.JSON {
		err = s.printJSON(map[string]string{"url": server.URL, "store": server.Store})
	} else {
		fmt.Fprintln(s.Out, server.URL)
	}
	if err != nil {
		return err
	}
	if !s.Quiet && !s.JSON && !s.Plain {
		fmt.Fprintf(s.Err, "Jobs are kept in %s. End with Ctrl-C.\n", server.Store)
	}
	if server.First != "" {
		fmt.Fprintf(s.Err, "Nobody can sign in yet. Open this once, within a day, to become the owner:\n%s\n", server.First)
	}
	if !c.NoOpen && s.Terminal {
		opened(server.URL)
	}
	s.writing.Lock() // an interrupt waits until the store is closed
	defer s.writing.Unlock()
	return server.Wait(ctx)
}

// opened asks the desktop to show the page. Where there is none, the printed address does.
func opened(url string) {
	command := map[string][]string{"darwin": {"open"}, "windows": {"rundll32", "url.dll,FileProtocolHandler"}}[runtime.GOOS]
	if command == nil {
		command = []string{"xdg-open"}
	}
	browser := exec.Command(command[0], append(command[1:], url)...)
	if browser.Start() == nil {
		go browser.Wait() //nolint:errcheck // the browser's own business
	}
}
