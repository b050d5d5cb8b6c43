# Wornwood: see README.md for what the targets do.
SHELL := /bin/bash

# The window is drawn with OpenGL ES: its bindings compile in half a minute
# where desktop OpenGL's take five. `make TAGS= run` takes desktop OpenGL.
TAGS ?= gles
DEMO ?= $(CURDIR)/demo-bench
STATICCHECK := honnef.co/go/tools/cmd/staticcheck@v0.8.2

# The window's toolkit grumbles about a locale of C; give it a real one.
ifeq ($(filter-out C POSIX,$(LANG)),)
export LANG := en_GB.UTF-8
endif

.PHONY: build verbs demo run test lint unit windowtest bench photos pictures clean

build:
	@.ci/need build
	go build -tags "$(TAGS)" -o wornwood .

# The verbs alone: no C compiler, no X11 headers, no display.
verbs:
	CGO_ENABLED=0 go build -tags ci -o wornwood .

demo: build
	@[ "$(DEMO)" != "$(CURDIR)/demo-bench" ] || rm -rf "$(CURDIR)/demo-bench"
	./wornwood demo "$(DEMO)"
	@if [ -n "$${DISPLAY:-}$${WAYLAND_DISPLAY:-}" ] && [ -z "$${CI:-}" ]; then ./wornwood window "$(DEMO)"; \
	else echo "no display here; on a desktop, open it with: ./wornwood window $(DEMO)"; fi

run: build
	./wornwood

test: lint unit windowtest
	@echo "make test: everything passed"

lint:
	@bad=$$(git ls-files '*.go' | xargs gofmt -l); if [ -n "$$bad" ]; then echo "not gofmt-ed: $$bad"; exit 1; fi
	CGO_ENABLED=0 go vet -tags ci ./... ./testdata
	CGO_ENABLED=0 go run $(STATICCHECK) -tags ci ./... ./testdata

# Unit, property, verb, screen and outside checks; no display needed.
unit:
	@.ci/need test bench
	CGO_ENABLED=0 go test -timeout 40m -tags ci ./... ./testdata

# The real window under Xvfb, by mouse and keyboard.
windowtest: build
	@.ci/need window
	WORNWOOD_BIN=$(CURDIR)/wornwood go test -tags "window $(TAGS)" -count=1 -v ./ui/windowtest

bench:
	@.ci/need build test bench window
	@$(MAKE) --no-print-directory build
	@go run -tags "bench ci" ./ui/measure ./wornwood

# Renders the demo photographs anew (they are kept in testdata/demo).
photos:
	go run testdata/render.go

# Makes the pictures of README anew.
pictures: build
	@.ci/need test window
	.ci/pictures

clean:
	rm -rf wornwood "$(DEMO)"
