// Package webmap holds the page: plain files that a browser takes as they are.
package webmap

import (
	"embed"
	"io/fs"
)

//go:embed index.html style.css records.css icon.svg js/*.js vendor
var files embed.FS

// Files are the page's files: index.html at the root, with everything it asks for beside it by relative paths.
func Files() fs.FS { return files }
