package serve

import (
	"net/http"

	"slabwright/internal/faces/api"
	"slabwright/internal/faces/web"
)

// Page makes the page that people open.
func Page(a *api.Server) http.Handler { return web.New(a) }
