package api

import (
	"net/http"

	"slabwright/internal/rim/photo"
	"slabwright/internal/rim/store"
)

// route is one address of the interface: how it is served and how it is described.
type route struct {
	method, path string
	name         string // the operation's id
	says         string
	query        []parameter
	body         any    // an example of the body's type
	media        string // of the body, where it is not JSON
	status       int    // of the usual answer; 0: 200
	replaced     bool   // answers 200 in the same way when it replaced something
	tagged       bool   // has an ETag: 304 when the caller has it already
	answer       any    // an example of the answer's type; nil: none, or another medium
	produces     string // medium of an answer that is not JSON
	match        string // the header a write must or may carry
	limit        int64  // of the body in bytes; 0: the usual one
	stream       bool   // open until the caller leaves
	handle       func(http.ResponseWriter, *http.Request) error
}

// parameter is a part of an address's query.
type parameter struct{ name, says string }

// routes is the whole interface.
func (s *Server) routes() []route {
	job := Prefix + "/jobs/{job}"
	return []route{
		{method: "GET", path: "/health", name: "health", says: "Is the server there and can it read its file?", answer: Health{}, handle: s.health},
		{method: "GET", path: "/api/openapi.json", name: "describe", says: "This description.", produces: "application/json", handle: s.getOpenAPI},
		{method: "GET", path: Prefix + "/schema", name: "schema", says: "The JSON Schema of a job document.", produces: "application/json", handle: s.getSchema},
		{method: "GET", path: Prefix + "/boxes", name: "boxes", says: "What a person may type into the fields named, with units, usual range and words to choose from.",
			query: []parameter{{"pointer", "a field; may stand several times"}, {"units", "us or metric"}}, answer: Boxes{}, handle: s.getBoxes},
		{method: "POST", path: Prefix + "/read", name: "read", says: "Read text as a person types it into the box of a field: read back, note, ask or stop.", body: Typed{}, answer: Read{}, handle: s.postRead},

		{method: "GET", path: Prefix + "/shop", name: "getShop", says: "The shop's own lists: the document, and every value a shop may set as it stands.", answer: ShopView{}, tagged: true, handle: s.getShop},
		{method: "PUT", path: Prefix + "/shop/changes/{change}", name: "putShopChange", says: "Set values on the shop's lists. The same id twice is once.", body: ShopChange{}, answer: Put{}, handle: s.putShopChange},
		{method: "GET", path: Prefix + "/shop/history", name: "listShopHistory", says: "What was set on the shop's lists when and by whom, newest first.", answer: ShopHistory{}, handle: s.listShopHistory},
		{method: "GET", path: Prefix + "/shop/schema", name: "shopSchema", says: "The JSON Schema of a shop's lists.", produces: "application/json", handle: s.getShopSchema},

		{method: "GET", path: Prefix + "/week", name: "getWeek", says: "Some days of the shop: crews by day, clashes, plants by the hour, what waits, what changed.",
			query: []parameter{{"from", "first day; this week's Monday when left out"}, {"days", "how many; 7 when left out"}}, answer: WeekView{}, handle: s.getWeek},
		{method: "GET", path: Prefix + "/week.csv", name: "getWeekTable", says: "The same days as a table, one row a job.",
			query: []parameter{{"from", "first day"}, {"days", "how many"}}, produces: "text/csv", handle: s.getWeekTable},

		{method: "GET", path: Prefix + "/days/{day}/sheets.pdf", name: "getDaySheets", says: "The sheets of every job that pours on a day, by crew, behind a list; it counts as a print of each.",
			query: []parameter{{"only", "which sheets, with commas; what a crew takes along when left out"}}, produces: "application/pdf", handle: s.getDaySheets},
		{method: "GET", path: Prefix + "/days/{day}/sheets.zip", name: "getDayPack", says: "The same with a file for each crew, in one archive.",
			query: []parameter{{"only", "which sheets"}}, produces: "application/zip", handle: s.getDayPack},

		{method: "GET", path: Prefix + "/jobs", name: "listJobs", says: "Jobs, last changed first.", query: []parameter{{"find", "words its title, number or address all hold"}, {"after", "next of the list before"},
			{"limit", "how many; 100 when left out"}, {"binned", "1: what lies in the bin"},
			{"from", "that pour on this day or later, like 2027-06-14"}, {"until", "that pour on this day or earlier"}}, answer: JobList{}, handle: s.listJobs},
		{method: "PUT", path: job, name: "putJob", says: "Put a job down: new under an id its author made, or in place of a revision. YAML job files are taken too.",
			body: map[string]any{}, status: 201, answer: Put{}, replaced: true, match: "If-Match", handle: s.putJob},
		{method: "GET", path: job, name: "getJob", says: "The job document, with its revision as ETag.", answer: map[string]any{}, tagged: true, handle: s.getJob},
		{method: "DELETE", path: job, name: "binJob", says: "Move a job to the bin, for thirty days.", status: 204, match: "If-Match", handle: s.deleteJob},
		{method: "PUT", path: job + "/restored", name: "restoreJob", says: "Take a job out of the bin.", answer: Put{}, handle: s.restoreJob},

		{method: "PUT", path: job + "/changes/{change}", name: "putChange", says: "Change fields in one named step, merged with what others changed. The same id twice is once.", body: Change{}, answer: store.Answer{}, handle: s.putChange},
		{method: "GET", path: job + "/changes", name: "listChanges", says: "What happened to a job since a revision, and what two people said differently.", query: []parameter{{"since", "the last revision known"}}, answer: History{}, handle: s.listChanges},
		{method: "PUT", path: job + "/differences/{n}", name: "settleDifference", says: "Say which of two values is kept.", body: Kept{}, answer: Put{}, handle: s.settle},

		{method: "POST", path: job + "/answers", name: "ask", says: "Answers of the stages asked for, with fields tried but not stored.", body: Question{}, answer: Answers{}, handle: s.postAnswers},
		{method: "GET", path: job + "/answers/{stage}", name: "getAnswer", says: "The whole answer of one stage.", answer: Stage{}, tagged: true, handle: s.getAnswer},
		{method: "GET", path: job + "/pictures/{name}", name: "getPicture", says: "A picture: name.svg to look at, name.json with its finding, table and scale.", query: []parameter{{"stage", "whose picture; quicker when said"},
			{"bw", "1: black on white"}, {"wide", "most width of its paper, mm"}, {"high", "most height, mm"}}, produces: "image/svg+xml", tagged: true, handle: s.getPicture},
		{method: "POST", path: job + "/pictures/{name}", name: "tryPicture", says: "The picture with fields tried but not stored.", query: []parameter{{"stage", "whose picture"}, {"bw", "1: black on white"}, {"wide", "most width of its paper, mm"}, {"high", "most height, mm"}},
			body: Question{}, produces: "image/svg+xml", handle: s.tryPicture},
		{method: "GET", path: job + "/why/{figure}", name: "why", says: "How a figure (order.yards) or a whole stage (order) was worked out.", query: []parameter{{"deep", "1: down to what was said and assumed"}}, answer: Why{}, handle: s.getWhy},
		{method: "GET", path: job + "/assumed", name: "listAssumed", says: "Every guess; ranked by what it moves once the work \"assumed\" is done.", answer: Assumed{}, handle: s.getAssumed},

		{method: "PUT", path: job + "/works/{work}", name: "startWork", says: "Start a long piece of work: hold, backing and assumed, which stand in the answers when done; pack, price-risk and weather, which find a file.", body: Start{}, status: 202, answer: Work{}, handle: s.putWork},
		{method: "GET", path: job + "/works/{work}", name: "getWork", says: "How far a long piece of work is.", answer: Work{}, handle: s.getWork},
		{method: "DELETE", path: job + "/works/{work}", name: "cancelWork", says: "Stop a long piece of work.", status: 204, handle: s.deleteWork},
		{method: "GET", path: job + "/works/{work}/result", name: "getResult", says: "The file a long piece of work found.", produces: "application/zip", tagged: true, handle: s.getResult},
		{method: "GET", path: Prefix + "/works", name: "listWorks", says: "The long works under way and of the last day, and who does them.", answer: Workshop{}, handle: s.listWorks},
		{method: "PUT", path: Prefix + "/works/{work}", name: "startShopWork", says: "Start a long piece of work about all jobs: packs, the sheets of every job that pours on a day.", body: Start{}, status: 202, answer: Work{}, handle: s.putWork},
		{method: "GET", path: Prefix + "/works/{work}", name: "getShopWork", says: "How far it is.", answer: Work{}, handle: s.getWork},
		{method: "DELETE", path: Prefix + "/works/{work}", name: "cancelShopWork", says: "Stop it.", status: 204, handle: s.deleteWork},
		{method: "GET", path: Prefix + "/works/{work}/result", name: "getShopResult", says: "The file it found.", produces: "application/zip", tagged: true, handle: s.getResult},
		{method: "GET", path: job + "/events", name: "events", says: "A stream of events: changed, binned, work.", produces: "text/event-stream", stream: true, handle: s.events},

		{method: "GET", path: job + "/attachments", name: "listAttachments", says: "The files beside a job.", answer: Attachments{}, handle: s.listAttachments},
		{method: "PUT", path: job + "/attachments/{name}", name: "putAttachment", says: "Put a file beside a job; forecast_file in the job names one.", media: "text/csv", body: "", answer: store.Attachment{}, limit: maxAttachment, handle: s.putAttachment},
		{method: "GET", path: job + "/attachments/{name}", name: "getAttachment", says: "A file beside a job.", produces: "text/csv", tagged: true, handle: s.getAttachment},

		{method: "GET", path: job + "/photos", name: "listPhotos", says: "The photos of a job, as they came.", answer: Photos{}, handle: s.listPhotos},
		{method: "PUT", path: job + "/photos/{name}", name: "putPhoto", says: "Keep a photo of a job, JPEG or PNG. It is written anew as a JPEG of at most 2048 pixels, without the camera's notes. The same again is once; what is there is never changed. record/photos in the job says what it shows.",
			query: []parameter{{"keep", "time, place, or both with a comma: what of the camera's notes is kept beside it"}, {"by", "who took it"}}, media: "image/jpeg", body: "", answer: store.Photo{}, limit: photo.MaxBytes + 1, handle: s.putPhoto},
		{method: "GET", path: job + "/photos/{name}", name: "getPhoto", says: "A photo of a job.", query: []parameter{{"small", "1: the small copy"}}, produces: "image/jpeg", tagged: true, handle: s.getPhoto},

		{method: "GET", path: job + "/sheets", name: "listSheets", says: "The sheets that can be printed of a job, and the prints that went out.", answer: Sheets{}, handle: s.listSheets},
		{method: "GET", path: job + "/sheets/{file}", name: "getSheet", says: "One file of the pack; it counts as a print.", produces: "application/pdf", tagged: true, handle: s.getSheet},
		{method: "GET", path: job + "/pack.zip", name: "getPack", says: "All sheets in one archive; it counts as a print.", produces: "application/zip", handle: s.getPack},
	}
}
