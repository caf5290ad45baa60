# The door: each target is one line.
.PHONY: all test soak race fuzz verify golden bench crash reference lint pages
FUZZTIME ?= 30s
CRASHES ?= 500
# Property tests draw from this seed, so that two runs test the same; make soak draws anew each time.
export RAPID_SEED ?= 20270617

all:        ; go build -trimpath -o slabwright ./cmd/slabwright
test:       ; ./tools/setup && go vet ./... && go test ./...
soak:       ; RAPID_SEED=0 go test -count=1 ./...
race:       ; go test -race ./...
fuzz:       ; ./tools/fuzz $(FUZZTIME)
verify:     ; go run ./cmd/slabwright verify
golden:     ; go test ./... -update && git diff --stat
bench:      ; go test -run '^$$' -bench . -benchmem ./...
crash:      ; go test -count=1 -v -timeout 2h -run Killed ./internal/rim/store -crashes $(CRASHES)
	go test -count=1 -v -timeout 1h -run Killed ./internal/rim/works -crashes 60 -crash-works 60
reference:  ; go test -tags reference ./internal/engines/...
lint:       ; test -z "$$(gofmt -l .)" && go vet ./... && go mod verify && go test ./internal -run Notice
pages:      ; go run ./tools/pages
