package store

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"testing"
	"time"
)

func TestAPhotoIsKeptOnceAndNeverChanged(t *testing.T) { both(t, photoOnce) }

func photoOnce(t *testing.T, open opener) {
	ctx, c := context.Background(), newClock()
	s := open(t, c)
	if _, err := s.Create(ctx, "apron", map[string]any{}, About{}, ""); err != nil {
		t.Fatal(err)
	}
	p := Photo{Name: "base.jpg", Full: []byte("large"), Small: []byte("small"), Width: 20, Height: 10, Taken: "2027-06-10T07:42:00", Place: "44.51 -93.25", By: "Rosa"}
	first, again, err := s.AddPhoto(ctx, "apron", p)
	if err != nil || again {
		t.Fatal(again, err)
	}
	c.at = c.at.Add(time.Second)
	second, again, err := s.AddPhoto(ctx, "apron", p)
	if err != nil || !again || !second.Received.Equal(first.Received) {
		t.Errorf("again: %v %v, at %v and %v", again, err, first.Received, second.Received)
	}
	if _, _, err := s.AddPhoto(ctx, "apron", Photo{Name: "base.jpg", Full: []byte("other"), Small: []byte("o")}); !errors.Is(err, ErrThere) {
		t.Errorf("other bytes under the same name: %v", err)
	}
	if _, _, err := s.AddPhoto(ctx, "nowhere", p); !errors.Is(err, ErrAbsent) {
		t.Errorf("of no job: %v", err)
	}
	for small, want := range map[bool]string{false: "large", true: "small"} {
		got, err := s.Photo(ctx, "apron", "base.jpg", small)
		if err != nil || !bytes.Equal(append(got.Full, got.Small...), []byte(want)) || got.By != "Rosa" || got.Place != p.Place || got.Taken != p.Taken || got.Width != 20 {
			t.Errorf("read back %+v, %v", got, err)
		}
	}
	if _, err := s.Photo(ctx, "apron", "steel.jpg", true); !errors.Is(err, ErrAbsent) {
		t.Errorf("one that is not there: %v", err)
	}
	if all, err := s.Photos(ctx, "apron"); err != nil || len(all) != 1 || all[0].Full != nil {
		t.Errorf("listed %+v, %v", all, err)
	}
}

func TestAJobHasSoManyPhotosAndNoMore(t *testing.T) { both(t, photosInAll) }

func photosInAll(t *testing.T, open opener) {
	ctx := context.Background()
	s := open(t, newClock())
	if _, err := s.Create(ctx, "apron", map[string]any{}, About{}, ""); err != nil {
		t.Fatal(err)
	}
	for i := range MostPhotos {
		if _, _, err := s.AddPhoto(ctx, "apron", Photo{Name: fmt.Sprintf("%d.jpg", i), Full: []byte{byte(i)}, Small: []byte{1}}); err != nil {
			t.Fatal(err)
		}
	}
	if _, _, err := s.AddPhoto(ctx, "apron", Photo{Name: "more.jpg", Full: []byte("more"), Small: []byte{1}}); !errors.Is(err, ErrPhotos) {
		t.Errorf("one more: %v", err)
	}
}
