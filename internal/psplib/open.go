package psplib

import (
	"archive/tar"
	"compress/gzip"
	"errors"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"

	"bareframe/internal/levelling/project"
)

// Instance is a project with its name: the file's without its ending, behind the
// folder that it lies in.
type Instance struct {
	Set, Name string
	Lags      bool // minimum and maximum time lags
	Project   *project.Project
}

// All reads every instance of a folder or a .tar.gz whose name contains filter,
// in the order in which they lie there, and hands each to take. It ends with the
// first error, take's own included.
func All(from, filter string, take func(Instance) error) error {
	use := func(name string, r io.Reader) error {
		ext := path.Ext(name)
		title := strings.TrimSuffix(path.Base(name), ext)
		if ext != ".sm" && ext != ".sch" || !strings.Contains(title, filter) {
			return nil
		}
		p, err := Read(name, r)
		if err != nil {
			return err
		}
		return take(Instance{Set: path.Base(path.Dir(name)), Name: title, Lags: ext == ".sch", Project: p})
	}
	if info, err := os.Stat(from); err != nil {
		return err
	} else if info.IsDir() {
		return folder(from, use)
	}
	return archive(from, use)
}

func folder(root string, use func(string, io.Reader) error) error {
	return filepath.WalkDir(root, func(at string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		f, err := os.Open(at)
		if err != nil {
			return err
		}
		defer f.Close()
		return use(filepath.ToSlash(at), f)
	})
}

func archive(name string, use func(string, io.Reader) error) error {
	f, err := os.Open(name)
	if err != nil {
		return err
	}
	defer f.Close()
	plain, err := gzip.NewReader(f)
	if err != nil {
		return err
	}
	for tape := tar.NewReader(plain); ; {
		head, err := tape.Next()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return err
		}
		if head.Typeflag == tar.TypeReg {
			if err := use(head.Name, tape); err != nil {
				return err
			}
		}
	}
}
