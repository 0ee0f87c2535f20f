package webmap_test

import (
	"os"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

func (p *tab) shot(name string) {
	p.Helper()
	png, err := chromedp.Run(p.ctx, chromedp.CaptureScreenshot())
	if err != nil {
		p.Fatal(err)
	}
	_ = os.MkdirAll("/tmp/pshots", 0o755)
	_ = os.WriteFile("/tmp/pshots/"+name+".png", png, 0o644)
}

func (p *tab) pressed(label string) {
	p.Helper()
	p.until(`[...document.querySelectorAll("button, summary")].some((b) => b.textContent.trim().startsWith("` + label + `") && b.checkVisibility())`)
	p.run(`[...document.querySelectorAll("button, summary")].find((b) => b.textContent.trim().startsWith("` + label + `") && b.checkVisibility()).click()`)
}

func TestShots(t *testing.T) {
	address, _ := demoService(t)
	for name, p := range map[string]*tab{"desk": desk(t), "phone": phone(t)} {
		p.open(address + "/#harbor=tarrowick-harbor&mooring=301")
		p.until(`document.querySelector("#sheet .radius")`)
		time.Sleep(time.Second)
		if name == "phone" {
			p.click("#sheet .grip")
			time.Sleep(500 * time.Millisecond)
		}
		p.shot(name + "-1-sheet")
		p.run(`document.getElementById("record").scrollIntoView()`)
		p.shot(name + "-2-record")
		p.pressed("Change the record")
		p.until(`document.querySelector(".group")`)
		p.run(`document.getElementById("record").scrollIntoView()`)
		p.shot(name + "-3-form")
		p.pressed("Tackle 2")
		p.run(`document.querySelectorAll(".group")[3].scrollIntoView()`)
		p.shot(name + "-4-tackle")
		p.pressed("Write a note")
		p.run(`document.getElementById("notes").scrollIntoView()`)
		p.shot(name + "-5-note")
		p.pressed("Who changed what")
		p.until(`document.querySelector(".change")`)
		p.run(`document.getElementById("history").scrollIntoView()`)
		p.shot(name + "-6-history")
		t.Log(p.complaints())
	}
}
