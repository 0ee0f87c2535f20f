package paper

// flow writes down the pages of a document.
type flow struct {
	*document
	xMM, yMM, wMM float64
	topMM         float64 // where a further page begins
	bottomMM      float64
}

// newFlow begins a document of pages of text.
func newFlow(o Options, title string) (flow, error) {
	wMM, hMM := o.Paper.upright()
	d, err := newDocument(wMM, hMM, title, o.At)
	return flow{document: d, xMM: marginMM, wMM: wMM - 2*marginMM, topMM: marginMM + 2, bottomMM: hMM - marginMM - footMM}, err
}

// need goes on to the next page when there is no room left for so much.
func (f *flow) need(hMM float64) {
	if f.yMM+hMM > f.bottomMM {
		f.page()
		f.yMM = f.topMM
	}
}

// heading begins a section; so much of it stays with its heading.
func (f *flow) heading(text string, restMM float64) {
	f.yMM += 3.5
	f.need(7 + restMM)
	f.ink(black)
	f.font(bold, 9)
	f.write(f.xMM, f.yMM+3.4, text)
	f.rule(f.xMM, f.yMM+4.8, f.wMM)
	f.yMM += 6
}

// text writes a paragraph, line by line over the pages.
func (f *flow) text(style string, sizePt float64, text string) {
	f.font(style, sizePt)
	f.ink(black)
	h := lineHeight(sizePt)
	for _, line := range f.wrap(text, f.wMM) {
		f.need(h)
		f.write(f.xMM, f.yMM+h*0.76, line)
		f.yMM += h
	}
}

// column of a table: its title, its share of the width, and whether its cells stand to the right.
type column struct {
	title string
	share float64
	right bool
}

// gutterMM and padMM are left free beside a cell, and above and below it.
const gutterMM, padMM = 2.5, 0.45

// table writes rows of cells, each wrapped in its column; rule by rule, and a row is never broken over two pages.
func (f *flow) table(columns []column, rows [][]string) {
	titles := make([]string, len(columns))
	for i, c := range columns {
		titles[i] = c.title
	}
	widths := f.widths(columns)
	f.font(italic, 6.5)
	f.ink(dark)
	f.row(columns, widths, titles)
	for _, row := range rows {
		f.font(regular, 7.5)
		f.ink(black)
		f.row(columns, widths, row)
	}
}

// widths are those of the columns of a table, in millimetres.
func (f *flow) widths(columns []column) []float64 {
	total := 0.0
	for _, c := range columns {
		total += c.share
	}
	widths := make([]float64, len(columns))
	for i, c := range columns {
		widths[i] = c.share / total * f.wMM
	}
	return widths
}

// row writes one row in the font that is set.
func (f *flow) row(columns []column, widths []float64, cells []string) {
	lines := make([][]string, len(cells))
	maxLines := 1
	for i, cell := range cells {
		lines[i] = f.wrap(cell, widths[i]-gutterMM)
		maxLines = max(maxLines, len(lines[i]))
	}
	heightMM := float64(maxLines)*lineHeight(f.sizePt) + 2*padMM
	style, sizePt := f.styled, f.sizePt
	f.need(heightMM)
	f.font(style, sizePt) // a new page has none
	x := f.xMM
	for i, cell := range lines {
		f.cell(x, widths[i], columns[i].right, cell)
		x += widths[i]
	}
	f.yMM += heightMM
	f.pen(0.1, mid)
	f.Line(f.xMM, f.yMM, f.xMM+f.wMM, f.yMM)
}

// cell writes the lines of a cell.
func (f *flow) cell(xMM, wMM float64, right bool, lines []string) {
	h := lineHeight(f.sizePt)
	for n, line := range lines {
		y := f.yMM + padMM + float64(n)*h + h*0.76
		if right {
			f.writeRight(xMM+wMM-gutterMM, y, line)
		} else {
			f.write(xMM, y, line)
		}
	}
}
