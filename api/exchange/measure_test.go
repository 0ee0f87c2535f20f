package exchange_test

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// TestAColumnOfAnotherQuantityDoesNotCompile builds the package with one column more.
func TestAColumnOfAnotherQuantityDoesNotCompile(t *testing.T) {
	if testing.Short() {
		t.Skip("it runs the compiler")
	}
	for column, compiles := range map[string]bool{
		`figureOf("x", lengths, func(p *geo.Part) *metres { return &p.Length })`:    true,
		`figureOf("x", masses, func(p *geo.Part) *metres { return &p.Length })`:     false,
		`figureOf("x", lengths, func(p *geo.Part) *kilograms { return &p.Weight })`: false,
		`figureOf("x", lengths, func(p *geo.Part) *ratio { return &p.LeftRatio })`:  false,
		`figureOf("x", shares, func(p *geo.Part) *metres { return &p.Size })`:       false,
	} {
		t.Run(column, func(t *testing.T) {
			said, err := buildWith(t, "package exchange\n\nimport \"swingroom/geo\"\n\nvar oneMore = "+column+"\n")
			if compiles && err != nil {
				t.Errorf("%v\n%s", err, said)
			}
			if !compiles && (err == nil || !strings.Contains(said, "does not match inferred type")) {
				t.Errorf("it compiles, or fails elsewhere: %v\n%s", err, said)
			}
		})
	}
}

// buildWith builds the package with a file that is not in its folder, and gives what the compiler says.
func buildWith(t *testing.T, source string) (string, error) {
	t.Helper()
	folder, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	file, overlay := filepath.Join(t.TempDir(), "source"), filepath.Join(t.TempDir(), "overlay.json")
	text, err := json.Marshal(map[string]map[string]string{"Replace": {filepath.Join(folder, "one_more.go"): file}})
	if err != nil {
		t.Fatal(err)
	}
	for path, text := range map[string]string{file: source, overlay: string(text)} {
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	said, err := exec.CommandContext(t.Context(), "go", "build", "-overlay", overlay, ".").CombinedOutput()
	return string(said), err
}
