package photo

import (
	"bytes"
	"errors"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"bareframe/internal/fault"
)

const shopA, shopB = "0b4c9a52-7f0e-4a3e-9a56-1f3f2f5c7d10", "5d1e8b77-2a34-4c61-8f0d-90ab12cd34ef"

func folder(t *testing.T) (*Folder, string) {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "kept")
	f, err := OpenFolder(dir)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = f.Close() })
	return f, dir
}

func put(t *testing.T, f *Folder, shop string, data string) string {
	t.Helper()
	name, err := f.Put(shop, []byte(data))
	if err != nil {
		t.Fatal(err)
	}
	return name
}

func TestWhatIsPutIsThereAfterOpeningAgain(t *testing.T) {
	f, dir := folder(t)
	name := put(t, f, shopA, "rust")
	again, err := OpenFolder(dir)
	if err != nil {
		t.Fatal(err)
	}
	defer again.Close()
	r, err := again.Open(shopA, name)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	if got, err := io.ReadAll(r); string(got) != "rust" || err != nil {
		t.Fatalf("got %q, %v", got, err)
	}
	if _, err := again.Open(shopB, name); fault.KindOf(err) != fault.NotFound {
		t.Errorf("another shop opens it: %v", err)
	}
	if info, err := os.Stat(filepath.Join(dir, shopA, name[:2], name)); err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("the file: %v, %v; want it readable by its owner only", info, err)
	}
}

func TestNamesAreDrawnByLotAndConcurrentPutsKeepApart(t *testing.T) {
	f, _ := folder(t)
	var names sync.Map
	var wg sync.WaitGroup
	for range 40 {
		wg.Go(func() {
			name, err := f.Put(shopA, []byte("same"))
			if err != nil || !nameShape.MatchString(name) {
				t.Errorf("%q, %v", name, err)
			}
			if _, twice := names.LoadOrStore(name, true); twice {
				t.Errorf("%s was drawn twice", name)
			}
		})
	}
	wg.Wait()
	n := 0
	err := f.Each(func(k Kept) error {
		if _, ok := names.Load(k.Name); !ok || k.Shop != shopA || k.Size != 4 || k.Since.IsZero() {
			t.Errorf("found %+v", k)
		}
		n++
		return nil
	})
	if n != 40 || err != nil {
		t.Errorf("found %d of 40, %v", n, err)
	}
}

func TestNoPathFromOutsideReachesTheFileSystem(t *testing.T) {
	f, dir := folder(t)
	name := put(t, f, shopA, "mine")
	secret := filepath.Join(filepath.Dir(dir), "secret")
	if err := os.WriteFile(secret, []byte("secret"), 0o600); err != nil {
		t.Fatal(err)
	}
	shard := filepath.Join(dir, shopA, name[:2])
	link := name[:2] + strings.Repeat("0", 30)
	if err := os.Symlink(secret, filepath.Join(shard, link)); err != nil {
		t.Fatal(err)
	}
	aDir := name[:2] + strings.Repeat("1", 30)
	if err := os.Mkdir(filepath.Join(shard, aDir), 0o700); err != nil {
		t.Fatal(err)
	}
	for _, c := range [][2]string{
		{shopA, ""}, {shopA, "."}, {shopA, ".."}, {shopA, "../../../secret"}, {shopA, "/etc/passwd"}, {shopA, secret},
		{shopA, name + "\n"}, {shopA, name + "\x00"}, {shopA, name + "\x00.jpg"}, {shopA, name + "/"}, {shopA, "./" + name}, {shopA, strings.ToUpper(name[:31]) + "A"},
		{shopA, name + unfinished}, {shopA, name[:31]}, {shopA, name + "0"}, {shopA, "%2e%2e%2fsecret"}, {shopA, `..\..\secret`}, {shopA, "CON"},
		{shopA, link}, {shopA, aDir},
		{"", name}, {"..", name}, {".", name}, {shopA + "/../" + shopA, name}, {strings.ToUpper(shopA), name}, {shopA + "\n", name}, {"{" + shopA + "}", name},
	} {
		if r, err := f.Open(c[0], c[1]); fault.KindOf(err) != fault.NotFound || fault.As(err).Code != "photo-not-found" {
			t.Errorf("Open(%q, %q) = %v, %v; want photo-not-found", c[0], c[1], r, err)
		}
		if shape := nameShape.MatchString(c[1]) && shopShape.MatchString(c[0]); shape {
			continue // a link of the right shape may be removed; what it points to may not be read
		}
		if err := f.Remove(c[0], c[1]); fault.KindOf(err) != fault.NotFound {
			t.Errorf("Remove(%q, %q) = %v", c[0], c[1], err)
		}
	}
	for _, shop := range []string{"", "..", "../" + shopA, "a/b", "x"} {
		if _, err := f.Put(shop, []byte("x")); fault.KindOf(err) != fault.NotFound {
			t.Errorf("Put(%q) = %v", shop, err)
		}
	}
	if got, err := os.ReadFile(secret); string(got) != "secret" || err != nil {
		t.Errorf("the file outside: %q, %v", got, err)
	}
	if r, err := f.Open(shopA, name); err != nil {
		t.Errorf("the file inside: %v", err)
	} else {
		_ = r.Close()
	}
}

// A shop's directory that is a link out of the root is not followed.
func TestALinkOutOfTheFolderIsNotWrittenThrough(t *testing.T) {
	f, dir := folder(t)
	outside := t.TempDir()
	if err := os.Symlink(outside, filepath.Join(dir, shopA)); err != nil {
		t.Fatal(err)
	}
	if _, err := f.Put(shopA, []byte("x")); fault.KindOf(err) != fault.Unavailable {
		t.Errorf("Put through a link: %v", err)
	}
	if found, _ := os.ReadDir(outside); len(found) > 0 {
		t.Errorf("written outside: %v", found)
	}
}

func TestSweepTakesOldOrphansOnly(t *testing.T) {
	f, dir := folder(t)
	old := time.Date(2026, 3, 1, 12, 0, 0, 0, time.UTC)
	age := func(name string, at time.Time) {
		t.Helper()
		if err := os.Chtimes(filepath.Join(dir, shopA, name[:2], name), at, at); err != nil {
			t.Fatal(err)
		}
	}
	known, orphan, fresh := put(t, f, shopA, "known"), put(t, f, shopA, "orphan"), put(t, f, shopA, "fresh")
	edge := put(t, f, shopA, "edge")
	half := orphan[:2] + strings.Repeat("2", 30) + unfinished
	foreign := filepath.Join(dir, shopA, orphan[:2], "readme.txt")
	for _, path := range []string{filepath.Join(dir, shopA, orphan[:2], half), foreign} {
		if err := os.WriteFile(path, nil, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	limit := old.Add(time.Hour)
	age(known, old)
	age(orphan, old)
	age(half, old)
	age(edge, limit)
	if err := os.Chtimes(foreign, old, old); err != nil {
		t.Fatal(err)
	}
	var asked []string
	n, err := f.Sweep(limit, func(shop, name string) (bool, error) {
		asked = append(asked, name)
		return shop == shopA && name == known, nil
	})
	if n != 2 || err != nil {
		t.Errorf("removed %d, %v; want the orphan and the unfinished one", n, err)
	}
	slices.Sort(asked)
	if want := slices.Sorted(slices.Values([]string{known, orphan})); !slices.Equal(asked, want) {
		t.Errorf("asked about %v, want %v", asked, want)
	}
	for name, want := range map[string]bool{known: true, orphan: false, fresh: true, edge: true} {
		r, err := f.Open(shopA, name)
		if (err == nil) != want {
			t.Errorf("%s: %v, want it there: %v", name, err, want)
		}
		if err == nil {
			_ = r.Close()
		}
	}
	if _, err := os.Stat(foreign); err != nil {
		t.Errorf("a file that is not ours: %v", err)
	}
	refused := errors.New("the database is away")
	age(fresh, old)
	if n, err := f.Sweep(limit, func(string, string) (bool, error) { return false, refused }); n != 0 || !errors.Is(err, refused) {
		t.Errorf("while nobody knows: removed %d, %v", n, err)
	}
}

func TestRemoveForgets(t *testing.T) {
	f, _ := folder(t)
	name := put(t, f, shopA, "x")
	for range 2 { // the second time there is nothing left to do
		if err := f.Remove(shopA, name); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := f.Open(shopA, name); fault.KindOf(err) != fault.NotFound {
		t.Errorf("after Remove: %v", err)
	}
}

// A file where a directory must be stands for a disk that refuses.
func TestAWriteThatFailsLeavesNothing(t *testing.T) {
	f, dir := folder(t)
	if err := os.WriteFile(filepath.Join(dir, shopA), nil, 0o600); err != nil {
		t.Fatal(err)
	}
	_, err := f.Put(shopA, bytes.Repeat([]byte("x"), 100))
	if e := fault.As(err); e == nil || e.Code != "photo-no-room" || e.Kind != fault.Unavailable || e.Err == nil {
		t.Errorf("got %v", err)
	}
	if err := f.Each(func(k Kept) error { t.Errorf("found %+v", k); return nil }); err != nil {
		t.Error(err)
	}
}
