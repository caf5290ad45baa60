package sources

// Sources of the site chapter.
const ()

var site = []Source{}
