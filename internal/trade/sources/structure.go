package sources

// Sources of the structure chapter.
const ()

var structure = []Source{}
