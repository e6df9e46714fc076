package cli

import (
	"context"
	"errors"
	"fmt"
	"net"
	"net/http"
	"os"
	"os/signal"
	"sync"
	"time"

	"github.com/spf13/cobra"

	"soletrial/cmd/internal/cli/dataset"
	"soletrial/cmd/internal/cli/serve"
	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/site"
	"soletrial/pipeline/units"
)

// serveOptions are the flags of serve.
type serveOptions struct {
	out, listen string
	names       []string
}

func (a *app) serveCommand() *cobra.Command {
	var o serveOptions
	c := &cobra.Command{
		Use: "serve", Args: cobra.NoArgs,
		Short: "publish the site and serve it on this machine",
		Long: "serve writes the site and serves it until you stop it. When the dataset changes, it\n" +
			"writes the site again and switches to it at once. While the dataset has an error, it\n" +
			"prints the error and keeps the last good site. Only this machine can open the site,\n" +
			"unless --listen names an address that others can reach.",
		Example: "  soletrial serve\n" +
			"  soletrial serve --listen 127.0.0.1:0 -o site",
		RunE: func(*cobra.Command, []string) error { return a.serve(o) },
	}
	c.Flags().StringVarP(&o.out, "out", "o", "public", "the `folder` to write the site into")
	c.Flags().StringVar(&o.listen, "listen", "127.0.0.1:8321",
		"the `address` to listen on; 127.0.0.1 is this machine alone, 0.0.0.0 every network it is in")
	c.Flags().StringArrayVar(&o.names, "name", nil,
		"another `name` of this machine under which others may open the site, such as laptop.local")
	return c
}

func (a *app) serve(o serveOptions) error {
	// An address first: publishing takes longer.
	listener, err := net.Listen("tcp", o.listen)
	if err != nil {
		return voice.Usage("name a free address with --listen, or port 0 for any free port",
			"cannot listen on %q: %v", o.listen, err)
	}
	defer listener.Close()
	pages, _, err := a.publish(o.out)
	if err != nil {
		return err
	}
	if pages, err = site.InMemory(pages); err != nil {
		return voice.Usage("", "cannot make the site: %v", err)
	}
	server := serve.NewServer(o.names)
	server.Publish(pages)
	// Who reads the address may press control-C at once.
	interrupted, release := signal.NotifyContext(context.Background(), os.Interrupt)
	defer release()
	if err := a.printAddress("http://" + listener.Addr().String() + "/"); err != nil {
		return err
	}
	a.Remark("serving %q; stop with control-C", o.out)
	// Two things until control-C: answers, and a new site for every change.
	var rebuilding sync.WaitGroup
	r := rebuilder{app: a, out: o.out, server: server}
	rebuilding.Go(func() { r.run(interrupted) })
	handler := server.HTTP()
	context.AfterFunc(interrupted, func() { handler.Close() })
	err = handler.Serve(listener)
	release()
	rebuilding.Wait()
	if !errors.Is(err, http.ErrServerClosed) {
		return voice.Usage("", "cannot go on serving: %v", err)
	}
	return nil
}

// printAddress says where the site can be opened.
func (a *app) printAddress(address string) error {
	if a.JSON {
		return a.PrintJSON(map[string]any{"address": address})
	}
	a.Printf("%s\n", address)
	return nil
}

// rebuilder publishes a new site whenever the dataset has changed.
type rebuilder struct {
	app     *app
	out     string
	server  *serve.Server
	failure string // the text of the failure printed last, "" after a success
}

// How often the dataset is checked, and how long after a change it is read: a person
// saves several files, and a program writes one in pieces.
const (
	checkInterval = 300 * time.Millisecond
	settleTime    = 200 * time.Millisecond
)

// run rebuilds until the context ends. It goes by sizes and times of change only,
// which every system has.
func (r *rebuilder) run(ctx context.Context) {
	ticker := time.NewTicker(checkInterval)
	defer ticker.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-ticker.C:
		}
		if f := r.app.folder; f != nil && f.InPlace(r.app.Dataset) && f.Unchanged() == nil {
			continue
		}
		time.Sleep(settleTime)
		r.rebuild()
	}
}

// rebuild reads the dataset again. What is wrong with it is printed, once, and what
// is served stays; a dataset that changed again meanwhile is read once more.
func (r *rebuilder) rebuild() {
	a := r.app
	if a.folder != nil {
		a.folder.Close()
		a.folder = nil
	}
	pages, stale, err := a.currentSite()
	if err == nil && stale == nil {
		err = r.replace(pages)
	}
	var f *voice.Failure
	switch {
	case a.folder != nil && a.folder.Unchanged() != nil:
	case err == nil:
		r.server.Publish(pages)
		r.failure = ""
		a.Remark("rebuilt the site%s", staleText(stale))
	case errors.As(err, &f):
		r.report(f)
	}
}

// replace writes a site into the folder, while no other command does.
func (r *rebuilder) replace(pages []site.File) error {
	release, err := dataset.LockSite(r.out, "serve", r.app.sayWaiting(r.out))
	if err != nil {
		return err
	}
	defer release()
	return dataset.ReplaceSite(r.app.Dataset, r.out, pages)
}

// staleText says which tables publish would refuse; the site that is served has
// them as they should be.
func staleText(stale []staleTable) string {
	if len(stale) == 0 {
		return ""
	}
	return fmt.Sprintf("; %s stale on disk, such as %s: derive before you publish",
		units.Plural(len(stale), "derived table is", "derived tables are"), stale[0].name)
}

// report prints a failure unless it is the one printed last.
func (r *rebuilder) report(f *voice.Failure) {
	text := f.Message + f.Hint
	for _, p := range f.Problems {
		text += p.Error()
	}
	if r.failure == text {
		return
	}
	r.failure = text
	r.app.PrintFailure(f)
	r.app.Remark("the last good site is still served")
}

// currentSite makes the site of the dataset as it is now, and says which derived
// tables on disk are stale.
func (a *app) currentSite() (pages []site.File, stale []staleTable, err error) {
	folder, result, err := a.derived()
	if err != nil {
		return nil, nil, err
	}
	if stale, err = a.stale(result); err != nil {
		return nil, nil, err
	}
	if pages, err = a.pages(folder, result); err != nil {
		return nil, nil, err
	}
	if pages, err = site.InMemory(pages); err != nil { // a dataset that changed meanwhile is read once more
		return nil, nil, voice.Usage("", "cannot make the site: %v", err)
	}
	return pages, stale, a.folder.Unchanged()
}
