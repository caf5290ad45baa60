package sources

// Sources of the concrete chapter.
const ()

var concrete = []Source{}
