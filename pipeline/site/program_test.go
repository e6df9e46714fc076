package site

import (
	"strings"
	"testing"
)

// Two machines run the same release as two different files: a site says which one made it in
// its footers and in program.json, and is the same otherwise.
func TestOnlyFootersAndProgramJSONTellTheMachine(t *testing.T) {
	here, there := newFixture().input(), newFixture().input()
	here.Program.Identity = []byte("{\"sha256\": \"1111\", \"system\": \"linux/amd64\"}\n")
	there.Program.Identity = []byte("{\"sha256\": \"2222\", \"system\": \"darwin/arm64\"}\n")
	here.Program.SHA256, there.Program.SHA256 = strings.Repeat("1", 64), strings.Repeat("2", 64)
	one, two := publish(t, here), publish(t, there)
	if len(one) != len(two) || one[identityFile] == two[identityFile] {
		t.Fatalf("%d and %d files; %s here and there: %q, %q", len(one), len(two), identityFile, one[identityFile],
			two[identityFile])
	}
	for path, text := range one {
		if before, footer, found := strings.Cut(text, "<footer"); found && strings.HasSuffix(path, ".html") {
			text = before + "<footer" + strings.Replace(footer, strings.Repeat("1", 12), strings.Repeat("2", 12), 1)
		}
		if path != identityFile && text != two[path] {
			t.Errorf("%s depends on the machine", path)
		}
	}
}

func TestFooterNamesTheProgram(t *testing.T) {
	for path, page := range pages(publish(t, newFixture().input())) {
		root := strings.Repeat("../", strings.Count(path, "/"))
		want := `Made by <a href="` + root + `program.json">soletrial 0.1.0</a> (SHA-256 0123456789ab), go1.26, ` +
			"data format 1."
		if !strings.Contains(page, want) {
			t.Errorf("%s has no footer that reads %q", path, want)
		}
	}
	for path, page := range pages(publish(t, emptied())) {
		if !strings.Contains(page, "Made by soletrial, data format 1.") {
			t.Errorf("%s: a footer without version names something else", path)
		}
	}
}
