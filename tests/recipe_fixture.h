/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A library over a folder of its own, in which a test writes files, and the frozen files of
 * tests/data/recipe behind it. */
#ifndef TESTS_RECIPE_FIXTURE_H
#define TESTS_RECIPE_FIXTURE_H

#include <stdio.h>
#include <string.h>
#include <sys/stat.h>

#include "mouldwright/money.h"
#include "mouldwright/recipe.h"
#include "support.h"

#define FROZEN "tests/data/recipe"

typedef struct fixture {
    char folder[64];
    mw_measure *measure;
    mw_sources *sources;
    mw_library *library;
    mw_diags diags;
    uint32_t typed; /* source in which names are asked for */
} fixture;

/* The name asked for, and where it is written: all of a source of its own. */
static inline mw_span fixture_ask(fixture *f, const char *name)
{
    f->typed = mw_sources_add(f->sources, mw_str_of("typed"), mw_str_of(name));
    assert_int_not_equal(f->typed, MW_NONE);
    return (mw_span){f->typed, 0, (uint32_t)strlen(name)};
}

static inline void fixture_path(const fixture *f, const char *name, char *path, size_t size)
{
    snprintf(path, size, "%s/%s", f->folder, name);
}

static inline void fixture_write(const fixture *f, const char *name, const char *text)
{
    char path[256];
    fixture_path(f, name, path, sizeof path);
    FILE *file = fopen(path, "wb");
    assert_non_null(file);
    assert_int_equal(fwrite(text, 1, strlen(text), file), strlen(text));
    assert_int_equal(fclose(file), 0);
}

static inline void fixture_folder(const fixture *f, const char *name)
{
    char path[256];
    fixture_path(f, name, path, sizeof path);
    assert_int_equal(mkdir(path, 0755), 0);
}

static inline fixture fixture_start(void)
{
    fixture f = {.measure = mw_measure_new(), .sources = mw_sources_new()};
    strcpy(f.folder, support_folder());
    fixture_folder(&f, "materials");
    fixture_folder(&f, "shops");
    f.library = mw_library_new(f.measure, f.sources);
    assert_non_null(f.library);
    assert_int_equal(mw_diags_start(&f.diags), MW_OK);
    assert_int_equal(mw_library_folder(f.library, f.folder), MW_OK);
    assert_int_equal(mw_library_folder(f.library, FROZEN), MW_OK);
    return f;
}

static inline void fixture_end(fixture *f)
{
    mw_diags_free(&f->diags);
    mw_library_free(f->library);
    mw_sources_free(f->sources);
    mw_measure_free(f->measure);
    support_folder_remove(f->folder);
}

/* Says all messages when something was not well. */
static inline void fixture_must(fixture *f, mw_status status)
{
    if (status != MW_OK) {
        mw_text said = {0};
        mw_diags_render(&f->diags, f->sources, &said);
        fail_msg("status %d\n%s", (int)status, mw_text_chars(&said));
    }
}

static inline const mw_shop *fixture_shop(fixture *f, const char *name)
{
    const mw_shop *shop = NULL;
    mw_span at = fixture_ask(f, name);
    fixture_must(f, mw_library_shop(f->library, mw_str_of(name), at, &shop, &f->diags));
    return shop;
}

static inline const mw_recipe *fixture_recipe(fixture *f, const char *name)
{
    const mw_recipe *recipe = NULL;
    mw_span at = fixture_ask(f, name);
    fixture_must(f, mw_library_recipe(f->library, mw_str_of(name), at, &recipe, &f->diags));
    return recipe;
}

static inline const mw_material *fixture_material(fixture *f, const char *name)
{
    const mw_material *material = NULL;
    mw_span at = fixture_ask(f, name);
    fixture_must(f, mw_library_material(f->library, mw_str_of(name), at, &material, &f->diags));
    return material;
}

/* Whether the text of a span is this; a span that is nowhere is "". */
static inline bool fixture_reads(const fixture *f, mw_span span, const char *text)
{
    mw_str piece = span.source == MW_NONE ? (mw_str){"", 0} : mw_sources_piece(f->sources, span);
    return mw_str_is(piece, text);
}

/* A message that is expected. */
typedef struct expected_message {
    mw_code code;
    const char *file; /* last part of the name */
    uint32_t line, column;
    const char *piece;
} expected_message;

static inline void fixture_says(const fixture *f, const mw_diag *diag, const expected_message *want)
{
    mw_place place = mw_sources_place(f->sources, diag->span.source, diag->span.begin);
    size_t length = strlen(want->file);
    bool in_file = place.name.length >= length &&
                   memcmp(place.name.at + place.name.length - length, want->file, length) == 0;
    mw_text all = {0};
    mw_diag_render(diag, f->sources, &all);
    if (!in_file || diag->code != want->code || place.line != want->line ||
        place.column != want->column || strstr(mw_text_chars(&all), want->piece) == NULL) {
        fail_msg("%s at %u:%u\n%s", mw_code_word(diag->code), (unsigned)place.line,
                 (unsigned)place.column, mw_text_chars(&all));
    }
    mw_text_free(&all);
}

#endif
