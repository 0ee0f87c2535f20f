package webmap_test

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// photoFile writes a small picture and gives its path.
func photoFile(t testing.TB, name string, shade uint8) string {
	t.Helper()
	img := image.NewGray(image.Rect(0, 0, 40, 30))
	for i := range img.Pix {
		img.Pix[i] = color.Gray{Y: shade + uint8(i%16)}.Y
	}
	var body bytes.Buffer
	if err := png.Encode(&body, img); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, body.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

// noting opens the form of a note.
func noting(p *tab, address, number string) *tab {
	p.Helper()
	p.open(address + "&mooring=" + number)
	p.button("Write a note")
	p.until(`document.querySelector("#notes textarea")`)
	return p
}

func (p *tab) choose(paths ...string) {
	p.Helper()
	p.do(chromedp.SetUploadFiles(chromedp.CSS(`#notes input[multiple]`), paths))
}

func TestANoteWithPicturesIsPutOnRecordAndShown(t *testing.T) {
	f := newFake(t, 60)
	p := noting(desk(t), f.address(), "012")
	p.typed("#notes .act [name=who]", "B")
	p.click("#notes .act button[type=submit]")
	p.until(`document.querySelector("#notes textarea").getAttribute("aria-invalid") === "true"`)
	p.typed("#notes textarea", "pennant chafed\n<b>at the chock</b>")
	p.choose(photoFile(t, "one.png", 10), photoFile(t, "two.png", 200))
	p.until(`document.querySelectorAll("#notes .picked li").length === 2`)
	p.click("#notes .act button[type=submit]")
	p.until(`document.querySelectorAll("#notes .thumbs img").length === 2 && [...document.querySelectorAll("#notes .thumbs ` +
		`img")].every((i) => i.naturalWidth === 40)`)
	if got := p.text("#notes .note .note-text"); got != "pennant chafed\n<b>at the chock</b>" {
		t.Errorf("the note is shown as %q", got)
	}
	if got := p.text("#notes .saved"); !strings.Contains(got, "on record") {
		t.Errorf("it is told as %q", got)
	}
	if notes := f.records.notesOf("012"); len(notes) != 1 || notes[0]["by"] != "B" || len(notes[0]["photos"].([]string)) != 2 {
		t.Errorf("on record are %v", notes)
	}
	if got := read[string](p, `document.querySelector("#notes .thumbs a").getAttribute("href")`); !strings.Contains(got, "/photos/") {
		t.Errorf("a picture opens %q", got)
	}
	p.quiet()
}

func TestAPictureThatIsRefusedKeepsTheNoteAndIsNotSentTwice(t *testing.T) {
	f := newFake(t, 60)
	p := noting(phone(t), f.address(), "012")
	p.typed("#notes textarea", "seen at low water")
	p.choose(photoFile(t, "good.png", 10))
	p.until(`document.querySelectorAll("#notes .picked li").length === 1`)
	p.typed("#notes .act [name=who]", "B")
	f.records.refuse = 1
	p.click("#notes .act button[type=submit]")
	p.until(`document.querySelector("#notes .act .refusal")`)
	if got := p.text("#notes .act"); !strings.Contains(got, "this is no picture that can be taken") ||
		!strings.Contains(got, "What you typed is kept") {
		t.Errorf("the refusal is told as %q", got)
	}
	if got := p.value("#notes textarea"); got != "seen at low water" {
		t.Errorf("what was typed became %q", got)
	}
	p.choose(photoFile(t, "other.png", 100))
	p.until(`document.querySelectorAll("#notes .picked li").length === 2`)
	p.click("#notes .act button[type=submit]")
	p.until(`document.querySelectorAll("#notes .thumbs img").length === 2`)
	if f.records.sent != 3 {
		t.Errorf("%d pictures were sent, want 3: one refused, two taken once each", f.records.sent)
	}
}

func TestNotesAreTheNewestFirstAndOldOnesUnfold(t *testing.T) {
	f := newFake(t, 60)
	for _, at := range []string{"2026-05-03", "2026-05-01", "2026-05-07", "2026-05-02", "2026-05-05", "2026-05-06", "2026-05-04"} {
		f.records.notes["012"] = append(f.records.notes["012"],
			map[string]any{"id": at, "at": at + "T12:00:00Z", "by": "B", "text": "seen on " + at, "photos": nil})
	}
	p := desk(t).open(f.address() + "&mooring=012")
	p.until(`document.querySelectorAll("#notes .note").length === 5`)
	if got := p.text("#notes .note .note-text"); got != "seen on 2026-05-07" {
		t.Errorf("the first note is %q, want the newest", got)
	}
	p.button("All 7 notes")
	p.until(`document.querySelectorAll("#notes .note").length === 7`)
	p.quiet()
}
