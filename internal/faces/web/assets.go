package web

import (
	"bytes"
	"compress/gzip"
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

// asset is one file the page brings, with its compressed form where that is shorter.
type asset struct {
	kind   string
	plain  []byte
	zipped []byte
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
		b.files[short] = asset{kind: mime.TypeByExtension(path.Ext(name)), plain: text, zipped: zip(text)}
		return err
	})
	if err != nil {
		panic("web: the embedded assets cannot be read: " + err.Error())
	}
	slices.Sort(names)
	sum := sha256.New()
	for _, name := range names {
		fmt.Fprintf(sum, "%s\n%d\n", name, len(b.files[name].plain))
		sum.Write(b.files[name].plain)
	}
	b.build = hex.EncodeToString(sum.Sum(nil))[:12]
	return b
})

func zip(text []byte) []byte {
	var out bytes.Buffer
	z, _ := gzip.NewWriterLevel(&out, gzip.BestCompression) // the level is one there is
	if _, err := z.Write(text); err != nil {
		return nil
	}
	if err := z.Close(); err != nil || out.Len() >= len(text) {
		return nil
	}
	return out.Bytes()
}

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
	a.serve(w, r)
}

// serve answers with the shorter form where the browser takes it.
func (a asset) serve(w http.ResponseWriter, r *http.Request) {
	h := w.Header()
	h.Set("Content-Type", a.kind)
	h.Set("Vary", "Accept-Encoding")
	body := a.plain
	if a.zipped != nil && strings.Contains(r.Header.Get("Accept-Encoding"), "gzip") {
		h.Set("Content-Encoding", "gzip")
		body = a.zipped
	}
	h.Set("Content-Length", fmt.Sprint(len(body)))
	if r.Method != http.MethodHead {
		_, _ = w.Write(body) // the browser has gone when this fails
	}
}

// serveWorker serves the service worker from the top, so that it may look after the whole page. Its text changes with the
// build, so a browser notices a new one.
func serveWorker(w http.ResponseWriter, r *http.Request) {
	text := strings.ReplaceAll(string(assets().files["worker.js"].plain), "BUILD", assets().build)
	w.Header().Set("Cache-Control", "no-cache")
	asset{kind: "text/javascript; charset=utf-8", plain: []byte(text), zipped: zip([]byte(text))}.serve(w, r)
}

func serveManifest(w http.ResponseWriter, r *http.Request) {
	text := strings.ReplaceAll(string(assets().files["manifest.json"].plain), "BUILD", assets().build)
	w.Header().Set("Cache-Control", "no-cache")
	asset{kind: "application/manifest+json", plain: []byte(text)}.serve(w, r)
}

// quickly compresses what is written for one reader only.
func quickly(text []byte) []byte {
	var out bytes.Buffer
	z, _ := gzip.NewWriterLevel(&out, gzip.BestSpeed) // the level is one there is
	_, _ = z.Write(text)                              // a buffer takes everything
	_ = z.Close()
	return out.Bytes()
}
