package tabular

import (
	"encoding/xml"
	"slices"
	"strconv"
	"strings"
)

// workbook is an XLSX file on its way to a table.
type workbook struct {
	*archive
	path      string // of its main part
	years1904 bool   // days count from 1904
	sheets    []sheet
	targets   map[string]relation // of the main part, by id
	strings   []string            // shared strings
	formats   []format            // by cell style
	shared    map[string]string   // shared formulas
}

type sheet struct {
	name, id string
	hidden   bool
}

// relation is a link from a part to another part of the archive.
type relation struct{ kind, target string }

func readXLSX(data []byte, limits Limits) (Table, error) {
	a, err := openArchive(data, limits)
	if err != nil {
		return Table{}, err
	}
	w := &workbook{archive: a, shared: map[string]string{}}
	for _, step := range []func() error{w.findMain, w.readMain, w.readStrings, w.readStyles} {
		if err := step(); err != nil {
			return Table{}, err
		}
	}
	return w.readFirstSheet()
}

// relations reads the links of a part; those out of the archive are left out.
func (w *workbook) relations(of string) (map[string]relation, error) {
	dir, file := of[:strings.LastIndex(of, "/")+1], of[strings.LastIndex(of, "/")+1:]
	found := map[string]relation{}
	err := w.read(dir+"_rels/"+file+".rels", func(m *markup) error {
		return m.each(func(s xml.StartElement) error {
			if s.Name.Local == "Relationship" && attribute(s, "TargetMode") != "External" {
				kind := attribute(s, "Type")
				found[attribute(s, "Id")] = relation{kind[strings.LastIndex(kind, "/")+1:], resolved(of, attribute(s, "Target"))}
			}
			return nil
		})
	})
	return found, err
}

// read opens a part, reads it and closes it; a part that is not there is not read.
func (w *workbook) read(name string, by func(*markup) error) error {
	r, err := w.part(name)
	if err != nil || r == nil {
		return err
	}
	defer r.Close()
	return by(newMarkup(r, w.limits))
}

// findMain finds the workbook part, or says what the archive is instead.
func (w *workbook) findMain() error {
	links, err := w.relations("")
	if err != nil {
		return err
	}
	for _, id := range sorted(links) {
		if links[id].kind == "officeDocument" {
			w.path = links[id].target
		}
	}
	if w.path != "" && strings.HasSuffix(w.path, ".xml") && strings.HasPrefix(w.path, "xl/") && w.files[strings.ToLower(w.path)] != nil {
		return nil
	}
	switch {
	case w.files["mimetype"] != nil:
		return invalid("table-format", "this is an OpenDocument file; save it as XLSX or as CSV (UTF-8)")
	case strings.HasSuffix(w.path, ".bin"):
		return invalid("table-format", "this is a binary workbook (.xlsb); save it as XLSX")
	case w.path != "":
		return invalid("table-format", "this is an office document and no workbook; send XLSX or CSV")
	}
	return invalid("table-format", "this is an archive and no workbook; send XLSX or CSV")
}

func sorted(links map[string]relation) []string {
	ids := make([]string, 0, len(links))
	for id := range links {
		ids = append(ids, id)
	}
	slices.Sort(ids)
	return ids
}

// readMain reads the list of sheets and the date system.
func (w *workbook) readMain() error {
	var err error
	if w.targets, err = w.relations(w.path); err != nil {
		return err
	}
	return w.read(w.path, func(m *markup) error {
		return m.each(func(s xml.StartElement) error {
			switch s.Name.Local {
			case "workbookPr":
				w.years1904 = is(attribute(s, "date1904"))
			case "sheet":
				if len(w.sheets) >= w.limits.Entries {
					return tooLarge("the workbook has more than %d sheets", w.limits.Entries)
				}
				state := attribute(s, "state")
				w.sheets = append(w.sheets, sheet{attribute(s, "name"), attribute(s, "id"), state == "hidden" || state == "veryHidden"})
			}
			return nil
		})
	})
}

// readFirstSheet reads the first sheet of cells that a person sees.
func (w *workbook) readFirstSheet() (Table, error) {
	b := builder{limits: w.limits, table: Table{Format: XLSX}}
	path := ""
	for _, s := range w.sheets {
		link := w.targets[s.id]
		if s.hidden || link.kind != "worksheet" {
			continue
		}
		if path == "" {
			path, b.table.Sheet = link.target, s.name
		} else {
			b.table.OtherSheets = append(b.table.OtherSheets, s.name)
		}
	}
	if path == "" {
		return Table{}, invalid("table-empty", "the workbook has no sheet that is not hidden")
	}
	if w.files[strings.ToLower(path)] == nil {
		return Table{}, damaged("its sheet %s is missing", quoted(b.table.Sheet))
	}
	s := sheetReader{workbook: w, builder: &b}
	if err := w.read(path, s.rows); err != nil {
		return Table{}, err
	}
	return b.finish()
}

// related reads the parts that the main part links to by kind.
func (w *workbook) related(kind string, by func(*markup) error) error {
	for _, id := range sorted(w.targets) {
		if w.targets[id].kind == kind {
			return w.read(w.targets[id].target, by)
		}
	}
	return nil
}

// readStrings reads the shared strings: the letters of plain and rich text,
// without the reading aids of Asian scripts.
func (w *workbook) readStrings() error {
	return w.related("sharedStrings", func(m *markup) error {
		return m.each(func(s xml.StartElement) error {
			if s.Name.Local != "si" {
				return nil
			}
			if len(w.strings) >= w.limits.Strings {
				return tooLarge("the workbook has more than %d different texts", w.limits.Strings)
			}
			text, err := m.text(readingAid, w.limits.CellLength)
			w.strings = append(w.strings, lineFeeds(unescaped(text)))
			return err
		})
	})
}

func readingAid(name string) bool { return name == "rPh" }

// format is what a cell style means for a number.
type format uint8

const (
	plainFormat format = iota
	percentFormat
	dateFormat
)

// readStyles reads which cell styles show a number as a date or in percent.
func (w *workbook) readStyles() error {
	codes := map[string]format{}
	inside := false
	return w.related("styles", func(m *markup) error {
		return m.each(func(s xml.StartElement) error {
			switch s.Name.Local {
			case "numFmt":
				codes[attribute(s, "numFmtId")] = meaning(attribute(s, "formatCode"))
			case "cellXfs":
				inside = true
			case "cellStyles", "dxfs":
				inside = false
			case "xf":
				if !inside {
					break
				}
				if len(w.formats) >= 1<<16 { // more than any program writes
					return tooLarge("the workbook has more than %d cell styles", 1<<16)
				}
				id := attribute(s, "numFmtId")
				f, own := codes[id]
				if !own {
					f = builtIn(id)
				}
				w.formats = append(w.formats, f)
			}
			return nil
		})
	})
}

// builtIn is the meaning of a number format that needs no code, ECMA-376
// 18.8.30; those from 27 to 36 and 50 to 58 are dates of Asian locales.
func builtIn(id string) format {
	n, err := strconv.Atoi(id)
	switch {
	case err != nil:
		return plainFormat
	case n == 9 || n == 10:
		return percentFormat
	case n >= 14 && n <= 22, n >= 27 && n <= 36, n >= 45 && n <= 47, n >= 50 && n <= 58:
		return dateFormat
	}
	return plainFormat
}

// meaning reads a format code: outside of quotation marks, brackets and escapes
// the letters of days and times make a date, and a percent sign a percentage.
func meaning(code string) format {
	found := plainFormat
	for i := 0; i < len(code); i++ {
		switch c := code[i]; c {
		case ';': // what follows is for negative numbers and text
			return found
		case '\\', '_', '*':
			i++
		case '"', '[':
			end := strings.IndexByte(code[i+1:], map[byte]byte{'"': '"', '[': ']'}[c])
			if end < 0 {
				return found
			}
			if c == '[' && elapsed(code[i+1:i+1+end]) {
				return dateFormat
			}
			i += end + 1
		case '%':
			found = percentFormat
		case 'y', 'Y', 'm', 'M', 'd', 'D', 'h', 'H', 's', 'S':
			return dateFormat
		}
	}
	return found
}

// elapsed reports whether a bracket is that of hours, minutes or seconds beyond
// a day: [h], [mm].
func elapsed(bracket string) bool {
	lower := strings.ToLower(bracket)
	return lower != "" && (strings.Trim(lower, "h") == "" || strings.Trim(lower, "m") == "" || strings.Trim(lower, "s") == "")
}
