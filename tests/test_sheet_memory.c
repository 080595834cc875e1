/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Every allocation fails once; and nothing grows without bound. */
#include <stdlib.h>

#include "sheet_fixture.h"

enum { TEXTS = 5, SOAK_EDITS = 100000, SOAK_FORMULAS = 500, WIDE_LINES = 300 };

/* ---- failing allocations ---- */

typedef struct attempt {
    fixture f;
    mw_span texts[TEXTS];
    double values[64];
    mw_span formulas[64];
} attempt;

static const char *const attempt_lines = "area = 6 m2\n"
                                         "cloth = 0.6 kg/m2\n"
                                         "glass = area * cloth\n"
                                         "total = glass + 2 kg\n"
                                         "all = [glass, total]\n"
                                         "most = largest(all)\n";

static const char *const attempt_texts[TEXTS] = {"area * cloth * waste", "1 + extra", "0.125",
                                                 "[glass, total, glass]", "5 .. 6 .. 7 kg"};

static void attempt_open(attempt *a)
{
    fixture_open(&a->f);
    fixture_load(&a->f, attempt_lines);
    for (size_t i = 0; i < TEXTS; i++) {
        a->texts[i] = fixture_text(&a->f, "edit", attempt_texts[i]);
    }
    for (uint32_t id = 0; id < mw_sheet_count(a->f.sheet); id++) {
        a->values[id] = mw_sheet_value(a->f.sheet, id);
        a->formulas[id] = mw_sheet_formula(a->f.sheet, id);
    }
}

/* The sheet is as it was. */
static void attempt_check(const attempt *a)
{
    const mw_sheet *sheet = a->f.sheet;
    assert_int_equal(mw_sheet_count(sheet), 8);
    assert_int_equal(mw_sheet_find(sheet, mw_str_of("waste")), MW_NONE);
    for (uint32_t id = 0; id < 8; id++) {
        const double value = mw_sheet_value(sheet, id);
        const mw_span formula = mw_sheet_formula(sheet, id);
        assert_memory_equal(&value, &a->values[id], sizeof value);
        assert_memory_equal(&formula, &a->formulas[id], sizeof formula);
    }
}

static void define(mw_edit *edit, const char *name, mw_span formula)
{
    const mw_definition definition = {.formula = formula, .slot = MW_NONE, .unit = MW_NONE};
    const uint32_t cell = mw_edit_cell(edit, mw_str_of(name));
    mw_edit_formula(edit, cell, &definition);
}

/* Old cells come to read new ones, a list grows, a range and a sum with partial sums are new. */
static void define_all(mw_edit *edit, const mw_span *texts)
{
    define(edit, "glass", texts[0]);
    define(edit, "waste", texts[1]);
    define(edit, "extra", texts[2]);
    define(edit, "all", texts[3]);
    define(edit, "unsure", texts[4]);
    uint32_t cells[40];
    for (uint32_t i = 0; i < 40; i++) {
        cells[i] = 2 + i % 2;
    }
    const uint32_t sum = mw_edit_cell(edit, mw_str_of("sum"));
    if (sum != MW_NONE) {
        mw_edit_sum(edit, sum, cells, 40, MW_TYPE_MASS);
    }
}

static support_outcome prepare_and_cancel(void *context)
{
    attempt *a = context;
    mw_edit *edit = mw_edit_begin(a->f.sheet);
    if (edit == NULL) {
        attempt_check(a);
        return SUPPORT_NO_MEMORY;
    }
    define_all(edit, a->texts);
    const mw_status status = mw_edit_prepare(edit, &a->f.diags);
    support_fail_never(); /* cancelling needs no memory, looking at it may */
    mw_edit_cancel(edit);
    attempt_check(a);
    assert_true(status == MW_OK || status == MW_NO_MEMORY);
    return status == MW_OK ? SUPPORT_DONE : SUPPORT_NO_MEMORY;
}

static void refused_edit_changes_nothing(void **state)
{
    (void)state;
    attempt a;
    attempt_open(&a);
    /* Names that an edit brings stay known, so that a later attempt may need less. */
    const size_t count = support_fail_each_tolerant(prepare_and_cancel, &a);
    print_message("%zu allocations\n", count);
    assert_true(count > 5);
    fixture_close(&a.f);
}

/* From nothing to values, and an edit with a commit. */
static support_outcome whole_life(void *context)
{
    (void)context;
    fixture f;
    if (!fixture_try_open(&f)) {
        return SUPPORT_NO_MEMORY;
    }
    mw_status status = MW_NO_MEMORY;
    const mw_span job = fixture_text(&f, "job", attempt_lines);
    if (job.source != MW_NONE) {
        status = mw_sheet_load(f.sheet, job.source, &f.changes, &f.diags);
    }
    mw_span texts[TEXTS];
    for (size_t i = 0; i < TEXTS && status == MW_OK; i++) {
        texts[i] = fixture_text(&f, "edit", attempt_texts[i]);
        status = texts[i].source == MW_NONE ? MW_NO_MEMORY : MW_OK;
    }
    mw_edit *edit = status == MW_OK ? mw_edit_begin(f.sheet) : NULL;
    if (edit != NULL) {
        define_all(edit, texts);
        status = fixture_finish(&f, edit);
    } else {
        status = MW_NO_MEMORY;
    }
    if (status == MW_OK) {
        assert_near(fixture_value(&f, "total"), 3.6 * 1.125 + 2, 1e-15);
        assert_near(fixture_value(&f, "sum"), 20 * (2 * 3.6 * 1.125 + 2), 1e-15);
    }
    fixture_close(&f);
    assert_true(status == MW_OK || status == MW_NO_MEMORY);
    return status == MW_OK ? SUPPORT_DONE : SUPPORT_NO_MEMORY;
}

static void every_allocation_fails_once(void **state)
{
    (void)state;
    const size_t count = support_fail_each_tolerant(whole_life, NULL);
    print_message("%zu allocations\n", count);
}

/* ---- growth ---- */

static void edits_do_not_grow(void **state)
{
    (void)state;
    fixture f;
    fixture_open(&f);
    mw_text text = {0};
    mw_text_adds(&text, "x0 = 1\n");
    for (int i = 1; i < WIDE_LINES; i++) {
        mw_text_addf(&text, "x%d = x%d * 0.5 + 1\n", i, i - 1);
    }
    fixture_load(&f, mw_text_chars(&text));
    mw_text_free(&text);
    mw_span formulas[SOAK_FORMULAS];
    for (uint32_t i = 0; i < SOAK_FORMULAS; i++) {
        char words[96];
        if (i % 10 == 3) {
            snprintf(words, sizeof words, "[x%u, %u.5, x1]", i % 7, i);
        } else {
            snprintf(words, sizeof words, "x%u * %u.25 + x%u * 2", i % 9, i, i % 5);
        }
        formulas[i] = fixture_text(&f, "edit", words);
    }
    size_t after_warm_up = 0;
    for (uint32_t i = 0; i < SOAK_EDITS; i++) {
        char name[16];
        snprintf(name, sizeof name, i % 10 == 3 ? "list%u" : "y%u", i % 40);
        mw_edit *edit = mw_edit_begin(f.sheet);
        assert_non_null(edit);
        define(edit, name, formulas[i % SOAK_FORMULAS]);
        if (i % 4 == 0 && mw_sheet_find(f.sheet, mw_str_of("y5")) != MW_NONE && i % 40 != 5) {
            mw_edit_remove(edit, mw_sheet_find(f.sheet, mw_str_of("y5")));
        }
        fixture_expect_ok(&f, fixture_finish(&f, edit));
        if (i == SOAK_EDITS / 5) {
            after_warm_up = mw_sheet_bytes(f.sheet);
        }
    }
    print_message("%zu bytes, then %zu\n", after_warm_up, mw_sheet_bytes(f.sheet));
    assert_true(mw_sheet_bytes(f.sheet) < after_warm_up + 65536);
    fixture_close(&f);
}

static void refused_names_do_not_grow(void **state)
{
    (void)state;
    fixture f;
    fixture_open(&f);
    fixture_load(&f, "a = 1\nb = a * 2\n");
    const mw_span wrong = fixture_text(&f, "edit", "3 kg + 2 m");
    size_t after_warm_up = 0;
    for (uint32_t i = 0; i < 20000; i++) {
        char name[16];
        snprintf(name, sizeof name, "new%u", i);
        mw_edit *edit = mw_edit_begin(f.sheet);
        define(edit, name, wrong);
        assert_int_equal(fixture_finish(&f, edit), MW_FAILED);
        if (i == 5000) {
            after_warm_up = mw_sheet_bytes(f.sheet);
        }
    }
    assert_true(mw_sheet_bytes(f.sheet) < after_warm_up + 65536);
    assert_near(fixture_value(&f, "b"), 2, 0);
    fixture_line(&f, "a", "3");
    assert_near(fixture_value(&f, "b"), 6, 0);
    fixture_close(&f);
}

static void cancelled_edits_do_not_grow(void **state)
{
    (void)state;
    fixture f;
    fixture_open(&f);
    fixture_load(&f, "a = 1\nb = a * 2\n");
    size_t after_warm_up = 0;
    for (uint32_t i = 0; i < 20000; i++) {
        char words[64];
        snprintf(words, sizeof words, "a * %u.5 + %u.25", i, i);
        const mw_span formula = fixture_text(&f, "edit", words);
        mw_edit *edit = mw_edit_begin(f.sheet);
        define(edit, i % 2 == 0 ? "b" : "c", formula);
        assert_int_equal(mw_edit_prepare(edit, &f.diags), MW_OK);
        mw_edit_cancel(edit);
        mw_sources_drop_last(f.sources, formula.source);
        if (i == 1000) {
            after_warm_up = mw_sheet_bytes(f.sheet);
        }
    }
    assert_true(mw_sheet_bytes(f.sheet) < after_warm_up + 16384);
    assert_near(fixture_value(&f, "b"), 2, 0);
    fixture_close(&f);
}

int main(void)

{
    test_list list = {0};
    test_add(&list, refused_edit_changes_nothing);
    test_add(&list, every_allocation_fails_once);
    test_add(&list, edits_do_not_grow);
    test_add(&list, refused_names_do_not_grow);
    test_add(&list, cancelled_edits_do_not_grow);
    return test_run(&list, "sheet memory");
}
