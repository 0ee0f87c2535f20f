// Package webmap holds the page, and makes of its sources the few files that a browser asks for.
package webmap

import (
	"bytes"
	"embed"
	"errors"
	"fmt"
	"strings"
	"sync"
)

//go:embed index.html icon.svg css js vendor
var sources embed.FS

// File is one file of the page as it is served.
type File struct {
	Body []byte
	// Lasting says that the file's name holds a hash of its content, so a copy of it never becomes stale.
	Lasting bool
}

// Page gives the page's files by their paths, index.html among them. They are made once in a process and are read-only. With debug the
// source maps, by which a browser shows the sources, are there as well.
func Page(debug bool) (map[string]File, error) {
	if debug {
		return pageWithMaps()
	}
	return page()
}

var (
	page         = sync.OnceValues(func() (map[string]File, error) { return makePage(false) })
	pageWithMaps = sync.OnceValues(func() (map[string]File, error) { return makePage(true) })
)

// licence is that of what is vendored; it goes with it.
const licence = "vendor/leaflet/LICENSE"

// makePage bundles the sources and writes index.html for what has come out.
func makePage(debug bool) (map[string]File, error) {
	b, err := bundleOf(debug)
	if err != nil {
		return nil, fmt.Errorf("the page cannot be built: %w", err)
	}
	index, err := b.index()
	if err != nil {
		return nil, fmt.Errorf("the page cannot be built: %w", err)
	}
	files := b.files
	files["index.html"] = File{Body: index}
	terms, err := sources.ReadFile(licence)
	files[licence] = File{Body: terms}
	return files, err
}

// index is index.html with the sources that it names replaced by what was made of them. What the scripts import is asked for together with
// them, not after them.
func (b *bundle) index() ([]byte, error) {
	html, err := sources.ReadFile("index.html")
	if err != nil {
		return nil, err
	}
	for _, source := range entries {
		made, named := b.made[source], []byte(`"`+source+`"`)
		if !bytes.Contains(html, named) {
			return nil, errors.New("index.html does not name " + source)
		}
		html = bytes.ReplaceAll(html, named, []byte(`"`+made+`"`))
	}
	const before = "  <script"
	return bytes.Replace(html, []byte(before), []byte(b.preloads()+before), 1), nil
}

// preloads asks for what the scripts import, that of the early one first: a browser keeps six connections, and the others wait.
func (b *bundle) preloads() string {
	var links strings.Builder
	asked := map[string]bool{}
	for _, source := range []string{earlyEntry, mainEntry} {
		for _, name := range b.imports[b.made[source]] {
			if !asked[name] {
				fmt.Fprintf(&links, "  <link rel=\"modulepreload\" href=%q>\n", name)
			}
			asked[name] = true
		}
	}
	return links.String()
}

// The sources that index.html names.
const (
	mainEntry    = "js/page/main.js"
	earlyEntry   = "js/page/prefetch.js"
	styleEntry   = "css/page.css"
	iconEntry    = "icon.svg"
	leafletEntry = "vendor/leaflet/leaflet.js" // a script of its own: it makes the global L, and comes beside the rest
)

var entries = []string{earlyEntry, iconEntry, leafletEntry, mainEntry, styleEntry}
