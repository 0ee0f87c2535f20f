// Package exchange takes a harbor's own files in, and gives its lists out as files of the same form. FORMAT.md beside it tells users what
// the files may hold.
package exchange

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"slices"
	"strings"

	"swingroom/geo"
)

// The files of a folder. Only moorings.csv is needed to begin. Every one that ends in .csv may be a workbook of the same name that ends in
// .xlsx instead.
const (
	HarborFile    = "harbor.json"
	MooringsFile  = "moorings.csv"
	SoundingsFile = "soundings.csv"
	AreasFile     = "areas.geojson"
	ShorelineFile = "shoreline.geojson"
	FairwaysFile  = "fairways.geojson"
	TideFile      = "tide.json"
	WaitingFile   = "waiting.csv"
	OwnersFile    = "owners.csv"
	NotesFile     = "notes.csv"
	TackleFile    = "tackle.csv"
)

// files are the files with what reads them, each after those that it needs: moorings lie in areas, tackle and notes belong to moorings.
var files = []struct {
	name string
	read func(*reader, []byte)
}{
	{HarborFile, (*reader).harborJSON},
	{AreasFile, (*reader).areas},
	{ShorelineFile, (*reader).shoreline},
	{FairwaysFile, (*reader).fairways},
	{TideFile, (*reader).tide},
	{OwnersFile, (*reader).owners},
	{WaitingFile, (*reader).waiting},
	{SoundingsFile, (*reader).soundings},
	{MooringsFile, (*reader).moorings},
	{TackleFile, (*reader).tackle},
	{NotesFile, (*reader).notes},
}

// maxFileBytes is the largest file that is read: room for soundings of several million rows.
const maxFileBytes = 256 << 20

// Options of reading a folder.
type Options struct {
	// Base is the harbor on file that the folder is laid over; nil makes a new one.
	Base *geo.Harbor
	// Name of a new harbor whose folder has no harbor.json.
	Name string
	// Progress is called now and then with how many bytes of how many are read. May be nil.
	Progress func(done, total int)
}

// Import is what a folder holds.
type Import struct {
	// Harbor is Base with every good row of the folder laid over it. A row that says what is on file changes nothing.
	Harbor   *geo.Harbor
	Problems []Problem
	Notices  []Notice
	Read     []string // names of the files that were there

	rejected *mooringTable
}

// Problem is something in a file that cannot be taken, and what would be right.
type Problem struct {
	File   string `json:"file"`
	Line   int    `json:"line"` // 0 where a file has no lines worth counting
	Column string `json:"column"`
	Got    string `json:"got"`
	Want   string `json:"want"`
}

func (p Problem) String() string {
	text := place(p.File, p.Line)
	if p.Column != "" {
		text += ", " + p.Column
	}
	if p.Got != "" {
		text += fmt.Sprintf(": %q", shorten(p.Got))
	}
	return text + ": " + p.Want
}

// place is a file with the line, if there is one.
func place(file string, line int) string {
	if line > 0 {
		return fmt.Sprintf("%s line %d", file, line)
	}
	return file
}

// Notice is something that was put right quietly, or left alone, or looks odd.
type Notice struct {
	File string `json:"file"`
	Line int    `json:"line"`
	Text string `json:"text"`
}

func (n Notice) String() string { return place(n.File, n.Line) + ": " + n.Text }

func shorten(text string) string {
	if r := []rune(text); len(r) > 80 {
		return string(r[:77]) + "..."
	}
	return text
}

// OnlyMooringRows reports whether every problem is that of a row of moorings.csv, so that the other rows can be taken without them.
func (im *Import) OnlyMooringRows() bool {
	if im.rejected == nil {
		return false
	}
	for _, p := range im.Problems {
		if p.File != im.rejected.file || p.Line < 2 {
			return false
		}
	}
	return true
}

// WriteRejected writes the bad rows of moorings.csv under its own heading and in its own dialect, to be corrected and imported.
func (im *Import) WriteRejected(w io.Writer) error {
	if im.rejected == nil {
		return nil
	}
	return im.rejected.writeRejected(w)
}

// ReadFolder reads a folder. The error is that of reading it, or that there is nothing to read; what is wrong in the files is in Problems.
func ReadFolder(fsys fs.FS, opt Options) (*Import, error) {
	r := &reader{im: &Import{Problems: []Problem{}, Notices: []Notice{}, Read: []string{}}, progress: opt.Progress, total: totalBytes(fsys)}
	r.begin(opt)
	if err := r.readFiles(fsys); err != nil {
		return nil, err
	}
	if len(r.im.Read) == 0 {
		return nil, fmt.Errorf("none of the files is there; %s is needed to begin", MooringsFile)
	}
	if r.h.Moorings == nil && opt.Base == nil && r.im.rejected == nil {
		r.notice(MooringsFile, 0, "it is not there, so the harbor has no moorings yet")
	}
	r.checkMoorings()
	r.checkHarbor()
	r.im.Harbor = r.h
	return r.im, nil
}

// readFiles reads the files that are there.
func (r *reader) readFiles(fsys fs.FS) error {
	for _, file := range files {
		for _, name := range formsOf(file.name) {
			if err := r.readFile(fsys, name, file.read); err != nil {
				return err
			}
		}
	}
	return nil
}

// formsOf are the names under which a file may stand.
func formsOf(name string) []string {
	if base, ok := strings.CutSuffix(name, ".csv"); ok {
		return []string{name, base + ".xlsx"}
	}
	return []string{name}
}

// readFile reads a file if it is there.
func (r *reader) readFile(fsys fs.FS, name string, read func(*reader, []byte)) error {
	text, err := readFile(fsys, name)
	if err != nil {
		return r.unreadable(name, err)
	}
	if r.isSecondForm(name) {
		return nil
	}
	r.im.Read = append(r.im.Read, name)
	r.file = name
	if text, good := r.decode(text); good {
		read(r, text)
	}
	r.done += len(text)
	r.showProgress(0)
	return nil
}

// unreadable leaves a file that is not there, and reports one that is too large; anything else ends the import.
func (r *reader) unreadable(name string, err error) error {
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case errors.Is(err, errTooLarge):
		r.problem(name, 0, "", "", err.Error())
		return nil
	}
	return err
}

// isSecondForm refuses a workbook beside the same list as CSV.
func (r *reader) isSecondForm(name string) bool {
	base, isXLSX := strings.CutSuffix(name, ".xlsx")
	if !isXLSX || !slices.Contains(r.im.Read, base+".csv") {
		return false
	}
	r.problem(name, 0, "", "", base+".csv is there as well; leave one of them out of the folder")
	return true
}

// reader carries one import.
type reader struct {
	im           *Import
	h            *geo.Harbor
	base         *geo.Harbor // on file; nil where there is none
	file         string      // that is being read
	progress     func(done, total int)
	done         int // bytes of the files that are read
	total        int
	mooringTable *mooringTable // nil until moorings.csv is read
	tackleTable  *tackleTable  // nil until tackle.csv is read
}

// begin prepares the harbor: a copy of the one on file, or a new one.
func (r *reader) begin(opt Options) {
	if opt.Base != nil {
		r.h, r.base = opt.Base.Clone(), opt.Base
		return
	}
	name := opt.Name
	if strings.TrimSpace(name) == "" {
		name = "Harbor"
	}
	r.h = &geo.Harbor{Name: name, Units: geo.UnitsFeet, Defaults: geo.NewDefaults()}
}

// fileOfNoun is the file that brings in what an error of the core is about; that of anything else is harbor.json.
var fileOfNoun = map[string]string{
	"area":                    AreasFile,
	"fairway or closed water": FairwaysFile,
	"tide":                    TideFile,
	"owner":                   OwnersFile,
	"note":                    NotesFile,
	"waiting":                 WaitingFile,
}

// checkHarbor holds the parts besides the moorings against the rules of the core. Their errors name no row, and so no part of the folder
// can be taken.
func (r *reader) checkHarbor() {
	rest := *r.h
	rest.Moorings = nil
	for _, fe := range geo.FieldErrors(rest.Validate()) {
		r.problem(fileOf(fe), 0, strings.TrimSpace(fe.Name+" "+fe.Field), fe.Got, fe.Want)
	}
}

// fileOf is the file that an error of the core is about.
func fileOf(fe *geo.FieldError) string {
	if file, ok := fileOfNoun[fe.Noun]; ok && fe.Name != "defaults" {
		return file
	}
	return HarborFile
}

func (r *reader) problem(file string, line int, column, got, want string) {
	r.im.Problems = append(r.im.Problems, Problem{file, line, column, got, want})
}

func (r *reader) notice(file string, line int, text string, args ...any) {
	r.im.Notices = append(r.im.Notices, Notice{file, line, fmt.Sprintf(text, args...)})
}

// showProgress tells how far the import is: all files that are read, and so many bytes of the next.
func (r *reader) showProgress(bytes int) {
	if r.progress != nil {
		r.progress(min(r.done+bytes, r.total), r.total)
	}
}

var errTooLarge = fmt.Errorf("the file is larger than %d MB", maxFileBytes>>20)

func readFile(fsys fs.FS, name string) ([]byte, error) {
	f, err := fsys.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	text, err := io.ReadAll(io.LimitReader(f, maxFileBytes+1))
	if err == nil && len(text) > maxFileBytes {
		err = errTooLarge
	}
	return text, err
}

func totalBytes(fsys fs.FS) int {
	total := 0
	for _, file := range files {
		for _, name := range formsOf(file.name) {
			if info, err := fs.Stat(fsys, name); err == nil {
				total += int(info.Size())
			}
		}
	}
	return max(total, 1)
}

// decode takes the byte order mark off and refuses what is not UTF-8: guessing an encoding would change names. A workbook names its own.
func (r *reader) decode(text []byte) ([]byte, bool) {
	if isXLSX(r.file) {
		return text, true
	}
	if isUTF16(text) {
		r.problem(r.file, 0, "", "", "the file is in UTF-16; save it as UTF-8 (in a spreadsheet: CSV UTF-8)")
		return nil, false
	}
	if at := firstInvalidUTF8(text); at >= 0 {
		line := bytes.Count(text[:at], []byte("\n")) + 1
		r.problem(r.file, line, "", fmt.Sprintf("byte 0x%02x", text[at]),
			"the file is not in UTF-8; save it as UTF-8 (in a spreadsheet: CSV UTF-8)")
		return nil, false
	}
	return bytes.TrimPrefix(text, []byte(byteOrderMark)), true
}

// isUTF16 reports a byte order mark of UTF-16.
func isUTF16(text []byte) bool {
	return bytes.HasPrefix(text, []byte("\xff\xfe")) || bytes.HasPrefix(text, []byte("\xfe\xff"))
}
