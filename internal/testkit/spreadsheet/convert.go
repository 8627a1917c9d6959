package spreadsheet

import (
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"
)

const skipText = "SKIPPED: comparison with LibreOffice: there is no soffice (needs Debian package libreoffice-calc-nogui)"

// How to convert: the target with its filter, as soffice takes it after
// --convert-to, and the options for reading CSV.
const (
	// ToCSV writes the first sheet: comma, quotation mark, UTF-8.
	ToCSV = "csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,true,false"
	// ToXLSX writes a workbook, reckoned anew.
	ToXLSX = "xlsx:Calc MS Excel 2007 XML"
	// FromCSV reads comma, quotation mark, UTF-8, in US English, and makes
	// numbers and dates of what looks like them.
	FromCSV = "CSV:44,34,76,1,,1033,false,true"
)

// recalculate makes LibreOffice reckon every formula of a workbook when it is
// opened and not trust the values in it: 0 is always.
const recalculate = `<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry" xmlns:xs="http://www.w3.org/2001/XMLSchema" xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load"><prop oor:name="OOXMLRecalcMode" oor:op="fuse"><value>0</value></prop></item>
<item oor:path="/org.openoffice.Office.Calc/Formula/Load"><prop oor:name="ODFRecalcMode" oor:op="fuse"><value>0</value></prop></item>
</oor:items>
`

// Need skips the test where there is no LibreOffice.
func Need(t testing.TB) {
	t.Helper()
	if _, err := exec.LookPath("soffice"); err == nil {
		return
	}
	if os.Getenv("BAREFRAME_NO_SKIP") == "1" {
		t.Fatal(skipText)
	}
	t.Skip(skipText)
}

// Convert has LibreOffice open files, given by name, and save each in another
// format with extension; it returns their new contents by the old names. from
// is a filter for reading, or empty.
func Convert(t testing.TB, files map[string][]byte, from, to, extension string) map[string][]byte {
	t.Helper()
	Need(t)
	dir := t.TempDir()
	profile, in, out := filepath.Join(dir, "profile"), filepath.Join(dir, "in"), filepath.Join(dir, "out")
	write(t, filepath.Join(profile, "user", "registrymodifications.xcu"), []byte(recalculate))
	args := []string{"-env:UserInstallation=file://" + profile, "--headless", "--norestore", "--convert-to", to, "--outdir", out}
	if from != "" {
		args = append(args, "--infilter="+from)
	}
	for name, content := range files {
		write(t, filepath.Join(in, name), content)
		args = append(args, filepath.Join(in, name))
	}
	run(t, dir, args)
	converted := map[string][]byte{}
	for name := range files {
		path := filepath.Join(out, name[:len(name)-len(filepath.Ext(name))]+extension)
		content, err := os.ReadFile(path)
		if err != nil {
			t.Fatalf("LibreOffice did not convert %s: %v", name, err)
		}
		converted[name] = content
	}
	return converted
}

func run(t testing.TB, home string, args []string) {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), 3*time.Minute)
	defer cancel()
	soffice := exec.CommandContext(ctx, "soffice", args...)
	soffice.Env = append(os.Environ(), "HOME="+home, "LC_ALL=C.UTF-8")
	if output, err := soffice.CombinedOutput(); err != nil {
		t.Fatalf("LibreOffice: %v\n%s", err, output)
	}
}

func write(t testing.TB, path string, content []byte) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, content, 0o600); err != nil {
		t.Fatal(err)
	}
}
