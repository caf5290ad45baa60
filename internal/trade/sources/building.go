package sources

// Sources of the building chapter.
const ()

var building = []Source{}
