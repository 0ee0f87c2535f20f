package main

import (
	"io"
	"os"

	"github.com/vbauerster/mpb/v8"
	"github.com/vbauerster/mpb/v8/decor"
	"golang.org/x/term"
)

// progress is a bar on long work, drawn only where somebody watches: on a terminal.
type progress struct {
	bars *mpb.Progress
	bar  *mpb.Bar
	name string
}

func newProgress(w io.Writer, name string) *progress {
	if !isTerminal(w) {
		return &progress{}
	}
	return &progress{bars: mpb.New(mpb.WithOutput(w), mpb.WithWidth(50)), name: name}
}

// isTerminal reports whether somebody watches what is written.
func isTerminal(w io.Writer) bool {
	file, ok := w.(*os.File)
	return ok && term.IsTerminal(int(file.Fd()))
}

// set says how much is done of how much; a total that grows is fine.
func (p *progress) set(done, total int) {
	if p.bars == nil {
		return
	}
	if p.bar == nil {
		p.bar = p.bars.AddBar(int64(total), mpb.BarRemoveOnComplete(),
			mpb.PrependDecorators(decor.Name(p.name+" ")), mpb.AppendDecorators(decor.Percentage()))
	}
	p.bar.SetTotal(int64(total), false)
	p.bar.SetCurrent(int64(done))
}

func (p *progress) done() {
	if p.bar != nil {
		p.bar.Abort(true)
	}
	if p.bars != nil {
		p.bars.Wait()
	}
}
