package web_test

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/dom"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// snapshot is a JPEG file as a phone would make one.
func snapshot(t testing.TB) string {
	t.Helper()
	img := image.NewRGBA(image.Rect(0, 0, 1200, 900))
	for y := range 900 {
		for x := range 1200 {
			img.Set(x, y, color.RGBA{uint8(x / 5), uint8(y / 4), 120, 255})
		}
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, nil); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "IMG_0001.jpg")
	if err := os.WriteFile(path, b.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// bring puts a file into the box for files.
func (b *tab) bring(selector, path string) {
	b.Helper()
	b.Actions++
	if _, err := asked(b, func(ctx context.Context) (chromedp.Void, error) {
		root, err := chromedp.Call(ctx, dom.GetDocument, dom.GetDocumentParams{})
		if err != nil {
			return chromedp.Void{}, err
		}
		found, err := chromedp.Call(ctx, dom.QuerySelector, dom.QuerySelectorParams{NodeID: root.Root.NodeID, Selector: selector})
		if err != nil {
			return chromedp.Void{}, err
		}
		_, err = chromedp.Call(ctx, dom.SetFileInputFiles, dom.SetFileInputFilesParams{NodeID: found.NodeID, Files: []string{path}})
		return chromedp.Void{}, err
	}); err != nil {
		b.Fatal(err)
	}
}

// A photo of a ticket, taken without signal: on this device at once, at the office once there is signal, on the plan, beside its
// ticket, in the log of who wrote what, and on the sheets.
func TestAPhotoOfATicketWithoutSignal(t *testing.T) {
	b := screenOf(t, office(t), 390, 844)
	b.open("/")
	job := practice(b)
	b.open("/jobs/" + job + "/record")
	b.signal(false)
	b.bring("#photofile", snapshot(t))
	b.until(`document.querySelectorAll("#photolist li").length === 1`)
	b.until(`document.querySelector("#photolist img").naturalWidth > 0`)
	if says := b.text("#photolist"); !strings.Contains(says, "Will be sent") {
		t.Errorf("it says %q", says)
	}
	b.until(`/Will send when there is signal \(2\)/.test(document.getElementById("saved").textContent)`)
	b.open("/jobs/" + job + "/record") // the page is killed and opened again, still without signal
	b.until(`document.querySelectorAll("#photolist li").length === 1 && document.querySelector("#photolist img").naturalWidth > 0`)
	b.picture("nosignal")
	b.signal(true)
	b.do(chromedp.Evaluate[chromedp.Void](`slabwright.job.send()`))
	b.until(fmt.Sprintf(`(fetch("/api/v1/jobs/%s/photos").then((r) => r.json()).then((d) => { window.come = d.photos?.length; }), window.come === 1)`, job))
	b.until(`slabwright.job.photosWaiting === 0`)
	b.settled()
	b.choose("What it shows, photo P1", "ticket")
	b.settled()
	b.press("button", "Add a row to Tickets")
	b.fill("Ticket, row 1", "1042")
	b.settled()
	b.fill("Ticket, photo P1", "1042")
	b.settled()
	b.until(`document.querySelector('[data-list="/order/tickets"] .ticketphoto')`)
	b.press("button", "Place on the plan, photo P1")
	b.focus("application", "Plan of the slab. Tab goes from corner to corner, arrow keys move it by 1/8 inch, with Shift by 1 foot.")
	b.keys(kb.Enter)
	b.settled()
	b.focus("button", "Photo P1")
	for range 3 {
		b.keys(kb.ArrowRight, kb.ModifierShift)
	}
	b.until(`!slabwright.page.sketch.keyed`)
	b.settled()
	b.picture("placed")
	row := get[map[string]any](b, `slabwright.job.doc.record.photos[0]`)
	if row["of"] != "ticket" || row["ticket"] != "1042" || row["x"] == nil || row["y"] == nil {
		t.Errorf("the record has %v", row)
	}
	b.fill("Words, photo P1", "signed by the driver")
	b.settled()
	b.fill("Words, photo P1", "signed by the plant")
	b.settled()
	b.open("/jobs/" + job + "/record")
	b.do(chromedp.Evaluate[chromedp.Void](`document.querySelector(".written").open = true`))
	log := b.text(".written")
	for _, want := range []string{"Photo added", "Photo P1 words signed by the plant", "signed by the driver"} {
		if !strings.Contains(log, want) {
			t.Errorf("what was written down lacks %q:\n%s", want, log)
		}
	}
	if !get[bool](b, `[...document.querySelectorAll(".written del")].some((d) => d.textContent.trim() === "says signed by the driver")`) {
		t.Error("what was put right does not stand beside what was there")
	}
	whole := get[string](b, fmt.Sprintf(`fetch("/api/v1/jobs/%s/sheets/whole-job.html").then((r) => r.text())`, job))
	if !strings.Contains(whole, "data:image/jpeg;base64,") || !strings.Contains(whole, "signed by the plant") {
		t.Error("the whole job in one file lacks the photo")
	}
}
