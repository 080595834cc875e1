/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A sheet with all that it needs, and short ways to edit it, for the tests of the sheet. */
#ifndef TESTS_SHEET_FIXTURE_H
#define TESTS_SHEET_FIXTURE_H

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "mouldwright/sheet.h"
#include "support.h"

typedef struct fixture {
    mw_measure *measure;
    mw_sources *sources;
    mw_sheet *sheet;
    mw_diags diags;
    mw_changes changes;
} fixture;

/* Returns false, with nothing left behind, when there is no memory. */
static inline bool fixture_try_open(fixture *f)
{
    memset(f, 0, sizeof *f);
    f->measure = mw_measure_new();
    f->sources = mw_sources_new();
    const bool told = mw_diags_start(&f->diags) == MW_OK;
    if (f->measure != NULL && f->sources != NULL && told) {
        f->sheet = mw_sheet_new(f->measure, f->sources);
    }
    if (f->sheet == NULL) {
        mw_diags_free(&f->diags);
        mw_sources_free(f->sources);
        mw_measure_free(f->measure);
    }
    return f->sheet != NULL;
}

static inline void fixture_open(fixture *f)
{
    assert_true(fixture_try_open(f));
}

static inline void fixture_close(fixture *f)
{
    mw_sheet_free(f->sheet);
    mw_diags_free(&f->diags);
    mw_sources_free(f->sources);
    mw_measure_free(f->measure);
}

/* Adds a text as a source of its own and returns the span of it; source MW_NONE: no memory. */
static inline mw_span fixture_text(fixture *f, const char *name, const char *text)
{
    const uint32_t source = mw_sources_add(f->sources, mw_str_of(name), mw_str_of(text));
    return (mw_span){source, 0, (uint32_t)strlen(text)};
}

static inline void fixture_formula(fixture *f, mw_edit *edit, const char *name, const char *formula)
{
    const uint32_t cell = mw_edit_cell(edit, mw_str_of(name));
    const mw_definition definition = {
        .formula = fixture_text(f, name, formula), .slot = MW_NONE, .unit = MW_NONE};
    mw_edit_formula(edit, cell, &definition);
}

/* Prepares and commits, or cancels. */
static inline mw_status fixture_finish(fixture *f, mw_edit *edit)
{
    mw_diags_clear(&f->diags);
    const mw_status status = mw_edit_prepare(edit, &f->diags);
    if (status == MW_OK) {
        mw_edit_commit(edit, &f->changes);
    } else {
        mw_edit_cancel(edit);
    }
    return status;
}

/* Shows what went wrong where a test did not expect it. */
static inline void fixture_expect_ok(fixture *f, mw_status status)
{
    if (status != MW_OK) {
        mw_text words = {0};
        mw_diags_render(&f->diags, f->sources, &words);
        print_error("%s\n", mw_text_chars(&words));
        mw_text_free(&words);
    }
    assert_int_equal(status, MW_OK);
}

/* One line as an edit. */
static inline mw_status fixture_try_line(fixture *f, const char *name, const char *formula)
{
    mw_edit *edit = mw_edit_begin(f->sheet);
    assert_non_null(edit);
    fixture_formula(f, edit, name, formula);
    return fixture_finish(f, edit);
}

static inline void fixture_line(fixture *f, const char *name, const char *formula)
{
    fixture_expect_ok(f, fixture_try_line(f, name, formula));
}

static inline mw_status fixture_try_load(fixture *f, const char *text)
{
    const mw_span span = fixture_text(f, "job", text);
    mw_diags_clear(&f->diags);
    return mw_sheet_load(f->sheet, span.source, &f->changes, &f->diags);
}

static inline void fixture_load(fixture *f, const char *text)
{
    fixture_expect_ok(f, fixture_try_load(f, text));
}

static inline uint32_t fixture_cell(const fixture *f, const char *name)
{
    const uint32_t cell = mw_sheet_find(f->sheet, mw_str_of(name));
    if (cell == MW_NONE) {
        fail_msg("there is no line %s", name);
    }
    return cell;
}

static inline double fixture_value(const fixture *f, const char *name)
{
    return mw_sheet_value(f->sheet, fixture_cell(f, name));
}

/* Whether a message, with all that hangs on it, has `words` in it. */
static inline bool fixture_says(const fixture *f, const char *words)
{
    mw_text all = {0};
    mw_diags_render(&f->diags, f->sources, &all);
    const bool found = strstr(mw_text_chars(&all), words) != NULL;
    if (!found) {
        print_error("not found: %s\nin: %s\n", words, mw_text_chars(&all));
    }
    mw_text_free(&all);
    return found;
}

/* Cells gathered from one of the looking functions. */
typedef struct cell_list {
    uint32_t cells[256];
    uint32_t count;
} cell_list;

static inline void cell_list_add(void *context, uint32_t cell)
{
    cell_list *list = context;
    assert_true(list->count < 256);
    list->cells[list->count++] = cell;
}

#endif
