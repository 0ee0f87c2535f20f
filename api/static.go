package api

import (
	"mime"
	"path"
	"sync"

	"swingroom/webmap"
)

// buildPage begins to build the page, and gives what waits for its files. The harbors answer meanwhile.
func buildPage(debug bool) func() (map[string]*answer, error) {
	files := sync.OnceValues(func() (map[string]*answer, error) { return staticAnswers(debug) })
	go func() { _, _ = files() }() // whoever asks for a file is told of a failure
	return files
}

// page answers with a file of the page.
func (s *Service) page(q *request) error {
	files, err := s.static()
	if err != nil {
		return err
	}
	a, ok := files[q.r.URL.Path]
	if !ok {
		return errNoSuchPath
	}
	q.write(a)
	return nil
}

// staticAnswers makes every file of the page ready, by path. The page is small and part of the program.
func staticAnswers(debug bool) (map[string]*answer, error) {
	files, err := webmap.Page(debug)
	if err != nil {
		return nil, err
	}
	all := make(map[string]*answer, len(files)+1)
	for name, file := range files {
		a := newAnswer(contentTypeOf(name), file.Body)
		a.lasting = file.Lasting
		all["/"+name] = a
	}
	all["/"] = all["/index.html"]
	return all, nil
}

// contentTypeOf is the media type of a file of the page. Scripts have theirs whatever this machine thinks of .js.
func contentTypeOf(name string) string {
	switch path.Ext(name) {
	case ".js":
		return "text/javascript; charset=utf-8"
	case ".map":
		return "application/json"
	}
	if kind := mime.TypeByExtension(path.Ext(name)); kind != "" {
		return kind
	}
	return "text/plain; charset=utf-8"
}
