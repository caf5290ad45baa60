package sources

// Sources of the curing chapter.
const ()

var curing = []Source{}
