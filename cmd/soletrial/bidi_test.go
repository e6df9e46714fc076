package main_test

import (
	"bufio"
	"bytes"
	"context"
	"crypto/rand"
	"encoding/base64"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"os/exec"
	"strings"
	"testing"
	"time"
)

// steered is a browser that is steered by WebDriver BiDi
// (https://www.w3.org/TR/webdriver-bidi/), which Firefox speaks by itself: JSON
// messages over a WebSocket.
type steered struct {
	t      testing.TB
	socket *socket
	last   int
	events []event
}

// event is a message that the browser sends unasked.
type event struct {
	Method string
	Params json.RawMessage
}

// steer starts a browser that says on stderr where it listens, and opens a
// session.
func steer(t testing.TB, program string, args ...string) *steered {
	t.Helper()
	ctx, stop := context.WithCancel(context.Background())
	command := exec.CommandContext(ctx, program, args...)
	stderr, err := command.StderrPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := command.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { stop(); command.Wait() })
	s := &steered{t: t, socket: dial(t, heard(t, stderr))}
	s.ask("session.new", map[string]any{"capabilities": map[string]any{}}, nil)
	s.ask("session.subscribe", map[string]any{"events": []string{"log.entryAdded", "network.beforeRequestSent"}}, nil)
	return s
}

// heard waits for the line that tells the address.
func heard(t testing.TB, stderr io.Reader) string {
	t.Helper()
	const before = "WebDriver BiDi listening on "
	lines, found := bufio.NewScanner(stderr), make(chan string, 1)
	go func() { // reads on, so that the browser never waits for a reader
		for lines.Scan() {
			if _, address, ok := strings.Cut(lines.Text(), before); ok {
				found <- address
			}
		}
	}()
	select {
	case address := <-found:
		return address
	case <-time.After(2 * patience):
		t.Fatalf("the browser does not say %q", before)
	}
	return ""
}

// ask sends a command and decodes its result; events that come before it are
// kept.
func (s *steered) ask(method string, params, result any) {
	s.t.Helper()
	s.last++
	command, err := json.Marshal(map[string]any{"id": s.last, "method": method, "params": params})
	if err != nil {
		s.t.Fatal(err)
	}
	if err := s.socket.send(text, command); err != nil {
		s.t.Fatal(err)
	}
	for {
		message, err := s.socket.receive()
		if err != nil {
			s.t.Fatalf("%s: %v", method, err)
		}
		var answer struct {
			event
			ID                   int
			Type, Error, Message string
			Result               json.RawMessage
		}
		if err := json.Unmarshal(message, &answer); err != nil {
			s.t.Fatalf("%s: %v in %s", method, err, message)
		}
		switch {
		case answer.Type == "event":
			s.events = append(s.events, answer.event)
			continue
		case answer.ID != s.last:
			continue
		case answer.Type == "error":
			s.t.Fatalf("%s: %s: %s", method, answer.Error, answer.Message)
		}
		if result != nil {
			if err := json.Unmarshal(answer.Result, result); err != nil {
				s.t.Fatalf("%s: %v in %s", method, err, answer.Result)
			}
		}
		return
	}
}

// socket is the client's end of a WebSocket (RFC 6455), as much of it as BiDi
// needs.
type socket struct {
	stream io.ReadWriteCloser
	in     *bufio.Reader
}

// Opcodes of frames.
const (
	continuation = 0
	text         = 1
	closing      = 8
	ping         = 9
	pong         = 10
)

func dial(t testing.TB, address string) *socket {
	t.Helper()
	request, err := http.NewRequest(http.MethodGet, "http"+strings.TrimPrefix(address, "ws")+"/session", nil)
	if err != nil {
		t.Fatal(err)
	}
	key := make([]byte, 16)
	rand.Read(key)
	for name, value := range map[string]string{"Connection": "Upgrade", "Upgrade": "websocket",
		"Sec-WebSocket-Version": "13", "Sec-WebSocket-Key": base64.StdEncoding.EncodeToString(key)} {
		request.Header.Set(name, value)
	}
	response, err := http.DefaultTransport.RoundTrip(request)
	if err != nil {
		t.Fatal(err)
	}
	stream, upgraded := response.Body.(io.ReadWriteCloser)
	if response.StatusCode != http.StatusSwitchingProtocols || !upgraded {
		t.Fatalf("%s answers %s", request.URL, response.Status)
	}
	t.Cleanup(func() { stream.Close() })
	return &socket{stream, bufio.NewReader(stream)}
}

// send writes one frame; a client's frames are masked.
func (s *socket) send(opcode byte, payload []byte) error {
	frame := []byte{0x80 | opcode}
	switch n := len(payload); {
	case n < 126:
		frame = append(frame, 0x80|byte(n))
	case n < 1<<16:
		frame = binary.BigEndian.AppendUint16(append(frame, 0x80|126), uint16(n))
	default:
		frame = binary.BigEndian.AppendUint64(append(frame, 0x80|127), uint64(n))
	}
	mask := make([]byte, 4)
	rand.Read(mask)
	frame = append(frame, mask...)
	for i, b := range payload {
		frame = append(frame, b^mask[i%4])
	}
	_, err := s.stream.Write(frame)
	return err
}

// receive returns the next message; it answers pings on the way.
func (s *socket) receive() ([]byte, error) {
	var message bytes.Buffer
	for {
		final, opcode, payload, err := s.frame()
		switch {
		case err != nil:
			return nil, err
		case opcode == ping:
			if err := s.send(pong, payload); err != nil {
				return nil, err
			}
		case opcode == closing:
			return nil, io.EOF
		case opcode == text || opcode == continuation:
			if message.Write(payload); final {
				return message.Bytes(), nil
			}
		}
	}
}

func (s *socket) frame() (final bool, opcode byte, payload []byte, err error) {
	var head [2]byte
	if _, err := io.ReadFull(s.in, head[:]); err != nil {
		return false, 0, nil, err
	}
	size := uint64(head[1] & 0x7f)
	switch size {
	case 126:
		var short uint16
		err = binary.Read(s.in, binary.BigEndian, &short)
		size = uint64(short)
	case 127:
		err = binary.Read(s.in, binary.BigEndian, &size)
	}
	if err == nil && size > 1<<28 {
		err = fmt.Errorf("a frame of %d bytes", size)
	}
	if err != nil {
		return false, 0, nil, err
	}
	payload = make([]byte, size)
	_, err = io.ReadFull(s.in, payload)
	return head[0]&0x80 != 0, head[0] & 0x0f, payload, err
}
