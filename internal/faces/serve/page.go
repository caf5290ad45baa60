package serve

import (
	"net/http"

	"slabwright/internal/faces/api"
)

// Page makes the page that people open.
func Page(*api.Server) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		http.Redirect(w, r, "/api/openapi.json", http.StatusFound)
	})
}
