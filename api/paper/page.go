package paper

import (
	"fmt"
	"io"
	"math"
	"strings"
	"time"
	"unicode"

	"github.com/go-pdf/fpdf"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goitalic"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/text/unicode/norm"
)

// The fonts: the Go family by Bigelow & Holmes, under the BSD licence of golang.org/x/image. It has Latin, Greek and Cyrillic letters.
const (
	family  = "go"
	regular = ""
	bold    = "B"
	italic  = "I"
)

// replacement stands for every character that the fonts lack.
const replacement = '□'

// Greys from 0, black, to 255. What has to be read survives a photocopier.
const (
	black = 0
	dark  = 70
	mid   = 130
	light = 228
)

const mmPerPoint = mmPerInch / 72

// box is a rectangle on the paper, from its upper left corner, in millimetres.
type box struct{ xMM, yMM, wMM, hMM float64 }

// centred is a box round a place.
func centred(xMM, yMM, wMM, hMM float64) box { return box{xMM - wMM/2, yMM - hMM/2, wMM, hMM} }

func (b box) right() float64  { return b.xMM + b.wMM }
func (b box) bottom() float64 { return b.yMM + b.hMM }

// shared is the area of what two boxes have in common, in mm².
func (b box) shared(c box) float64 {
	w := min(b.right(), c.right()) - max(b.xMM, c.xMM)
	h := min(b.bottom(), c.bottom()) - max(b.yMM, c.yMM)
	return max(0, w) * max(0, h)
}

// within reports whether b lies in c.
func (b box) within(c box) bool {
	return b.xMM >= c.xMM && b.yMM >= c.yMM && b.right() <= c.right() && b.bottom() <= c.bottom()
}

// document is a PDF while it is drawn.
type document struct {
	*fpdf.Fpdf
	glyphs *sfnt.Font
	buffer sfnt.Buffer
	wMM    float64 // of the page
	hMM    float64
	styled string
	sizePt float64
}

// newDocument begins a PDF.
func newDocument(wMM, hMM float64, title string, at time.Time) (*document, error) {
	glyphs, err := sfnt.Parse(goregular.TTF)
	if err != nil {
		return nil, err
	}
	pdf := fpdf.NewCustom(&fpdf.InitType{UnitStr: "mm", Size: fpdf.SizeType{Wd: wMM, Ht: hMM}})
	d := &document{Fpdf: pdf, glyphs: glyphs, wMM: wMM, hMM: hMM}
	for style, ttf := range map[string][]byte{regular: goregular.TTF, bold: gobold.TTF, italic: goitalic.TTF} {
		d.AddUTF8FontFromBytes(family, style, ttf)
	}
	d.SetAutoPageBreak(false, 0)
	d.SetMargins(0, 0, 0)
	d.SetCellMargin(0)
	d.describe(title, at)
	return d, nil
}

// describe sets what a PDF says of itself; it is the same, byte for byte, whenever the same is printed.
func (d *document) describe(title string, at time.Time) {
	d.SetCatalogSort(true)
	d.SetCreationDate(at)
	d.SetModificationDate(at)
	d.SetTitle(d.clean(title), true)
	d.SetCreator("swingroom", true)
	d.SetLang("en")
}

func (d *document) page() {
	d.AddPage()
	d.styled, d.sizePt = "", 0
	d.SetLineCapStyle("butt")
	d.SetLineJoinStyle("round")
}

func (d *document) end(w io.Writer) error { return d.Output(w) }

// clean composes a text and puts the replacement for what cannot be written with the fonts, so that a name in any script leaves a trace and
// breaks nothing.
func (d *document) clean(text string) string {
	return strings.Map(d.cleanRune, norm.NFC.String(strings.ToValidUTF8(text, string(replacement))))
}

func (d *document) cleanRune(r rune) rune {
	if unicode.IsSpace(r) {
		return ' '
	}
	// The PDF library counts characters in 16 bits.
	if i, err := d.glyphs.GlyphIndex(&d.buffer, r); err != nil || i == 0 || r > 0xFFFF || unicode.IsControl(r) {
		return replacement
	}
	return r
}

func (d *document) font(style string, sizePt float64) {
	d.SetFont(family, style, sizePt)
	d.styled, d.sizePt = style, sizePt
}

// write puts a text with its left end on the base line at x, y and returns its width.
func (d *document) write(xMM, yMM float64, text string) float64 {
	text = d.clean(text)
	d.Text(xMM, yMM, text)
	return d.GetStringWidth(text)
}

func (d *document) writeRight(xMM, yMM float64, text string) {
	d.write(xMM-d.width(text), yMM, text)
}

func (d *document) writeMiddle(xMM, yMM float64, text string) {
	d.write(xMM-d.width(text)/2, yMM, text)
}

func (d *document) width(text string) float64 { return d.GetStringWidth(d.clean(text)) }

// fit cuts a text that is wider than it may be, and shows that.
func (d *document) fit(text string, wMM float64) string {
	text = d.clean(text)
	if d.GetStringWidth(text) <= wMM {
		return text
	}
	runes := []rune(text)
	for len(runes) > 0 && d.GetStringWidth(string(runes)+"…") > wMM {
		runes = runes[:len(runes)-1]
	}
	return strings.TrimSpace(string(runes)) + "…"
}

// wrap breaks a text in lines no wider than so much; a word that is wider is broken.
func (d *document) wrap(text string, wMM float64) []string {
	return d.SplitText(strings.Join(strings.Fields(d.clean(text)), " "), wMM)
}

// lineHeight is from base line to base line.
func lineHeight(sizePt float64) float64 { return sizePt * mmPerPoint * 1.3 }

// paragraph writes a wrapped text from the top of y down, and returns where it ends.
func (d *document) paragraph(xMM, yMM, wMM float64, text string) float64 {
	h := lineHeight(d.sizePt)
	for _, line := range d.wrap(text, wMM) {
		d.write(xMM, yMM+h*0.76, line)
		yMM += h
	}
	return yMM
}

func (d *document) ink(grey int) {
	d.SetTextColor(grey, grey, grey)
}

// pen sets how lines are drawn; dashes in millimetres, none: a full line.
func (d *document) pen(widthMM float64, grey int, dashesMM ...float64) {
	d.SetLineWidth(widthMM)
	d.SetDrawColor(grey, grey, grey)
	d.SetDashPattern(dashesMM, 0)
}

func (d *document) fill(grey int) { d.SetFillColor(grey, grey, grey) }

// rule is a thin line across.
func (d *document) rule(xMM, yMM, wMM float64) {
	d.pen(0.15, black)
	d.Line(xMM, yMM, xMM+wMM, yMM)
}

// printTime writes when a document was printed.
func printTime(at time.Time) string { return at.Format("2 January 2006, 15:04 MST") }

// bearing writes a true bearing with three figures.
func bearing(trueDeg float64) string {
	return fmt.Sprintf("%03d°", int(math.Round(trueDeg)+720)%360)
}
