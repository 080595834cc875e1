/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Edits: what is refused and what is said then, that nothing has changed after a refusal, and
 * that readers follow. Expected values are worked out by hand. */
#include "sheet_fixture.h"

static void lines_in_any_order(void **state)
{
    (void)state;
    fixture f;
    fixture_open(&f);
    fixture_load(&f, "cost = hours * rate\n"
                     "hours = area * 2.5\n"
                     "rate = 58\n"
                     "area = length * width\n"
                     "width = 1.5\n"
                     "length = 4\n");
    assert_near(fixture_value(&f, "area"), 6, 0);
    assert_near(fixture_value(&f, "cost"), 870, 0);
    assert_int_equal(mw_sheet_count(f.sheet), 6);
    fixture_close(&f);
}

static void a_change_is_followed(void **state)
{
    (void)state;
    fixture f;
    fixture_open(&f);
    fixture_load(&f, "a = 2\nb = a * 3\nc = b + 1\nd = 7\ne = d * 2\n");
    fixture_line(&f, "a", "5");
    assert_near(fixture_value(&f, "c"), 16, 0);
    assert_int_equal(f.changes.computed, 2);
    assert_int_equal(f.changes.changed, 3);
    fixture_close(&f);
}

static void an_unchanged_value_ends_it(void **state)
{
    (void)state;
    fixture f;
    fixture_open(&f);
    fixture_load(&f, "a = 2\nb = if a > 1 then 10 else 20\nc = b * 2\nd = c + 1\n");
    fixture_line(&f, "a", "3");
    assert_int_equal(f.changes.computed, 1);
    assert_int_equal(f.changes.changed, 1); /* a itself */
    fixture_line(&f, "a", "3");
    assert_int_equal(f.changes.computed, 0);
    assert_int_equal(f.changes.changed, 0);
    fixture_close(&f);
}

static void an_error_that_stays_ends_it(void **state)
{
    (void)state;
    fixture f;
    fixture_open(&f);
    fixture_load(&f, "a = 0\nb = 1 / a\nc = b * 2\nd = c * 2\n");
    assert_int_equal(mw_error_code(fixture_value(&f, "d")), MW_CODE_DIVIDE_BY_ZERO);
    assert_int_equal(mw_sheet_blame(f.sheet, fixture_cell(&f, "d")), fixture_cell(&f, "b"));
    fixture_line(&f, "c", "b * 3");
    assert_int_equal(f.changes.computed, 1);
    assert_int_equal(f.changes.changed, 0);
    fixture_line(&f, "a", "4");
    assert_near(fixture_value(&f, "d"), 1.5, 1e-15);
    assert_int_equal(mw_sheet_blame(f.sheet, fixture_cell(&f, "d")), fixture_cell(&f, "d"));
    fixture_close(&f);
}

static void old_lines_read_new_ones(void **state)
{
    (void)state;
    fixture f;
    fixture_open(&f);
    fixture_load(&f, "a = 2\nb = a * 3\nc = b + 1\n");
    mw_edit *edit = mw_edit_begin(f.sheet);
    fixture_formula(&f, edit, "b", "a * waste * more");
    fixture_formula(&f, edit, "waste", "1 + a / 10");
    fixture_formula(&f, edit, "more", "waste * 2");
    fixture_expect_ok(&f, fixture_finish(&f, edit));
    assert_near(fixture_value(&f, "c"), 2 * 1.2 * 2.4 + 1, 1e-15);
    fixture_line(&f, "a", "10");
    assert_near(fixture_value(&f, "c"), 10 * 2.0 * 4.0 + 1, 1e-15);
    fixture_close(&f);
}

static void a_value_becomes_computed(void **state)
{
    (void)state;
    fixture f;
    fixture_open(&f);
    fixture_load(&f, "a = 2\nb = a * 3\nc = b + a\nd = c\n");
    fixture_line(&f, "z", "d * 0 + 11");
    fixture_line(&f, "y", "4");
    fixture_line(&f, "a", "y * 2");
    assert_near(fixture_value(&f, "d"), 32, 0);
    fixture_line(&f, "y", "5");
    assert_near(fixture_value(&f, "d"), 40, 0);
    fixture_line(&f, "a", "1");
    assert_near(fixture_value(&f, "d"), 4, 0);
    fixture_line(&f, "y", "6");
    assert_int_equal(f.changes.computed, 0);
    fixture_close(&f);
}

typedef struct refusal_row {
    const char *name;
    const char *line;
    const char *formula;
    mw_code code;
    const char *says;
    const char *also;
} refusal_row;

static const char refusal_job[] = "area = 6 m2\n"
                                  "cloth = 0.6 kg/m2\n"
                                  "glass = area * cloth\n"
                                  "total = glass + 2 kg\n"
                                  "share = glass / total\n";

static const refusal_row refusal_rows[] = {
    {"itself", "area", "area * 2", MW_CODE_CYCLE, "`area` would depend on itself",
     "`area` (area:1) -> `area`"},
    {"a loop of three", "area", "total / cloth", MW_CODE_CYCLE, "`area` would depend on itself",
     "`area` (area:1) -> `total` (job:4) -> `glass` (job:3) -> `area`"},
    {"a loop of two", "glass", "total * 0.5", MW_CODE_CYCLE, "`glass` would depend on itself",
     "`glass` (glass:1) -> `total` (job:4) -> `glass`"},
    {"no such name", "share", "glass / totl", MW_CODE_UNKNOWN_NAME, "totl", "total"},
    {"a reader no longer fits", "cloth", "0.6 kg", MW_CODE_KIND_MISMATCH, "job:4",
     "`total` reads `glass`, which would change"},
    {"cannot be read", "area", "6 m2 +", MW_CODE_SYNTAX, "area:1", "6 m2 +"},
};

/* After a refusal all is as it was: values, formulas, kinds, counts, and the sheet still works. */
static void refused_and_unchanged(void **state)
{
    const refusal_row *row = *state;
    fixture f;
    fixture_open(&f);
    fixture_load(&f, refusal_job);
    const uint32_t cell = fixture_cell(&f, row->line);
    const mw_span before = mw_sheet_formula(f.sheet, cell);
    const double total = fixture_value(&f, "total");
    assert_int_equal(fixture_try_line(&f, row->line, row->formula), MW_FAILED);
    assert_int_equal(f.diags.count, 1);
    assert_int_equal(f.diags.items[0].code, row->code);
    assert_true(fixture_says(&f, row->says));
    assert_true(fixture_says(&f, row->also));
    const mw_span after = mw_sheet_formula(f.sheet, cell);
    assert_memory_equal(&before, &after, sizeof before);
    assert_int_equal(mw_sheet_count(f.sheet), 5);
    assert_near(fixture_value(&f, "total"), total, 0);
    fixture_line(&f, "area", "10 m2");
    assert_near(fixture_value(&f, "total"), 8, 1e-15);
    assert_near(fixture_value(&f, "share"), 0.75, 1e-15);
    fixture_close(&f);
}

static void several_errors_in_one_run(void **state)
{
    (void)state;
    fixture f;
    fixture_open(&f);
    assert_int_equal(fixture_try_load(&f, "a = b + 1\n"
                                          "b = c + 1\n"
                                          "c = a + 1\n"
                                          "fine = 3\n"
                                          "wrong = 3 kg + 2 m\n"
                                          "uses_wrong = wrong * 2\n"
                                          "fine = 4\n"
                                          "lost = nowhere\n"
                                          "3 + 4\n"
                                          "uses_a = a * 2\n"),
                     MW_FAILED);
    static const mw_code wanted[] = {MW_CODE_CYCLE, MW_CODE_KIND_MISMATCH, MW_CODE_NAME_TWICE,
                                     MW_CODE_UNKNOWN_NAME, MW_CODE_UNKNOWN_STATEMENT};
    assert_int_equal(f.diags.count, 5);
    for (size_t i = 0; i < 5; i++) {
        assert_int_equal(f.diags.items[i].code, wanted[i]);
    }
    assert_true(fixture_says(&f, "`a` (job:1) -> `b` (job:2) -> `c` (job:3) -> `a`"));
    assert_true(fixture_says(&f, "`fine` is defined twice"));
    assert_true(fixture_says(&f, "job:4"));
    assert_int_equal(mw_sheet_count(f.sheet), 0);
    assert_int_equal(mw_sheet_find(f.sheet, mw_str_of("fine")), MW_NONE);
    fixture_load(&f, "fine = 5\n");
    assert_near(fixture_value(&f, "fine"), 5, 0);
    fixture_close(&f);
}

static void kinds_follow_a_redefinition(void **state)
{
    (void)state;
    fixture f;
    fixture_open(&f);
    fixture_load(&f, "a = 3 kg\nb = a * 2\nc = b / a\nd = if c > 1 then b else a\ne = c + 1\n");
    fixture_line(&f, "a", "5 m");
    assert_int_equal(mw_sheet_type(f.sheet, fixture_cell(&f, "b")), MW_TYPE_LENGTH);
    assert_int_equal(mw_sheet_type(f.sheet, fixture_cell(&f, "d")), MW_TYPE_LENGTH);
    assert_int_equal(mw_sheet_type(f.sheet, fixture_cell(&f, "e")), MW_TYPE_NUMBER);
    assert_near(fixture_value(&f, "d"), 10, 0);
    fixture_close(&f);
}

static void kinds_follow_through_the_edit(void **state)
{
    (void)state;
    fixture f;
    fixture_open(&f);
    fixture_load(&f, "a = 3 kg\nb = a * 2\n");
    mw_edit *edit = mw_edit_begin(f.sheet);
    fixture_formula(&f, edit, "z", "b + 1 m"); /* fits only what b is going to be */
    fixture_formula(&f, edit, "a", "5 m");
    fixture_expect_ok(&f, fixture_finish(&f, edit));
    assert_near(fixture_value(&f, "z"), 11, 0);
    edit = mw_edit_begin(f.sheet);
    fixture_formula(&f, edit, "y", "b + 1 m"); /* fits only what b was */
    fixture_formula(&f, edit, "a", "5 kg");
    fixture_formula(&f, edit, "z", "b + 1 kg");
    assert_int_equal(fixture_finish(&f, edit), MW_FAILED);
    assert_int_equal(f.diags.count, 1);
    assert_int_equal(f.diags.items[0].code, MW_CODE_KIND_MISMATCH);
    fixture_close(&f);
}

static void units_follow_too(void **state)
{
    (void)state;
    fixture f;
    fixture_open(&f);
    fixture_load(&f, "a = 3 kg\nb = a\nc = b\n");
    fixture_line(&f, "a", "3000 g");
    mw_text words = {0};
    mw_unit_words(f.measure, mw_sheet_unit(f.sheet, fixture_cell(&f, "c")), &words);
    assert_string_equal(mw_text_chars(&words), "g");
    mw_text_free(&words);
    assert_near(fixture_value(&f, "c"), 3, 1e-15);
    fixture_close(&f);
}

static void lists_and_ranges(void **state)
{
    (void)state;
    fixture f;
    fixture_open(&f);
    fixture_load(&f, "x = 2\n"
                     "all = [x, 3, x * 4]\n"
                     "twice = all * 2\n"
                     "n = count(all)\n"
                     "s = sum(twice)\n"
                     "time = x .. x + 2 .. 9\n"
                     "mid = time * 10\n");
    assert_near(fixture_value(&f, "s"), 26, 0);
    assert_near(fixture_value(&f, "n"), 3, 0);
    assert_near(fixture_value(&f, "mid"), 40, 0);
    uint32_t count;
    mw_shape shape;
    const uint32_t first = mw_sheet_elements(f.sheet, fixture_cell(&f, "time"), &count, &shape);
    assert_int_equal(count, 3);
    assert_int_equal(shape, MW_SHAPE_RANGE);
    assert_near(mw_sheet_value(f.sheet, first + 2), 9, 0);
    fixture_line(&f, "x", "1");
    assert_near(fixture_value(&f, "s"), 16, 0);
    assert_near(fixture_value(&f, "mid"), 30, 0);
    fixture_line(&f, "all", "[x, 3, x * 4, 100]");
    assert_near(fixture_value(&f, "n"), 4, 0);
    assert_near(fixture_value(&f, "s"), 216, 0);
    fixture_line(&f, "x", "2");
    assert_near(fixture_value(&f, "s"), 226, 0);
    fixture_line(&f, "time", "x + 5");
    assert_near(fixture_value(&f, "mid"), 70, 0);
    assert_int_equal(fixture_try_line(&f, "all", "7"), MW_FAILED);
    assert_true(fixture_says(&f, "reads `all`, which would change"));
    assert_near(fixture_value(&f, "s"), 226, 0);
    fixture_close(&f);
}

static void what_reads_what(void **state)
{
    (void)state;
    fixture f;
    fixture_open(&f);
    fixture_load(&f, "a = 1\nb = 2\nall = [a, b]\nc = b * a + b\nn = count(all)\n");
    cell_list list = {0};
    mw_sheet_reads(f.sheet, fixture_cell(&f, "c"), cell_list_add, &list);
    assert_int_equal(list.count, 2);
    assert_int_equal(list.cells[0], fixture_cell(&f, "b"));
    assert_int_equal(list.cells[1], fixture_cell(&f, "a"));
    list.count = 0;
    mw_sheet_readers(f.sheet, fixture_cell(&f, "a"), cell_list_add, &list);
    assert_int_equal(list.count, 2);
    assert_int_equal(list.cells[0] + list.cells[1],
                     fixture_cell(&f, "all") + fixture_cell(&f, "c"));
    list.count = 0;
    mw_sheet_readers(f.sheet, fixture_cell(&f, "all"), cell_list_add, &list);
    assert_int_equal(list.count, 1);
    assert_int_equal(list.cells[0], fixture_cell(&f, "n"));
    fixture_line(&f, "c", "b");
    list.count = 0;
    mw_sheet_readers(f.sheet, fixture_cell(&f, "a"), cell_list_add, &list);
    assert_int_equal(list.count, 1);
    fixture_close(&f);
}

static mw_status try_remove(fixture *f, const char *name, const char *and_name)
{
    mw_edit *edit = mw_edit_begin(f->sheet);
    mw_edit_remove(edit, fixture_cell(f, name));
    if (and_name != NULL) {
        mw_edit_remove(edit, fixture_cell(f, and_name));
    }
    return fixture_finish(f, edit);
}

static void removing(void **state)
{
    (void)state;
    fixture f;
    fixture_open(&f);
    fixture_load(&f, "a = 1\nb = a * 2\nall = [a, b]\nn = count(all)\n");
    assert_int_equal(try_remove(&f, "a", NULL), MW_FAILED);
    assert_int_equal(f.diags.items[0].code, MW_CODE_STILL_NEEDED);
    assert_true(fixture_says(&f, "`a` is still needed by `"));
    assert_int_equal(try_remove(&f, "all", NULL), MW_FAILED);
    assert_true(fixture_says(&f, "by `n`"));
    fixture_expect_ok(&f, try_remove(&f, "n", "all"));
    assert_int_equal(mw_sheet_find(f.sheet, mw_str_of("all")), MW_NONE);
    fixture_expect_ok(&f, try_remove(&f, "b", "a"));
    assert_int_equal(fixture_try_line(&f, "b", "a"), MW_FAILED);
    fixture_line(&f, "a", "9");
    fixture_line(&f, "b", "a * 2");
    assert_near(fixture_value(&f, "b"), 18, 0);
    fixture_close(&f);
}

static void defined_says_where(void **state)
{
    (void)state;
    fixture f;
    fixture_open(&f);
    fixture_line(&f, "a", "1");
    mw_edit *edit = mw_edit_begin(f.sheet);
    mw_span span;
    assert_false(mw_edit_defined(edit, fixture_cell(&f, "a"), &span));
    const uint32_t fresh = mw_edit_cell(edit, mw_str_of("b"));
    assert_false(mw_edit_defined(edit, fresh, &span));
    fixture_formula(&f, edit, "b", "a + 1");
    assert_true(mw_edit_defined(edit, fresh, &span));
    assert_string_equal(mw_sources_piece(f.sources, span).at, "a + 1");
    assert_int_equal(mw_sheet_find(f.sheet, mw_str_of("b")), MW_NONE);
    mw_edit_cancel(edit);
    assert_int_equal(mw_sheet_count(f.sheet), 1);
    fixture_close(&f);
}

static void values_and_declared_slots(void **state)
{
    (void)state;
    fixture f;
    fixture_open(&f);
    mw_edit *edit = mw_edit_begin(f.sheet);
    const uint32_t area = mw_edit_cell(edit, mw_str_of("area"));
    const mw_constant constant = {4, MW_TYPE_AREA, MW_UNIT_ONE, {MW_NONE, 0, 0}};
    mw_edit_value(edit, area, &constant);
    const uint32_t mass = mw_edit_cell(edit, mw_str_of("mass"));
    const mw_definition definition = {.formula = fixture_text(&f, "mass", "area * 2 kg/m2"),
                                      .slot = MW_TYPE_MASS,
                                      .unit = MW_NONE};
    mw_edit_formula(edit, mass, &definition);
    fixture_expect_ok(&f, fixture_finish(&f, edit));
    assert_near(mw_sheet_value(f.sheet, mass), 8, 0);
    mw_sheet_set(f.sheet, area, 5, &f.changes);
    assert_near(mw_sheet_value(f.sheet, mass), 10, 0);
    assert_int_equal(f.changes.computed, 1);
    assert_int_equal(mw_sheet_formula(f.sheet, area).source, MW_NONE);
    edit = mw_edit_begin(f.sheet);
    const mw_definition wrong = {
        .formula = fixture_text(&f, "mass", "area * 2 kg"), .slot = MW_TYPE_MASS, .unit = MW_NONE};
    mw_edit_formula(edit, mass, &wrong);
    assert_int_equal(fixture_finish(&f, edit), MW_FAILED);
    assert_int_equal(f.diags.items[0].code, MW_CODE_WRONG_KIND);
    fixture_close(&f);
}

static void trying_changes_nothing(void **state)
{
    (void)state;
    fixture f;
    fixture_open(&f);
    fixture_load(&f, "a = 2\nall = [a, a * 2]\n");
    const size_t before = mw_sheet_bytes(f.sheet);
    double values[4];
    mw_answer answer = {.values = values, .room = 4};
    fixture_expect_ok(&f, mw_sheet_try(f.sheet, fixture_text(&f, "try", "all * 10 + 0.125"), NULL,
                                       &answer, &f.diags));
    assert_int_equal(answer.meaning.length, 2);
    assert_near(values[1], 40.125, 0);
    assert_int_equal(mw_sheet_count(f.sheet), 4);
    const mw_span wrong = fixture_text(&f, "try", "nothing_such");
    assert_int_equal(mw_sheet_try(f.sheet, wrong, NULL, &answer, &f.diags), MW_FAILED);
    char text[64];
    for (int i = 0; i < 20000; i++) {
        snprintf(text, sizeof text, "a * %d.5 + %d", i, i);
        const mw_span span = fixture_text(&f, "try", text);
        assert_int_equal(mw_sheet_try(f.sheet, span, NULL, &answer, &f.diags), MW_OK);
        assert_near(values[0], 2 * (i + 0.5) + i, 1e-15);
        mw_sources_drop_last(f.sources, span.source);
    }
    assert_in_range(mw_sheet_bytes(f.sheet), before, before + 4096);
    fixture_close(&f);
}

int main(void)
{
    test_list list = {0};
    test_add(&list, lines_in_any_order);
    test_add(&list, a_change_is_followed);
    test_add(&list, an_unchanged_value_ends_it);
    test_add(&list, an_error_that_stays_ends_it);
    test_add(&list, old_lines_read_new_ones);
    test_add(&list, a_value_becomes_computed);
    test_add_rows(&list, "refused", refusal_rows, refused_and_unchanged);
    test_add(&list, several_errors_in_one_run);
    test_add(&list, kinds_follow_a_redefinition);
    test_add(&list, kinds_follow_through_the_edit);
    test_add(&list, units_follow_too);
    test_add(&list, lists_and_ranges);
    test_add(&list, what_reads_what);
    test_add(&list, removing);
    test_add(&list, defined_says_where);
    test_add(&list, values_and_declared_slots);
    test_add(&list, trying_changes_nothing);
    return test_run(&list, "sheet edits");
}
