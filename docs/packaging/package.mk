# SPDX-License-Identifier: GPL-3.0-or-later
# Installing and packaging; the Makefile reads this. docs/packaging.md describes it.

BINDIR ?= $(PREFIX)/bin
INCLUDEDIR ?= $(PREFIX)/include
DATAROOTDIR ?= $(PREFIX)/share
MANDIR ?= $(DATAROOTDIR)/man
DOCDIR ?= $(DATAROOTDIR)/doc/mouldwright
BASH_COMPLETIONS ?= $(DATAROOTDIR)/bash-completion/completions
ZSH_COMPLETIONS ?= $(DATAROOTDIR)/zsh/site-functions
FISH_COMPLETIONS ?= $(DATAROOTDIR)/fish/vendor_completions.d

LIBRARY := $(OUT)/libmouldwright.a
COMPLETIONS := $(foreach shell,bash zsh fish,$(OUT)/completion/mouldwright.$(shell))
PUBLIC_HEADERS := $(sort $(wildcard include/mouldwright/*.h include/mouldwright/*.def))
MAN_PAGES := $(sort $(wildcard docs/man/*.[1-8]))
DOC_FILES := README.md LICENSE $(sort $(wildcard docs/*.md docs/*.json docs/*.c))
DATA_FILES := $(sort $(shell find recipes samples -type f \( -name '*.yaml' -o -name '*.job' -o -name '*.csv' \)))

# --- the library for other programs: one object in which only what the headers declare is visible ------

OBJCOPY ?= objcopy
LIBRARY_OBJECTS := $(foreach m,$(LIBRARY_MODULES),$(call objects,src/$(m)/*.c))

$(LIBRARY): $(LIBRARY_OBJECTS)
	@mkdir -p $(OUT)/library
	@rm -f $@
	$(call say,ar,$@)
	$(Q)$(CC) $(OUR_CFLAGS) $(CFLAGS) -nostdlib -r -o $(OUT)/library/mouldwright.o $^
	$(Q)$(OBJCOPY) --wildcard --keep-global-symbol='mw_*' $(OUT)/library/mouldwright.o
	$(Q)$(AR) rcs $@ $(OUT)/library/mouldwright.o

# --- completion: made from what --help says, and that from the table of options ---------------------

$(COMPLETIONS): $(OUT)/completion/mouldwright.%: docs/packaging/completion.awk $(PROGRAM)
	@mkdir -p $(@D)
	$(call say,make,$@)
	$(Q)$(PROGRAM) --help | awk -v shell=$* -f $< >$@

all programs: $(LIBRARY) $(if $(PROGRAM),$(COMPLETIONS))

# --- installing ------------------------------------------------------------------------------------

# SOURCE DESTINATION MODE, one file a line.
define FILE_LIST
$(if $(PROGRAM),$(PROGRAM) $(BINDIR)/mouldwright 755
$(OUT)/completion/mouldwright.bash $(BASH_COMPLETIONS)/mouldwright 644
$(OUT)/completion/mouldwright.zsh $(ZSH_COMPLETIONS)/_mouldwright 644
$(OUT)/completion/mouldwright.fish $(FISH_COMPLETIONS)/mouldwright.fish 644)
$(if $(PROGRAM),$(PDF_MODULE) $(MODULE_FOLDER)/mouldwright-pdf.so 644)
$(LIBRARY) $(LIBDIR)/libmouldwright.a 644
$(foreach f,$(PUBLIC_HEADERS),$(f) $(INCLUDEDIR)/mouldwright/$(notdir $(f)) 644
)$(foreach f,$(MAN_PAGES),$(f) $(MANDIR)/man$(patsubst .%,%,$(suffix $(f)))/$(notdir $(f)) 644
)$(foreach f,$(DATA_FILES),$(f) $(DATA_FOLDER)/$(f) 644
)$(foreach f,$(DOC_FILES),$(f) $(DOCDIR)/$(notdir $(f)) 644
)- $(LIBDIR)/pkgconfig/mouldwright.pc 644
endef

# The description for pkg-config holds the folders of this installation.
define PKG_CONFIG_TEXT
prefix=$(PREFIX)
libdir=$(patsubst $(PREFIX)/%,$${prefix}/%,$(LIBDIR))
includedir=$(patsubst $(PREFIX)/%,$${prefix}/%,$(INCLUDEDIR))
datadir=$(patsubst $(PREFIX)/%,$${prefix}/%,$(DATA_FOLDER))

Name: mouldwright
Description: estimates the tooling of composite parts: material, hours, cost, dates
Version: $(VERSION)
Requires: $(LIBRARY_REQUIRES)
Libs: -L$${libdir} -lmouldwright -lm
Cflags: -I$${includedir}
endef

install install-files uninstall: export INSTALLED = $(FILE_LIST)
install install-files uninstall: export PKG_CONFIG_FILE = $(PKG_CONFIG_TEXT)
PLACE = DESTDIR='$(DESTDIR)' RECORD='$(DATA_FOLDER)/installed' docs/packaging/place

# Nothing is built or stripped here: what is missing is said.
install:
	@$(PLACE) --record install
	@echo 'The recipes are in $(DESTDIR)$(DATA_FOLDER)/recipes; make uninstall takes everything away again.'

# For those who make packages: the same without the record that `make uninstall` goes by.
install-files:
	@$(PLACE) install

uninstall:
	@$(PLACE) uninstall

# --- packages --------------------------------------------------------------------------------------

DIST := mouldwright-$(VERSION)

dist:
	@docs/packaging/make-dist '$(BUILD)/$(DIST).tar.gz' $(DIST)

deb: dist
	@docs/packaging/make-deb '$(BUILD)' $(VERSION)
