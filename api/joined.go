package api

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"path"
	"regexp"
	"slices"
	"strings"
)

var (
	styleLink   = regexp.MustCompile(`(?m)^[ \t]*<link rel="stylesheet" href="/([^"]+)"( media="print")?>\n`)
	preloadLink = regexp.MustCompile(`(?m)^[ \t]*<link rel="modulepreload" href="[^"]+">\n`)
	entryScript = regexp.MustCompile(`(?m)^[ \t]*<script type="module" src="/lib/app\.js"></script>\n`)
	pageFile    = regexp.MustCompile(`(?:src|href)="(/[^"]+)"`)
	shellList   = regexp.MustCompile(`(?s)const shell = \[.*?\];`)
)

// joinAll joins the frontend and from then on serves a front page and a worker that
// name the joined files. When that fails, the files are served as they are written.
func (s *static) joinAll(log *slog.Logger) {
	defer close(s.joining)
	j, err := join(s.files)
	if err == nil {
		err = s.take(j)
	}
	if err != nil {
		log.Error("the frontend cannot be joined, its modules are served one by one", "error", err)
	}
}

// take puts the joined files, the page and the worker in place, all of them or none.
func (s *static) take(j *joined) error {
	page, err := fs.ReadFile(s.files, "index.html")
	if err != nil {
		return err
	}
	worker, err := fs.ReadFile(s.files, "sw.js")
	if err != nil {
		return err
	}
	front, err := s.page(j, string(page))
	if err != nil {
		return err
	}
	if !shellList.Match(worker) {
		return errors.New("the worker has no list of what it keeps")
	}
	shell := shellOf(j, front)
	list := "const shell = [\"" + strings.Join(shell, "\", \"") + "\"];"
	made := map[string]*staticFile{
		"index.html": s.form("index.html", []byte(front)),
		"sw.js":      s.form("sw.js", strip(".js", []byte(shellList.ReplaceAllLiteralString(string(worker), list)))),
	}
	for name, body := range j.files {
		made[name] = s.form(name, body)
		made[name].forGood = true
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	for name, f := range made {
		s.kept[name] = f
		s.pressed = append(s.pressed, name)
	}
	for _, name := range shell {
		if name = strings.TrimPrefix(name, "/"); name != "" && made[name] == nil {
			s.pressed = append(s.pressed, name)
		}
	}
	return nil
}

// page writes the front page anew, with one style, the joined first script and all
// that a visitor's first screen needs.
func (s *static) page(j *joined, page string) (string, error) {
	style, err := s.style(page)
	if err != nil {
		return "", err
	}
	sum := sha256.Sum256(style)
	name := joinedFolder + "style-" + strings.ToUpper(hex.EncodeToString(sum[:4])) + ".css"
	j.files[name] = style
	first := j.needs[firstGroup]
	if len(first) == 0 || !entryScript.MatchString(page) {
		return "", errors.New("the front page has no first script")
	}
	head := fmt.Sprintf("    <link rel=\"stylesheet\" href=\"/%s\">\n    <script type=\"module\" src=\"/%s\"></script>\n", name, first[0])
	for _, n := range first[1:] {
		head += fmt.Sprintf("    <link rel=\"modulepreload\" href=\"/%s\">\n", n)
	}
	page = preloadLink.ReplaceAllString(styleLink.ReplaceAllString(page, ""), "")
	return entryScript.ReplaceAllLiteralString(page, head), nil
}

// style is the styles that a page names, in their order, those for paper under their
// condition (CSS Conditional Rules 3, "Media-specific style sheets").
func (s *static) style(page string) ([]byte, error) {
	var out []byte
	for _, m := range styleLink.FindAllStringSubmatch(page, -1) {
		body, err := fs.ReadFile(s.files, m[1])
		if err != nil {
			return nil, err
		}
		if m[2] != "" {
			body = slices.Concat([]byte("@media print{"), body, []byte("}"))
		}
		out = append(append(out, body...), '\n')
	}
	if len(out) == 0 {
		return nil, errors.New("the front page has no style")
	}
	return strip(".css", out), nil
}

// shellOf lists what the worker keeps: the page, what it names, and the bench.
func shellOf(j *joined, page string) []string {
	out := []string{"/"}
	for _, m := range pageFile.FindAllStringSubmatch(page, -1) {
		if path.Ext(m[1]) != "" {
			out = append(out, m[1])
		}
	}
	for _, name := range slices.Concat(j.needs["bench"], j.needs["bench-found"]) {
		if !slices.Contains(out, "/"+name) {
			out = append(out, "/"+name)
		}
	}
	return out
}
