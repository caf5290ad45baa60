package api

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"slabwright/internal/rim/photo"
	"slabwright/internal/rim/store"
	"slabwright/internal/trade/record"
)

// Photos lists the photos of a job.
type Photos struct {
	Photos []store.Photo `json:"photos"`
}

// putPhoto takes a photo in: decoded, turned upright, made smaller and written anew, so that nothing else of the file is kept.
func (s *Server) putPhoto(w http.ResponseWriter, r *http.Request) error {
	job, name := r.PathValue("job"), r.PathValue("name")
	if !aFileName.MatchString(name) || !strings.HasSuffix(name, ".jpg") {
		return problem(http.StatusBadRequest, "The photo cannot have this name.", "Name it like base-1.jpg: letters, digits, dots and dashes, ending in .jpg; a PNG is kept as a JPEG too.")
	}
	if _, err := s.store.Job(r.Context(), job); err != nil {
		return err
	}
	src, err := io.ReadAll(r.Body)
	if err != nil {
		return err
	}
	keep := strings.Split(r.FormValue("keep"), ",")
	taken, err := s.develop(r, src, photo.Kept{Time: slices.Contains(keep, "time"), Place: slices.Contains(keep, "place")})
	if refused := (photo.Refused{}); errors.As(err, &refused) {
		return problem(http.StatusUnprocessableEntity, refused.Why, refused.Instead)
	}
	if err != nil {
		return err
	}
	p := store.Photo{Name: name, Full: taken.Full, Small: taken.Small, Width: taken.Width, Height: taken.Height, Taken: taken.Taken, By: by(r.Context(), r.FormValue("by"))}
	if taken.Place != nil {
		p.Place = fmt.Sprintf("%.6f %.6f", taken.Place.Latitude, taken.Place.Longitude)
	}
	added, again, err := s.store.AddPhoto(r.Context(), job, p)
	switch {
	case errors.Is(err, store.ErrThere):
		return problem(http.StatusConflict, "There is another photo of this name.", "Send it under a new name; what is there stays.")
	case errors.Is(err, store.ErrPhotos):
		return problem(http.StatusUnprocessableEntity, fmt.Sprintf("The job has %d photos, as many as it may.", store.MostPhotos), "Keep the rest elsewhere, or start a job for the next part.")
	case err != nil:
		return err
	}
	if !again {
		w.Header().Set("ETag", strconv.Quote(added.Version))
	}
	return reply(w, http.StatusOK, added)
}

// develop takes one photo in at a time: a large one takes room.
func (s *Server) develop(r *http.Request, src []byte, keep photo.Kept) (photo.Photo, error) {
	select {
	case s.darkroom <- struct{}{}:
		defer func() { <-s.darkroom }()
		return photo.Take(src, keep)
	case <-r.Context().Done():
		return photo.Photo{}, r.Context().Err()
	}
}

func (s *Server) getPhoto(w http.ResponseWriter, r *http.Request) error {
	small := r.FormValue("small") != ""
	p, err := s.store.Photo(r.Context(), r.PathValue("job"), r.PathValue("name"), small)
	if err != nil {
		return err
	}
	tag := p.Version
	if small {
		tag += "-small"
	}
	if fresh(w, r, strconv.Quote(tag)) {
		return nil
	}
	w.Header().Set("Content-Type", "image/jpeg")
	w.Header().Set("Content-Disposition", "inline; filename="+strconv.Quote(p.Name))
	w.Header().Set("Cache-Control", "private, max-age=31536000, immutable")
	_, _ = w.Write(append(p.Full, p.Small...)) // one of them is read
	return nil
}

func (s *Server) listPhotos(w http.ResponseWriter, r *http.Request) error {
	if _, err := s.store.Job(r.Context(), r.PathValue("job")); err != nil {
		return err
	}
	all, err := s.store.Photos(r.Context(), r.PathValue("job"))
	if err != nil {
		return err
	}
	return reply(w, http.StatusOK, Photos{all})
}

// smallPhotos are the small copies of the photos a record names; one that has not come yet is left out.
func (s *Server) smallPhotos(ctx context.Context, job string, named []record.Photo) (map[string][]byte, error) {
	out := map[string][]byte{}
	for _, p := range named {
		kept, err := s.store.Photo(ctx, job, p.File.Value, true)
		switch {
		case err == nil:
			out[p.File.Value] = kept.Small
		case !errors.Is(err, store.ErrAbsent):
			return nil, err
		}
	}
	return out, nil
}
