package api

import (
	"io/fs"
	"mime"
	"path"
	"strings"

	"swingroom/webmap"
)

// staticAnswers makes every file of the page ready, by path. The page is small and part of the program.
func staticAnswers() (map[string]*answer, error) {
	all := map[string]*answer{}
	err := fs.WalkDir(webmap.Files(), ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		body, err := fs.ReadFile(webmap.Files(), name)
		if err != nil {
			return err
		}
		kind := mime.TypeByExtension(path.Ext(name))
		if strings.HasSuffix(name, ".js") {
			kind = "text/javascript; charset=utf-8" // whatever this machine thinks
		}
		if kind == "" {
			kind = "text/plain; charset=utf-8"
		}
		a := newAnswer(kind, body)
		all["/"+name] = a
		if name == "index.html" {
			all["/"] = a
		}
		return nil
	})
	return all, err
}
