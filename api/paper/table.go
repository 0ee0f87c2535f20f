package paper

// flow writes down the pages of a document.
type flow struct {
	*document
	xMM, yMM, wMM float64
	topMM         float64 // where a further page begins
	bottomMM      float64
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

// table writes rows of cells, each wrapped in its column; rule by rule, and a row is never broken over two pages.
func (f *flow) table(columns []column, rows [][]string) {
	total := 0.0
	for _, c := range columns {
		total += c.share
	}
	titles := make([]string, len(columns))
	widths := make([]float64, len(columns))
	for i, c := range columns {
		titles[i], widths[i] = c.title, c.share/total*f.wMM
	}
	f.font(italic, 6.5)
	f.ink(dark)
	f.row(columns, widths, titles)
	for _, row := range rows {
		f.font(regular, 7.5)
		f.ink(black)
		f.row(columns, widths, row)
	}
}

func (f *flow) row(columns []column, widths []float64, cells []string) {
	const gutterMM, padMM = 2.5, 0.45
	h := lineHeight(f.sizePt)
	lines := make([][]string, len(cells))
	most := 1
	for i, cell := range cells {
		lines[i] = f.wrap(cell, widths[i]-gutterMM)
		most = max(most, len(lines[i]))
	}
	style, sizePt := f.styled, f.sizePt
	f.need(float64(most)*h + 2*padMM)
	f.font(style, sizePt)
	x := f.xMM
	for i, cell := range lines {
		for n, line := range cell {
			y := f.yMM + padMM + float64(n)*h + h*0.76
			if columns[i].right {
				f.writeRight(x+widths[i]-gutterMM, y, line)
			} else {
				f.write(x, y, line)
			}
		}
		x += widths[i]
	}
	f.yMM += float64(most)*h + 2*padMM
	f.pen(0.1, mid)
	f.Line(f.xMM, f.yMM, f.xMM+f.wMM, f.yMM)
}
