# Everything a person or a machine does with this repository. `make help` lists it.
.DEFAULT_GOAL := help
BIN := bin/soletrial
CROSS := windows/amd64 darwin/arm64 linux/arm64
# Where the time of a run goes. Inlining makes a program a tenth larger, so only these have it.
INLINED := bytes compress/flate image/png internal/runtime/... math/... runtime slices strconv strings \
	unicode/utf8 golang.org/x/image/vector $(addprefix ./pipeline/,compare decide markup plaintext \
	recording site stats steady sums units)
# How every program is built, here and for a release, so that both are the same bytes: no path
# and no commit in it, no tables for debuggers, and no HTTP/2, which serve has no use for.
BUILD_FLAGS := -trimpath -buildvcs=false -tags=nethttpomithttp2 -gcflags=all=-l $(INLINED:%=-gcflags=%=) -ldflags="-s -w"
# No C compiler has a part in the program, so that it is the same bytes on every machine.
export CGO_ENABLED := 0
# The Go that go.mod names, which go fetches like a module where it is not there. What
# is set in the environment is obeyed, and where it cannot be fetched, the Go that is
# there builds too. The probe is a shell's, for make before 4.4 exports nothing to it.
ifndef GOTOOLCHAIN
ifneq ($(filter-out help clean,$(or $(MAKECMDGOALS),help)),)
export GOTOOLCHAIN := $(shell GOTOOLCHAIN=auto go version >/dev/null && echo auto || echo local)
ifeq ($(GOTOOLCHAIN),local)
$(warning the Go that go.mod names cannot be fetched, so the one that is here builds; GOTOOLCHAIN=local in the environment does not even try)
endif
endif
endif
WASM := GOOS=js GOARCH=wasm PATH="$$(go env GOROOT)/lib/wasm:$$PATH"

help: ## list the targets
	@grep -E '^[a-z-]+:.*##' $(MAKEFILE_LIST) | sed 's/:.*##/\t/' | expand -t 22

viewer: ## build the explorer into viewer/bundle/dist and print its size
	go run ./scripts/viewer

build: viewer ## build the program with the explorer inside, and soletrial-export beside it
	go build $(BUILD_FLAGS) -o bin/ ./cmd/soletrial ./cmd/soletrial-export

release: viewer ## archives for every system into release/, with SHA256SUMS (minutes)
	rm -rf release
	go run ./scripts/release -o release $(if $(FOR),-for $(FOR)) -- $(BUILD_FLAGS)

fresh: build ## from a release archive alone to a site, by README's first screen, in an empty folder
	BUILD_FLAGS='$(BUILD_FLAGS)' sh scripts/fresh.sh

man: # the manual pages as mandoc reads them; part of test
	sh scripts/lint-man.sh

hosted: ## a clone under the path of a host, with scripts/rename-module.sh: it builds with the explorer inside (minutes)
	sh scripts/rename-check.sh

commands: ## write the list of commands in cmd/README.md anew
	go run ./cmd/internal/manual -readme

site: build ## check and derive data/, publish it to public/
	$(BIN) check
	$(BIN) derive
	$(BIN) publish

run: site ## the same, then serve it on 127.0.0.1 and print the address
	$(BIN) serve

demo: ## write the invented demonstration dataset anew and derive it
	go run ./scripts/demo -o data
	go run ./cmd/soletrial derive

test: ## everything: installs Chromium, Firefox, WebKit, Node, an emulator and what checks pages when they are missing
	$(MAKE) -j2 test-tools test-programs
	$(MAKE) -j2 test-here test-elsewhere

# What the two halves below need is installed while programs are compiled: one waits for the network, the other
# for the processor.
test-tools:
	@sh scripts/need.sh chromium >/dev/null && sh scripts/need.sh checkers >/dev/null
	@sh scripts/need.sh firefox >/dev/null || echo "skipped: the explorer in Firefox: no Firefox could be installed"
	@sh scripts/need.sh webkit >/dev/null && sh scripts/need.sh xvfb >/dev/null || echo "skipped: the explorer and the track page in WebKit: no WebKit could be installed"
	@sh scripts/need.sh cc >/dev/null && sh scripts/need.sh node >/dev/null && sh scripts/need.sh mandoc >/dev/null

test-programs:
	$(MAKE) rules
	$(MAKE) build
	go vet ./...

# The two halves of test run side by side, since browsers mostly wait. Neither installs or builds
# what the other reads: all of that is there before they start. What go vet has looked at above,
# go test need not.
test-here: # the tests, with browsers
	SOLETRIAL_BROWSER=required CHROMIUM="$$(sh scripts/need.sh chromium)" CHECKERS="$$(sh scripts/need.sh checkers)" go test -vet=off -timeout 45m ./...

test-elsewhere: # the same code under the race detector, in WebAssembly, for other systems, and out of an archive
	$(MAKE) supply
	$(MAKE) race
	$(MAKE) test-wasm
	$(BIN) derive --verify
	$(MAKE) cross
	$(MAKE) man
	BUILD_FLAGS='$(BUILD_FLAGS)' sh scripts/fresh.sh
	$(MAKE) hosted
	$(MAKE) parity-demo

quick: ## what to run while writing: rules and all tests that need no browser and no network
	go vet ./...
	go run ./scripts/rules
	go test -short ./...

# Packages that start goroutines, and the server, whose requests share a site. The
# detector needs a C compiler; the program itself never does.
RACE = ./cmd/internal/cli/serve $$(git grep -lE '\bgo func|\.Go\(|\bparallel\.[A-Z]' -- 'cmd/internal/*.go' 'pipeline/*.go' 'viewer/load/*.go' \
	| xargs -n1 dirname | sort -u | sed 's,^,./,')

# Tests that run the same goroutines once more, for the sake of numbers and bytes: minutes of the detector.
NO_RACE = TestReferenceTurnsThePair|TestRelabellingTurnsTheSign|TestDriftIsTakenOut|TestScaleDoesNotMatter
NO_RACE := $(NO_RACE)|TestReadingBackNotices|TestSameBytesEveryTime|TestChancesFromNothing|TestFourShoesTakeLonger

# Scripts of commands that do the same work once more, for the sake of their texts.
NO_RACE_SCRIPTS = check_(answer|stop|texts)|derive_(line_ends|waits)

race: ## the tests of everything that starts goroutines, and its commands, under the race detector
	CC="$$(sh scripts/need.sh cc)" CGO_ENABLED=1 go test -race -vet=off -timeout 45m -short -skip '^($(NO_RACE))$$' $(RACE)
	CC="$$(sh scripts/need.sh cc)" CGO_ENABLED=1 go test -race -vet=off -timeout 45m -short -run 'TestScripts/(check|derive|pool|publish|serve)' \
		-skip 'TestScripts/($(NO_RACE_SCRIPTS))' ./cmd/soletrial

# Thousands of fits, which say nothing of WebAssembly that those of the other tests do not.
NO_WASM = TestGridIsFineEnough|TestChancesFromNothing|TestFourShoesTakeLonger

test-wasm: ## the pure packages' tests once more, compiled to WebAssembly, under Node
	sh scripts/need.sh node >/dev/null
	$(WASM) go test -vet=off -timeout 45m -skip '^($(NO_WASM))$$' $$(go run ./scripts/rules -pure)

cross: ## build and vet the programs for the other systems it is for, and what runs in browsers
	@set -e; for target in $(CROSS); do \
		echo "cross: $$target"; export GOOS=$${target%/*} GOARCH=$${target#*/}; \
		go build -trimpath -buildvcs=false -o /dev/null ./cmd/soletrial ./cmd/soletrial-export; \
		go vet -trimpath ./...; \
	done
	GOOS=js GOARCH=wasm go vet ./viewer/... ./scripts/parity/inwasm

rules: ## the rules of the house: imports, purity, size, documentation, licences of what is brought in
	go run ./scripts/rules
	go run ./scripts/licences -check

licences: ## write the licences of all dependencies down anew
	go run ./scripts/licences

supply: ## what is brought in: the modules' sums, and what the Go vulnerability database knows of them and of Go
	go mod verify
	go run ./scripts/vulnerable

reproducible: ## build the program from two clones in different folders, and compare the bytes (a minute or two)
	sh scripts/reproducible.sh

reproducible-release: ## the same with the archives: of every system from one clone, of this one from the other (minutes)
	sh scripts/reproducible.sh release

parity-demo: parity-tools ## the derived tables of data/ in every way this machine has, byte for byte
	go run ./scripts/parity

mutants: ## 3,000 damaged recordings: no import writes what check refuses (minutes)
	go run ./scripts/mutants -n 3000 pipeline/recording/testdata/days/*.fit $(wildcard ../shared/recordings/g*) $(wildcard ../shared/days/*/*.fit*)

faults: ## kill -9, full disks, races, hostile files and links against the built program (minutes)
	go run ./scripts/faults

browser-faults: viewer ## every file, storage and address of the explorer broken in a real browser, 2,000 actions (half an hour)
	@failed=$$(mktemp -u); { SOLETRIAL_BROWSER=required CHROMIUM="$$(sh scripts/need.sh chromium)" \
		go test -timeout 2h -v ./cmd/soletrial -run 'TestBrowserFaults$$' -browser-faults 2000 || touch "$$failed"; } | \
		grep -v '^=== \|^ *--- PASS'; if [ -e "$$failed" ]; then rm "$$failed"; exit 1; fi

parity: parity-tools ## the same over the real recordings and 200 invented sessions too (minutes)
	go run ./scripts/parity -all

parity-tools: # parity says what it skips where one cannot be installed
	@for tool in node chromium firefox qemu-aarch64; do sh scripts/need.sh $$tool >/dev/null || true; done

size: site ## the size of every page of the demonstration, as it is and packed, against its budget
	go run ./scripts/size public

strings: ## every text that a user can read, with file and line, and what to look at again
	@go run ./scripts/strings
	@go run ./scripts/strings -marked | sed '$$d' | wc -l | xargs printf '%s texts to look at again: go run ./scripts/strings -marked\n'

bench: ## benchmarks; compare the figures within one run, not across machines
	go test -run '^$$' -bench . -benchmem ./pipeline/... ./viewer/app ./scripts/bulk ./cmd/internal/cli
	go test -run '^$$' -bench 'Explorer|Home|Track' -benchtime 60x ./cmd/soletrial

scale: viewer ## what every command and the explorer take with 3,000 sessions, and with 60 shoes (minutes)
	CHROMIUM="$$(sh scripts/need.sh chromium)" go run ./scripts/scale -explorer

simulate: ## what claims, chances and intervals are worth in simulated trials; fails beyond what Method says (minutes)
	go run ./scripts/simulate -table decisions
	go run ./scripts/simulate -table recorded -n 400
	go run ./scripts/simulate -table intervals -n 2000

MUTATED := $(addprefix ./pipeline/,stats decide quality steady sensor recording recording/segment randomise plan \
	compare forecast recommend pool align) ./viewer/app

mutate: ## how many of 60 changes of an operator in each package of the answer its tests notice (an hour)
	go run ./scripts/mutate -n 60 $(MUTATED)

fuzz: ## every fuzz target for 30 s
	sh scripts/fuzz.sh 30s

clean: ## remove what was built
	rm -rf bin public release viewer/bundle/dist/*.gz viewer/bundle/dist/*.js viewer/bundle/dist/*.css

.PHONY: test-tools test-programs test-here test-elsewhere release fresh man hosted commands faults browser-faults mutants help viewer build site run demo test quick race test-wasm rules parity parity-demo parity-tools cross licences supply reproducible reproducible-release size strings bench scale simulate mutate fuzz clean
