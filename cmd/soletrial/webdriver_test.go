package main_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"testing"
)

// driven is a session of WebDriver (https://www.w3.org/TR/webdriver2/): JSON over HTTP.
type driven struct {
	t       testing.TB
	session string // its address
}

// elementKey is the member that holds an element's name, by section 12.1 of the standard.
const elementKey = "element-6066-11e4-a52e-4f735466cecf"

// driver asks a driver, which may have to load a page before it answers.
var driver = http.Client{Timeout: 2 * patience}

// begin opens a session at a driver's address.
func begin(t testing.TB, address string, capabilities map[string]any) (*driven, error) {
	d := &driven{t: t, session: address + "/session"}
	var got struct{ SessionID string }
	err := d.exchange(http.MethodPost, "", map[string]any{"capabilities": map[string]any{"alwaysMatch": capabilities}},
		&got)
	if err != nil {
		return nil, err
	}
	d.session += "/" + got.SessionID
	t.Cleanup(func() {
		request, err := http.NewRequest(http.MethodDelete, d.session, nil)
		if err != nil {
			t.Fatal(err)
		}
		if response, err := driver.Do(request); err == nil {
			response.Body.Close()
		}
	})
	return d, nil
}

// ask sends a command and decodes the value of its answer.
func (d *driven) ask(method, path string, body, value any) {
	d.t.Helper()
	if err := d.exchange(method, path, body, value); err != nil {
		d.t.Fatal(err)
	}
}

// exchange is ask for who can do something about an error.
func (d *driven) exchange(method, path string, body, value any) error {
	text, err := json.Marshal(body)
	if err != nil {
		return err
	}
	request, err := http.NewRequest(method, d.session+path, bytes.NewReader(text))
	if err != nil {
		return err
	}
	response, err := driver.Do(request)
	if err != nil {
		return err
	}
	defer response.Body.Close()
	answer, err := io.ReadAll(response.Body)
	if err != nil {
		return err
	}
	if response.StatusCode != http.StatusOK {
		return fmt.Errorf("%s %s: %s: %.500s", method, path, response.Status, answer)
	}
	if value == nil {
		return nil
	}
	if err := json.Unmarshal(answer, &struct{ Value any }{value}); err != nil {
		return fmt.Errorf("%s %s: %w in %.500s", method, path, err, answer)
	}
	return nil
}

func (d *driven) navigate(address string) {
	d.t.Helper()
	d.ask(http.MethodPost, "/url", map[string]any{"url": address}, nil)
}

func (d *driven) evaluate(expression string) string {
	d.t.Helper()
	var got struct{ Good, Bad *string }
	d.ask(http.MethodPost, "/execute/async", map[string]any{"args": []any{}, "script": fmt.Sprintf(
		`const done = arguments[arguments.length - 1];
		(async () => String(await (%s)))().then((good) => done({good}), (bad) => done({bad: String(bad)}));`,
		expression)}, &got)
	if got.Good == nil {
		d.t.Fatalf("%s: %v", expression, *got.Bad)
	}
	return *got.Good
}

func (d *driven) press(actions []map[string]string) {
	d.t.Helper()
	d.ask(http.MethodPost, "/actions", map[string]any{
		"actions": []any{map[string]any{"type": "key", "id": "keys", "actions": actions}}}, nil)
}

// element finds the first element that a selector names.
func (d *driven) element(selector string) string {
	d.t.Helper()
	var got map[string]string
	d.ask(http.MethodPost, "/element", map[string]any{"using": "css selector", "value": selector}, &got)
	return got[elementKey]
}

// click clicks an element as a person does: it must be in view and not covered.
func (d *driven) click(selector string) {
	d.t.Helper()
	d.ask(http.MethodPost, "/element/"+d.element(selector)+"/click", map[string]any{}, nil)
}

// choose chooses a file in a file input, as a person does in the browser's dialog.
func (d *driven) choose(selector, path string) {
	d.t.Helper()
	d.ask(http.MethodPost, "/element/"+d.element(selector)+"/value", map[string]any{"text": path}, nil)
}
