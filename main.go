// Command bareframe serves a multi-user estimator for shops that restore cars
// with the body off the frame. See README.md.
package main

import (
	"context"
	"embed"
	"io/fs"
	"os"

	"bareframe/internal/command"
)

//go:embed openapi.yaml
var contract []byte

//go:embed frontend/*.html frontend/*.css frontend/*.js frontend/*.svg frontend/*.webmanifest frontend/lib frontend/components frontend/views
var frontend embed.FS

//go:embed seeds/*.json seeds/templates/*.json seeds/rules/*.json seeds/frames/*.json seeds/sheets/*.json
var seeds embed.FS

// version is set at build time.
var version = "dev"

func main() {
	os.Exit(command.Main(context.Background(), command.Assets{Contract: contract, Frontend: sub(frontend, "frontend"), Seeds: sub(seeds, "seeds"), Version: version}))
}

// sub cannot fail for a folder that is embedded.
func sub(files embed.FS, dir string) fs.FS {
	f, err := fs.Sub(files, dir)
	if err != nil {
		panic(err)
	}
	return f
}
