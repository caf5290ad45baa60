package web

import (
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"fmt"
	"io/fs"
	"mime"
	"net/http"
	"path"
	"slices"
	"strings"
	"sync"
)

//go:embed assets pages
var embedded embed.FS

// asset is one file the page brings.
type asset struct {
	kind string
	text []byte
}

// bundle is every asset by its path, and the code that changes when any of them does.
type bundle struct {
	files map[string]asset
	build string
}

var assets = sync.OnceValue(func() bundle {
	b := bundle{files: map[string]asset{}}
	var names []string
	err := fs.WalkDir(embedded, "assets", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		text, err := embedded.ReadFile(name)
		short := strings.TrimPrefix(name, "assets/")
		names = append(names, short)
		b.files[short] = asset{mime.TypeByExtension(path.Ext(name)), text}
		return err
	})
	if err != nil {
		panic("web: the embedded assets cannot be read: " + err.Error())
	}
	slices.Sort(names)
	sum := sha256.New()
	for _, name := range names {
		fmt.Fprintf(sum, "%s\n%d\n", name, len(b.files[name].text))
		sum.Write(b.files[name].text)
	}
	b.build = hex.EncodeToString(sum.Sum(nil))[:12]
	return b
})

// assetURL is where a browser finds an asset; the address changes with any of them, so a copy may be kept for good.
func assetURL(name string) string { return "/assets/" + assets().build + "/" + name }

func serveAsset(w http.ResponseWriter, r *http.Request) {
	a, ok := assets().files[r.PathValue("file")]
	if !ok {
		http.NotFound(w, r)
		return
	}
	if r.PathValue("build") == assets().build {
		w.Header().Set("Cache-Control", "public, max-age=31536000, immutable")
	} else {
		w.Header().Set("Cache-Control", "no-cache")
	}
	a.serve(w)
}

func (a asset) serve(w http.ResponseWriter) {
	w.Header().Set("Content-Type", a.kind)
	_, _ = w.Write(a.text) // the browser has gone when this fails
}

// serveWorker serves the service worker from the top, so that it may look after the whole page. Its text changes with the
// build, so a browser notices a new one.
func serveWorker(w http.ResponseWriter, _ *http.Request) {
	text := strings.ReplaceAll(string(assets().files["worker.js"].text), "BUILD", assets().build)
	w.Header().Set("Cache-Control", "no-cache")
	asset{"text/javascript; charset=utf-8", []byte(text)}.serve(w)
}

func serveManifest(w http.ResponseWriter, _ *http.Request) {
	text := strings.ReplaceAll(string(assets().files["manifest.json"].text), "BUILD", assets().build)
	w.Header().Set("Cache-Control", "no-cache")
	asset{"application/manifest+json", []byte(text)}.serve(w)
}
