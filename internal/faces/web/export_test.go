package web

import "slabwright/internal/rim/store"

// Rights gives the tests every address of the page with the role it takes, and every screen with its own.
func Rights() (addresses, screensOfAJob map[string]store.Role) { return New(nil).rights, screenRights }
