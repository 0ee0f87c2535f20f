package webmap

import (
	"encoding/json"
	"errors"
	"fmt"
	"path"
	"slices"
	"strings"

	"github.com/evanw/esbuild/pkg/api"
)

// bundle is what the sources become.
type bundle struct {
	files   map[string]File
	made    map[string]string   // which file an entry has become
	imports map[string][]string // what a file imports at once
}

// outFolder holds what is bundled; every name in it changes with the content.
const outFolder = "app"

// bundleOf bundles scripts and style sheets, minified.
func bundleOf(debug bool) (*bundle, error) {
	result := api.Build(options(debug))
	if len(result.Errors) > 0 {
		return nil, errors.New(strings.Join(api.FormatMessages(result.Errors, api.FormatMessagesOptions{}), "\n"))
	}
	b := &bundle{files: map[string]File{}, made: map[string]string{}, imports: map[string][]string{}}
	for _, file := range result.OutputFiles {
		b.files[strings.TrimPrefix(file.Path, "/")] = File{Body: file.Contents, Lasting: true}
	}
	return b, b.read(result.Metafile)
}

func options(debug bool) api.BuildOptions {
	opt := api.BuildOptions{
		EntryPoints: entries, Outdir: "/" + outFolder, AbsWorkingDir: "/",
		EntryNames: "[name]-[hash]", ChunkNames: "[name]-[hash]",
		Bundle: true, Splitting: true, Format: api.FormatESModule, Target: api.ES2022, Charset: api.CharsetUTF8,
		MinifyWhitespace: true, MinifyIdentifiers: true, MinifySyntax: true,
		Metafile: true, LogLevel: api.LogLevelSilent,
		Plugins: []api.Plugin{{Name: "embedded", Setup: readEmbedded}},
	}
	if debug {
		opt.Sourcemap = api.SourceMapLinked
	}
	return opt
}

// readEmbedded makes esbuild read the embedded sources instead of the disk.
func readEmbedded(build api.PluginBuild) {
	const namespace = "page"
	build.OnResolve(api.OnResolveOptions{Filter: ".*"}, func(args api.OnResolveArgs) (api.OnResolveResult, error) {
		switch args.Kind {
		case api.ResolveEntryPoint:
			return api.OnResolveResult{Path: args.Path, Namespace: namespace}, nil
		case api.ResolveCSSURLToken: // pictures of controls that the page does not use
			return api.OnResolveResult{Path: args.Path, External: true}, nil
		}
		return api.OnResolveResult{Path: path.Join(path.Dir(args.Importer), args.Path), Namespace: namespace}, nil
	})
	build.OnLoad(api.OnLoadOptions{Filter: ".*", Namespace: namespace}, func(args api.OnLoadArgs) (api.OnLoadResult, error) {
		body, err := sources.ReadFile(args.Path)
		text := string(body)
		return api.OnLoadResult{Contents: &text, Loader: loaderOf(args.Path)}, err
	})
}

// copied are the entries that are served as they are.
var copied = []string{iconEntry, leafletEntry}

func loaderOf(name string) api.Loader {
	switch {
	case slices.Contains(copied, name):
		return api.LoaderCopy
	case path.Ext(name) == ".css":
		return api.LoaderCSS
	}
	return api.LoaderJS
}

// output is what esbuild tells of a file that it has made.
type output struct {
	EntryPoint string
	Imports    []struct{ Path, Kind string }
	Inputs     map[string]struct{}
}

// source is the entry that a file was made of, or "" for what several entries share. A copied file has one input and is not called an
// entry.
func (o output) source() string {
	named := o.EntryPoint
	for input := range o.Inputs {
		if _, name, _ := strings.Cut(input, ":"); len(o.Inputs) == 1 && slices.Contains(copied, name) {
			named = input
		}
	}
	_, name, _ := strings.Cut(named, ":")
	return name
}

// read takes from esbuild's metafile which entry has become which file, and what each file imports.
func (b *bundle) read(metafile string) error {
	var meta struct{ Outputs map[string]output }
	if err := json.Unmarshal([]byte(metafile), &meta); err != nil {
		return err
	}
	for name, out := range meta.Outputs {
		for _, each := range out.Imports {
			if each.Kind == "import-statement" {
				b.imports[name] = append(b.imports[name], each.Path)
			}
		}
		slices.Sort(b.imports[name])
		if path.Ext(name) != ".map" {
			b.made[out.source()] = name
		}
	}
	for _, source := range entries {
		if b.made[source] == "" {
			return fmt.Errorf("nothing was made of %s", source)
		}
	}
	return nil
}
