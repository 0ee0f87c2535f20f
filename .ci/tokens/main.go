// Tokens measures how dense the code is: Go tokens in each function, as the scanner of the standard library counts them, comments and the
// semicolons that it adds at line ends left out. It prints the median and the ninetieth percentile of a whole tree, and the heaviest
// functions, and ends with status 1 where a limit is passed.
//
//	go run ./.ci/tokens                          the whole tree
//	go run ./.ci/tokens -heaviest 20 geo/room    one folder, and its 20 heaviest functions
package main

import (
	"cmp"
	"flag"
	"fmt"
	"go/ast"
	"go/parser"
	"go/scanner"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// Limits on a whole tree, in tokens. Set by the project for itself; the code bases that it looks up to lie at 37 to 75 and 141 to 207.
const (
	medianLimit = 75
	p90Limit    = 220
)

// function is one declared function with its size.
type function struct {
	name   string
	at     token.Position
	tokens int
}

func main() {
	heaviest := flag.Int("heaviest", 0, "how many of the heaviest functions are listed")
	tests := flag.Bool("tests", false, "count test files instead of the rest")
	flag.Parse()
	roots := flag.Args()
	if len(roots) == 0 {
		roots = []string{"."}
	}
	var all []function
	for _, root := range roots {
		found, err := measure(root, *tests)
		if err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(2)
		}
		all = append(all, found...)
	}
	if len(all) == 0 {
		fmt.Fprintln(os.Stderr, "no functions there")
		os.Exit(2)
	}
	slices.SortFunc(all, func(a, b function) int { return cmp.Compare(b.tokens, a.tokens) })
	for _, f := range all[:min(*heaviest, len(all))] {
		fmt.Printf("%5d  %s:%d %s\n", f.tokens, f.at.Filename, f.at.Line, f.name)
	}
	median, p90 := all[len(all)/2].tokens, all[len(all)/10].tokens
	fmt.Printf("%d functions: median %d tokens (under %d), 90th percentile %d (under %d)\n", len(all), median, medianLimit, p90, p90Limit)
	if median >= medianLimit || p90 >= p90Limit {
		os.Exit(1)
	}
}

// measure reads every Go file under a root.
func measure(root string, tests bool) (all []function, err error) {
	err = filepath.WalkDir(root, func(path string, entry fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if entry.IsDir() {
			if name := entry.Name(); name == "node_modules" || name == "testdata" {
				return filepath.SkipDir
			}
			return nil
		}
		if !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") != tests {
			return nil
		}
		found, err := functionsOf(path)
		all = append(all, found...)
		return err
	})
	return all, err
}

// functionsOf measures the functions of one file.
func functionsOf(path string) (all []function, err error) {
	text, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	files := token.NewFileSet()
	file, err := parser.ParseFile(files, path, text, 0)
	if err != nil {
		return nil, err
	}
	starts := tokenOffsets(text)
	for _, d := range file.Decls {
		f, ok := d.(*ast.FuncDecl)
		if !ok {
			continue
		}
		from, _ := slices.BinarySearch(starts, files.Position(f.Pos()).Offset)
		to, _ := slices.BinarySearch(starts, files.Position(f.End()).Offset)
		all = append(all, function{f.Name.Name, files.Position(f.Pos()), to - from})
	}
	return all, nil
}

// tokenOffsets is where each token of a text begins.
func tokenOffsets(text []byte) (starts []int) {
	files := token.NewFileSet()
	file := files.AddFile("", files.Base(), len(text))
	var s scanner.Scanner
	s.Init(file, text, nil, 0)
	for {
		pos, tok, literal := s.Scan()
		if tok == token.EOF {
			return starts
		}
		if tok == token.SEMICOLON && literal == "\n" {
			continue
		}
		starts = append(starts, file.Offset(pos))
	}
}
