package cli

import (
	"context"
	"errors"
	"net"
	"net/http"
	"os"
	"os/signal"
	"sync"
	"time"

	"github.com/spf13/cobra"

	"soletrial/cmd/internal/cli/voice"
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
		Long: "serve publishes the site and serves it until it is interrupted. When something in the\ndataset changes, the site is made anew and takes the place of the old one at once; while\n" +
			"the dataset has an error, the error is printed and the last good site stays. Only this\nmachine is answered unless --listen names an address that others can reach.",
		RunE: func(*cobra.Command, []string) error { return a.serve(o) },
	}
	c.Flags().StringVarP(&o.out, "out", "o", "public", "the `folder` to write the site into")
	c.Flags().StringVar(&o.listen, "listen", "127.0.0.1:8321", "the `address` to listen on; another machine reaches it only if you name one it can reach")
	c.Flags().StringArrayVar(&o.names, "name", nil, "a `name` besides its number by which others reach this machine")
	return c
}

// headerPatience is how long a browser may take to send a request's head.
const headerPatience = 10 * time.Second

func (a *app) serve(o serveOptions) error {
	listener, err := net.Listen("tcp", o.listen)
	if err != nil {
		return voice.Usage("name a free one with --listen, or port 0 for any", "cannot listen on %q: %v", o.listen, err)
	}
	defer listener.Close()
	pages, err := a.publish(o.out)
	if err != nil {
		return err
	}
	site := &siteServer{names: o.names}
	site.put(pages)
	a.Printf("http://%s/\n", listener.Addr())
	a.Remark("serving %q; stop with control-C", o.out)
	interrupted, release := signal.NotifyContext(context.Background(), os.Interrupt)
	defer release()
	var watching sync.WaitGroup
	watching.Go(func() { a.rebuild(interrupted, o.out, site) })
	server := &http.Server{Handler: site, ReadHeaderTimeout: headerPatience}
	context.AfterFunc(interrupted, func() { server.Close() })
	err = server.Serve(listener)
	release()
	watching.Wait()
	if !errors.Is(err, http.ErrServerClosed) {
		return voice.Usage("", "cannot go on serving: %v", err)
	}
	return nil
}
