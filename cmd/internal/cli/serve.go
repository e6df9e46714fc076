package cli

import (
	"context"
	"errors"
	"net"
	"net/http"
	"os"
	"os/signal"
	"time"

	"github.com/spf13/cobra"
)

func (a *app) serveCommand() *cobra.Command {
	var out, listen string
	c := &cobra.Command{
		Use: "serve", Args: cobra.NoArgs,
		Short: "publish the site and serve it on this machine",
		RunE:  func(cmd *cobra.Command, _ []string) error { return a.serve(out, listen) },
	}
	c.Flags().StringVarP(&out, "out", "o", "public", "the `folder` to write the site into")
	c.Flags().StringVar(&listen, "listen", "127.0.0.1:8321", "the `address` to listen on; another machine reaches it only if you name one it can reach")
	return c
}

func (a *app) serve(out, listen string) error {
	listener, err := net.Listen("tcp", listen)
	if err != nil {
		return usage("name a free one with --listen, or port 0 for any", "cannot listen on %q: %v", listen, err)
	}
	defer listener.Close()
	if _, err := a.publish(out); err != nil {
		return err
	}
	a.printf("http://%s/\n", listener.Addr())
	a.say("serving %q; stop with control-C", out)
	interrupted, release := signal.NotifyContext(context.Background(), os.Interrupt)
	defer release()
	server := &http.Server{Handler: http.FileServer(http.Dir(out)), ReadHeaderTimeout: 10 * time.Second}
	context.AfterFunc(interrupted, func() { server.Close() })
	if err := server.Serve(listener); !errors.Is(err, http.ErrServerClosed) {
		return usage("", "cannot go on serving: %v", err)
	}
	return nil
}
