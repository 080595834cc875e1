# SPDX-License-Identifier: GPL-3.0-or-later
# `make help` lists the targets. MODE=release|debug|asan|cov builds into build/$(MODE).

VERSION := 0.1.0
MODE ?= release
JOBS ?= $(shell nproc 2>/dev/null || echo 2)
FUZZ_SECONDS ?= 10
PREFIX ?= /usr/local
LIBDIR ?= $(PREFIX)/lib
DATA_FOLDER := $(PREFIX)/share/mouldwright
MODULE_FOLDER := $(LIBDIR)/mouldwright

IS_CLANG := $(findstring clang,$(shell $(CC) --version 2>/dev/null))
BUILD ?= build
OUT := $(BUILD)/$(MODE)$(if $(IS_CLANG),$(if $(filter fuzz,$(MODE)),,-clang))

# --- flags -------------------------------------------------------------------------------------
# CFLAGS, CPPFLAGS and LDFLAGS are the user's. Ours stand in variables of their own.

ifeq ($(MODE),release)
CFLAGS ?= -O2 -g
else ifeq ($(MODE),debug)
CFLAGS ?= -O0 -g3
else ifeq ($(MODE),asan)
CFLAGS ?= -O1 -g
MODE_FLAGS := -fsanitize=address,undefined -fno-sanitize-recover=all -fno-omit-frame-pointer
MODE_DEFINES := -DMW_ARENA_DEBUG
# What libraries of others keep to the end is no leak of ours.
export LSAN_OPTIONS := suppressions=$(CURDIR)/tests/tools/lsan-suppressions:print_suppressions=0
else ifeq ($(MODE),cov)
CFLAGS ?= -O0 -g
MODE_FLAGS := --coverage
else ifeq ($(MODE),fuzz)
CFLAGS ?= -O1 -g
MODE_FLAGS := -fsanitize=address,undefined -fno-sanitize-recover=all -fno-omit-frame-pointer
MODE_COMPILE := -fsanitize=fuzzer-no-link
MODE_DEFINES := -DMW_ARENA_DEBUG
else
$(error MODE is release, debug, asan, cov or fuzz, not "$(MODE)")
endif

# Warnings stop our own builds; a user's release build with whatever compiler goes on.
WERROR ?= $(if $(filter release,$(MODE)),0,1)

WARNINGS := -Wall -Wextra -Wpedantic -Wshadow -Wconversion -Wdouble-promotion -Wstrict-prototypes \
            -Wmissing-prototypes -Wswitch-enum -Wvla -Wundef -Wformat=2 -Wcast-qual -Wwrite-strings \
            $(if $(filter 1,$(WERROR)),-Werror)
# Contracted multiply-adds would give other last bits on other machines.
OUR_CFLAGS := -std=c17 -ffp-contract=off -ffile-prefix-map=$(CURDIR)=. $(WARNINGS) $(MODE_FLAGS)
OUR_CPPFLAGS := -Iinclude -Isrc -D_XOPEN_SOURCE=700 -DMW_VERSION='"$(VERSION)"' $(MODE_DEFINES)
COMPILE = $(CC) $(OUR_CPPFLAGS) $(CPPFLAGS) $(OUR_CFLAGS) $(MODE_COMPILE) $(CFLAGS) -MMD -MP -c -o $@ $<
LINK = $(CC) $(OUR_CFLAGS) $(CFLAGS) $(LDFLAGS) -o $@

# V=1 shows the whole commands.
Q := $(if $(filter 1,$(V)),,@)
say = $(if $(Q),@echo '  $(1) $(2)')

package_libs = $(or $(shell pkg-config --libs $(1) 2>/dev/null),$(2))
GSL_LIBS := $(call package_libs,gsl,-lgsl -lgslcblas)
YAML_LIBS := $(call package_libs,yaml-0.1,-lyaml)
# What a program needs that uses the library, by the names pkg-config knows.
LIBRARY_REQUIRES := yaml-0.1, gsl
READLINE_LIBS := $(call package_libs,readline,-lreadline)
CMOCKA_LIBS := $(call package_libs,cmocka,-lcmocka)
PDF_LIBS := $(call package_libs,pangocairo pangoft2 fontconfig,-lpangocairo-1.0 -lpangoft2-1.0 -lpango-1.0 \
    -lgobject-2.0 -lglib-2.0 -lcairo -lfontconfig)
# As headers of the system: our warnings are not for them.
PDF_CPPFLAGS := $(patsubst -I%,-isystem %,$(filter -I%,$(shell pkg-config --cflags pangocairo pangoft2 fontconfig 2>/dev/null)))

# --- modules: src/LAYERS names them from the ground up ------------------------------------------

LAYERS := $(shell awk '/^[a-z]/ { print $$1 }' src/LAYERS)
ALONE := $(shell awk '/^[a-z]/ && $$2 == "alone" { print $$1 }' src/LAYERS)
# Loaded when it is needed, in no program and not in the library.
LOADED := $(shell awk '/^[a-z]/ && $$2 == "loaded" { print $$1 }' src/LAYERS)
MODULES := $(filter-out $(LOADED),$(foreach m,$(LAYERS),$(if $(wildcard src/$(m)/*.c),$(m))))

# USES_x: x and what it may call, in the order the linker wants: the highest first.
SEEN :=
$(foreach m,$(MODULES),$(eval SEEN := $(m) $(SEEN))$(eval USES_$(m) := $(SEEN)))
$(foreach m,$(filter $(ALONE),$(MODULES)),$(eval USES_$(m) := $(m) measure base))
LIBRARY_MODULES := $(filter-out cli,$(SEEN))

EXTERNAL_trade := $(GSL_LIBS)
EXTERNAL_recipe := $(YAML_LIBS)
EXTERNAL_cli := $(READLINE_LIBS)

archives = $(foreach m,$(1),$(OUT)/lib/mw_$(m).a)
externals = $(foreach m,$(1),$(EXTERNAL_$(m))) -lm
objects = $(patsubst %.c,$(OUT)/obj/%.o,$(sort $(wildcard $(1))))

# What is made before it is compiled: the pages of help.
MADE_OBJECTS := $(OUT)/obj/made/help_pages.o
CLI_OBJECTS := $(call objects,src/cli/*.c) $(MADE_OBJECTS)
PROGRAM := $(if $(CLI_OBJECTS),$(OUT)/mouldwright)
PDF_MODULE := $(OUT)/mouldwright-pdf.so

# --- tests ---------------------------------------------------------------------------------------

TEST_SOURCES := $(sort $(wildcard tests/test_*.c))
TESTS := $(patsubst tests/%.c,$(OUT)/tests/%,$(TEST_SOURCES))
FUZZ_NAMES := $(patsubst tests/fuzz/fuzz_%.c,%,$(sort $(wildcard tests/fuzz/fuzz_*.c)))
REPLAYS := $(FUZZ_NAMES:%=$(OUT)/fuzz/replay_%)
FUZZERS := $(FUZZ_NAMES:%=$(OUT)/fuzz/fuzz_%)
BENCHES := $(patsubst tests/bench/%.c,$(OUT)/bench/%,$(sort $(wildcard tests/bench/bench_*.c)))
BENCH_SHARED := $(filter-out $(BENCHES:$(OUT)/bench/%=$(OUT)/obj/tests/bench/%.o),$(call objects,tests/bench/*.c))

# Calls that tests/support.c can make fail.
WRAPPED := malloc calloc realloc aligned_alloc open read write fsync close rename mkstemp ftruncate unlink
WRAP := $(WRAPPED:%=-Wl,--wrap=%)

# test_recipe_yaml and fuzz_recipe_yaml belong to the module recipe; what names no module uses all.
module_of = $(firstword $(subst _, ,$(patsubst test_%,%,$(1))))
uses_of = $(or $(USES_$(call module_of,$(1))),$(LIBRARY_MODULES))

NEED := CC='$(CC)' CPPFLAGS='$(CPPFLAGS)' tests/tools/need
NEED_BUILD := libyaml-dev libreadline-dev libgsl-dev libpango1.0-dev
NEED_TESTS := $(NEED_BUILD) libcmocka-dev pkg-config fonts-dejavu-core poppler-utils
# Parallel on its own, unless the user's make already hands out jobs.
AGAIN = $(MAKE) --no-print-directory $(if $(findstring jobserver,$(MAKEFLAGS)),,-j$(JOBS))

.PHONY: check-kill check-terminal
.PHONY: all mouldwright programs demo check check-full run-check sanitize bench fuzz run-fuzz coverage lint \
        warnings install install-files uninstall dist deb format clean help FORCE
.DELETE_ON_ERROR:
.SECONDARY:

all: $(OUT)/needed $(call archives,$(LIBRARY_MODULES)) $(PROGRAM) $(PDF_MODULE)
	@$(if $(PROGRAM),:,echo "src/cli is empty: only the libraries were built")

mouldwright: $(OUT)/needed $(PROGRAM) $(PDF_MODULE)

help:
	@echo 'make            the program, build/release/mouldwright'
	@echo 'make demo       installs what is missing, builds, runs the main job on samples/dunlin.job'
	@echo 'make check      installs what is missing, builds and runs all tests'
	@echo 'make check-full also both compilers, sanitizers, valgrind, a minute of each fuzz target, lint, packages'
	@echo 'make sanitize   all tests under the address and undefined-behaviour sanitizers'
	@echo 'make coverage   lines covered by the tests, by module'
	@echo 'make bench      speed and memory, one JSON object a line'
	@echo 'make bench-plan the whole open scheduling sets, for hours; goes on where it was stopped'
	@echo 'make fuzz       every fuzz target for FUZZ_SECONDS=$(FUZZ_SECONDS)'
	@echo 'make lint       layers, headers, lengths, warnings of both compilers, cppcheck, clang-tidy, format'
	@echo 'make install    all that was built, recipes, pages under PREFIX=$(PREFIX), DESTDIR; builds nothing'
	@echo 'make uninstall  takes away what make install put there'
	@echo 'make dist       the sources as build/$(DIST).tar.gz, always the same bytes'
	@echo 'make deb        Debian packages in build/'
	@echo 'make format     clang-format over all sources'
	@echo 'make clean      removes build/'
	@echo 'MODE=release|debug|asan|cov, CC, CFLAGS, CPPFLAGS, LDFLAGS, WERROR=0|1, JOBS=$(JOBS)'

# --- building ------------------------------------------------------------------------------------

$(OUT)/needed:
	@$(NEED) $(NEED_BUILD)
	@mkdir -p $(@D) && touch $@

# Written anew only when the commands change, so that changed flags rebuild and nothing else does.
$(OUT)/flags: FORCE
	@mkdir -p $(@D)
	@echo '$(subst ','\'',$(COMPILE) $(LINK))' | cmp -s - $@ || echo '$(subst ','\'',$(COMPILE) $(LINK))' >$@

$(OUT)/obj/src/%.o: src/%.c $(OUT)/flags
	@mkdir -p $(@D)
	$(call say,cc,$<)
	$(Q)$(COMPILE)

HELP_PAGES := src/cli/help.txt src/cli/help-topics.txt src/cli/help-functions.txt src/cli/help-functions-trade.txt
$(OUT)/made/help_pages.c: src/cli/help.awk $(HELP_PAGES)
	@mkdir -p $(@D)
	$(call say,make,$@)
	$(Q)LC_ALL=C awk -f src/cli/help.awk $(HELP_PAGES) >$@

$(OUT)/obj/made/%.o: $(OUT)/made/%.c $(OUT)/flags
	@mkdir -p $(@D)
	$(call say,cc,$<)
	$(Q)$(COMPILE)

# Only this file knows where things are installed: another PREFIX compiles one file anew.
$(OUT)/obj/src/cli/folders.o: OUR_CPPFLAGS += -DMW_DATA_FOLDER='"$(DATA_FOLDER)"' -DMW_MODULE_FOLDER='"$(MODULE_FOLDER)"'
$(OUT)/obj/src/cli/folders.o: $(OUT)/data-folder
$(OUT)/data-folder: FORCE
	@mkdir -p $(@D)
	@echo '$(DATA_FOLDER) $(MODULE_FOLDER)' | cmp -s - $@ || echo '$(DATA_FOLDER) $(MODULE_FOLDER)' >$@

$(OUT)/obj/tests/%.o: OUR_CPPFLAGS += -Itests
$(OUT)/obj/tests/%.o: tests/%.c $(OUT)/flags
	@mkdir -p $(@D)
	$(call say,cc,$<)
	$(Q)$(COMPILE)

define archive_rule
$(OUT)/lib/mw_$(1).a: $(filter-out %/cli/main.o,$(call objects,src/$(1)/*.c)) $(if $(filter cli,$(1)),$(MADE_OBJECTS))
	@mkdir -p $$(@D)
	@rm -f $$@
	$$(call say,ar,$$@)
	$(Q)$(AR) rcs $$@ $$^
endef
$(foreach m,$(MODULES),$(eval $(call archive_rule,$(m))))

$(OUT)/mouldwright: $(CLI_OBJECTS) $(call archives,$(LIBRARY_MODULES))
	$(call say,ld,$@)
	$(Q)$(LINK) $^ $(call externals,$(SEEN))

# One name is visible in it; of the program it uses nothing.
$(OUT)/obj/src/pdf/%.o: OUR_CFLAGS += -fPIC -fvisibility=hidden
$(OUT)/obj/src/pdf/%.o: OUR_CPPFLAGS += $(PDF_CPPFLAGS)
$(PDF_MODULE): $(call objects,src/pdf/*.c)
	$(call say,ld,$@)
	$(Q)$(LINK) -shared $^ $(PDF_LIBS)

define test_rule
$(OUT)/tests/$(1): $(OUT)/obj/tests/$(1).o $(OUT)/obj/tests/support.o $(call archives,$(call uses_of,$(1)))
	@mkdir -p $$(@D)
	$$(call say,ld,$$@)
	$(Q)$$(LINK) $$^ $(WRAP) $(call externals,$(call uses_of,$(1))) $(CMOCKA_LIBS)
endef
$(foreach t,$(TESTS),$(eval $(call test_rule,$(notdir $(t)))))

# The checker of plans stands alone: the C library and nothing of ours.
$(OUT)/tests/plan_check: $(OUT)/obj/tests/plan_check.o
	@mkdir -p $(@D)
	$(call say,ld,$@)
	$(Q)$(LINK) $^ -lm
$(OUT)/tests/test_plan_check: | $(OUT)/tests/plan_check
$(OUT)/tests/test_paper_pdf $(OUT)/tests/test_report_risk: | $(PDF_MODULE)

# What types sessions that are killed does, too.
$(OUT)/tests/kill_session: $(OUT)/obj/tests/kill_session.o
	@mkdir -p $(@D)
	$(call say,ld,$@)
	$(Q)$(LINK) $^

check-kill: $(PROGRAM) $(OUT)/tests/kill_session
	@tests/tools/check-kill $^

check-terminal: $(PROGRAM)
	@tests/tools/check-terminal $^

$(OUT)/bench/%: $(OUT)/obj/tests/bench/%.o $(BENCH_SHARED) $(call archives,$(LIBRARY_MODULES))
	@mkdir -p $(@D)
	$(call say,ld,$@)
	$(Q)$(LINK) $^ $(call externals,$(LIBRARY_MODULES))

define fuzz_rule
$(OUT)/fuzz/replay_$(1): $(OUT)/obj/tests/fuzz/fuzz_$(1).o $(OUT)/obj/tests/fuzz/replay.o $(call archives,$(call uses_of,$(1)))
	@mkdir -p $$(@D)
	$$(call say,ld,$$@)
	$(Q)$$(LINK) $$^ $(call externals,$(call uses_of,$(1)))

$(OUT)/fuzz/fuzz_$(1): $(OUT)/obj/tests/fuzz/fuzz_$(1).o $(call archives,$(call uses_of,$(1)))
	@mkdir -p $$(@D)
	$$(call say,ld,$$@)
	$(Q)$$(LINK) -fsanitize=fuzzer $$^ $(call externals,$(call uses_of,$(1)))
endef
$(foreach f,$(FUZZ_NAMES),$(eval $(call fuzz_rule,$(f))))

programs: $(TESTS) $(REPLAYS) $(PROGRAM) $(PDF_MODULE)

# --- using ---------------------------------------------------------------------------------------

demo:
	@$(NEED) --install $(NEED_BUILD)
	+@$(AGAIN) all
	$(OUT)/mouldwright samples/dunlin.job -e moulds -e takeoff -e hours -e waits -e calendar -e cost

check:
	@$(NEED) --install $(NEED_TESTS)
	+@$(AGAIN) run-check

# A program with sanitizers or counters in it is not for installing.
INSTALLABLE := $(if $(filter release debug,$(MODE)),$(PROGRAM))

# What does not build is built around, what is there is run, and in the end all of it has failed.
run-check:
	+@built=yes; $(AGAIN) --keep-going programs || built=no; \
	    OUT=$(OUT) RUNNER='$(RUNNER)' tests/tools/run-tests $(if $(PROGRAM),--program $(PROGRAM)) \
	        $(TESTS) $(REPLAYS) && ran=0 || ran=1; \
	    [ -z "$(PROGRAM)" ] || tests/tools/check-docs $(PROGRAM) || ran=1; \
	    [ -z "$(PROGRAM)" ] || tests/tools/check-hand $(PROGRAM) || ran=1; \
    [ -z "$(PROGRAM)" ] || tests/tools/check-icalendar $(PROGRAM) || ran=1; \
	    [ -z "$(PROGRAM)" ] || tests/tools/check-formulas $(PROGRAM) || ran=1; \
	    [ -z "$(PROGRAM)" ] || tests/tools/check-help $(PROGRAM) || ran=1; \
	    [ -z "$(PROGRAM)" ] || tests/tools/check-papers $(PROGRAM) || ran=1; \
	    tests/tools/check-codes || ran=1; \
	    tests/tools/check-rows || ran=1; \
	    tests/tools/check-sources || ran=1; \
	    [ -z "$(INSTALLABLE)" ] || CC='$(CC)' MODE='$(MODE)' MAKE='$(MAKE)' tests/tools/check-install $(OUT) || ran=1; \
	    if [ $$built = no ]; then echo '== NOT GOOD: not everything could be built'; ran=1; fi; \
	    exit $$ran

sanitize:
	@$(NEED) $(NEED_TESTS)
	@tests/tools/check-sanitizers '$(CC)' -g -fsanitize=address,undefined -fno-sanitize-recover=all
	+@$(AGAIN) MODE=asan run-check

# The long round: both compilers, sanitizers, valgrind, fuzzing, lint.
VALGRIND := valgrind -q --error-exitcode=9 --leak-check=full \
            --errors-for-leak-kinds=definite,indirect,possible \
            --suppressions=tests/tools/valgrind-suppressions
check-full:
	@$(NEED) $(NEED_TESTS) clang valgrind
	+@$(AGAIN) CC=gcc run-check
	+@$(AGAIN) CC=clang run-check
	+@$(AGAIN) CC=gcc sanitize
	+@$(AGAIN) CC=clang sanitize
	+@$(AGAIN) MODE=debug RUNNER='$(VALGRIND)' run-check
	+@$(AGAIN) CC=gcc check-kill
	+@$(AGAIN) CC=gcc check-terminal
	+@$(AGAIN) FUZZ_SECONDS=60 fuzz
	+@$(AGAIN) lint
	+@MAKE='$(MAKE)' tests/tools/check-packages '$(BUILD)'

coverage:
	@$(NEED) $(NEED_TESTS)
	@find $(BUILD)/cov* -name '*.gcda' -exec rm -f {} + 2>/dev/null || true
	+@$(AGAIN) MODE=cov run-check && ran=0 || ran=$$?; \
	    tests/tools/coverage $(BUILD)/cov$(if $(IS_CLANG),-clang) $(MODULES) $(LOADED) && exit $$ran

bench:
	@$(NEED) $(NEED_BUILD)
	+@$(AGAIN) MODE=release run-bench

run-bench: $(BENCHES) $(PROGRAM)
	@for bench in $(BENCHES); do MOULDWRIGHT=$(PROGRAM) $$bench || exit 1; done

# The whole open sets, ten seconds an instance; goes on where it was stopped.
bench-plan:
	@$(NEED) $(NEED_BUILD)
	+@$(AGAIN) MODE=release run-bench-plan

run-bench-plan: $(OUT)/bench/bench_plan_sets
	nice $< $(BUILD)/bench-plan.txt

fuzz:
	@$(NEED) $(NEED_BUILD) clang libclang-rt-14-dev
	+@$(AGAIN) MODE=fuzz CC=clang run-fuzz

run-fuzz: $(FUZZERS)
	@for name in $(FUZZ_NAMES); do \
	    mkdir -p tests/fuzz/corpus/$$name $(OUT)/corpus/$$name; \
	    echo "fuzz $$name for $(FUZZ_SECONDS) s"; \
	    $(OUT)/fuzz/fuzz_$$name -max_total_time=$(FUZZ_SECONDS) -timeout=5 -print_final_stats=1 \
	        -verbosity=0 -artifact_prefix=$(OUT)/fuzz/$$name- $(OUT)/corpus/$$name tests/fuzz/corpus/$$name || exit 1; \
	done

lint:
	@$(NEED) $(NEED_TESTS) clang clang-format cppcheck
	@CC='$(CC)' tests/tools/lint

# Every source under both compilers with warnings as errors, in the optimised mode that finds most.
warnings:
	+@$(AGAIN) CC=gcc BUILD=$(BUILD)/lint WERROR=1 objects
	+@$(AGAIN) CC=clang BUILD=$(BUILD)/lint WERROR=1 objects

.PHONY: objects run-bench bench-plan run-bench-plan
objects: $(call objects,src/*/*.c tests/*.c tests/bench/*.c tests/fuzz/*.c)

include docs/packaging/package.mk

format:
	@$(NEED) clang-format
	clang-format -i $(sort $(wildcard include/*/*.h src/*/*.[ch] tests/*.[ch] tests/*/*.[ch]))

clean:
	rm -rf $(BUILD)

FORCE:

-include $(shell find $(OUT)/obj -name '*.d' 2>/dev/null)
