/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Sheets whose owner has names, scopes and functions of its own, and templates with lists. Values are
 * worked out by hand. */
#include "sheet_fixture.h"

/* An owner of nameless cells: its names are single letters, `a` the first cell. */
typedef struct owner {
    fixture f;
    mw_scope scope;
    uint32_t first;
    uint32_t count;
    bool knows_scopes;
} owner;

static mw_status find_letter(void *context, const mw_path *path, mw_reference *out, mw_diags *diags)
{
    (void)diags;
    owner *o = context;
    const mw_str name = path->parts[0];
    const uint32_t at = (uint32_t)(unsigned char)name.at[0] - 'a';
    if (path->count != 1 || name.length != 1 || at >= o->count) {
        return MW_NOT_FOUND;
    }
    return mw_sheet_reference(o->f.sheet, o->first + at, out);
}

static const mw_scope *scope_of(void *context, uint32_t cell)
{
    const owner *o = context;
    assert_in_range(cell, o->first, o->first + o->count - 1);
    return o->knows_scopes ? &o->scope : NULL;
}

static void name_of(void *context, uint32_t cell, mw_text *out)
{
    const owner *o = context;
    mw_text_addf(out, "letter %c", (char)('a' + (cell - o->first)));
}

static void put(owner *o, mw_edit *edit, char letter, const char *formula)
{
    const mw_definition definition = {.formula = fixture_text(&o->f, "letters", formula),
                                      .scope = &o->scope,
                                      .slot = MW_NONE,
                                      .unit = MW_NONE};
    mw_edit_formula(edit, o->first + (uint32_t)(letter - 'a'), &definition);
}

static mw_status try_put(owner *o, char letter, const char *formula)
{
    mw_edit *edit = mw_edit_begin(o->f.sheet);
    put(o, edit, letter, formula);
    return fixture_finish(&o->f, edit);
}

static double letter_value(const owner *o, char letter)
{
    return mw_sheet_value(o->f.sheet, o->first + (uint32_t)(letter - 'a'));
}

static void owner_open(owner *o)
{
    memset(o, 0, sizeof *o);
    fixture_open(&o->f);
    const mw_sheet_owner hooks = {.context = o, .scope_of = scope_of, .name_of = name_of};
    mw_sheet_owned(o->f.sheet, &hooks);
    o->scope = (mw_scope){.context = o, .find = find_letter};
    o->count = 5;
    o->knows_scopes = true;
    mw_edit *edit = mw_edit_begin(o->f.sheet);
    o->first = mw_edit_cells(edit, o->count);
    put(o, edit, 'e', "d / 2");
    put(o, edit, 'd', "c + b");
    put(o, edit, 'c', "a * 3");
    put(o, edit, 'b', "4 kg");
    put(o, edit, 'a', "2 kg");
    fixture_expect_ok(&o->f, fixture_finish(&o->f, edit));
}

static void scopes_of_an_owner(void **state)
{
    (void)state;
    owner o;
    owner_open(&o);
    assert_near(letter_value(&o, 'e'), 5, 0);
    fixture_expect_ok(&o.f, try_put(&o, 'a', "1 kg"));
    assert_near(letter_value(&o, 'e'), 3.5, 0);
    assert_int_equal(try_put(&o, 'a', "d * 2"), MW_FAILED);
    assert_true(fixture_says(&o.f, "letter d"));
    fixture_close(&o.f);
}

static void owners_are_asked_for_scopes(void **state)
{
    (void)state;
    owner o;
    owner_open(&o);
    mw_edit *edit = mw_edit_begin(o.f.sheet);
    put(&o, edit, 'a', "2 m");
    put(&o, edit, 'b', "4 m");
    fixture_expect_ok(&o.f, fixture_finish(&o.f, edit));
    assert_int_equal(mw_sheet_type(o.f.sheet, o.first + 4), MW_TYPE_LENGTH);
    assert_near(letter_value(&o, 'e'), 5, 0);
    assert_int_equal(try_put(&o, 'a', "2 kg"), MW_FAILED);
    assert_true(fixture_says(&o.f, "letter d reads letter c, which would change"));
    o.knows_scopes = false;
    assert_int_equal(try_put(&o, 'e', "1"), MW_OK);
    assert_int_equal(try_put(&o, 'a', "2 kg"), MW_FAILED);
    assert_int_equal(o.f.diags.items[0].code, MW_CODE_STILL_NEEDED);
    fixture_close(&o.f);
}

static void references_outside_an_edit(void **state)
{
    (void)state;
    owner o;
    owner_open(&o);
    mw_reference found;
    assert_int_equal(mw_sheet_reference(o.f.sheet, o.first, &found), MW_OK);
    assert_int_equal(found.type, MW_TYPE_MASS);
    assert_int_equal(found.slot, o.first);
    assert_int_equal(mw_sheet_reference(o.f.sheet, o.first + 5, &found), MW_NOT_FOUND);
    fixture_line(&o.f, "list", "[1, 2, 3]");
    assert_int_equal(mw_sheet_reference(o.f.sheet, fixture_cell(&o.f, "list"), &found), MW_OK);
    assert_true(found.list);
    assert_int_equal(found.count, 3);
    assert_near(mw_sheet_value(o.f.sheet, found.slots[2]), 3, 0);
    double value;
    mw_answer answer = {.values = &value, .room = 1};
    fixture_expect_ok(&o.f, mw_sheet_try(o.f.sheet, fixture_text(&o.f, "try", "e * 2"), &o.scope,
                                         &answer, &o.f.diags));
    assert_near(value, 10, 0);
    fixture_close(&o.f);
}

/* ---- functions of a host ---- */

static double host_factor;

static double scale(void *host, const double *arguments, uint32_t count)
{
    (void)count;
    return arguments[0] * *(const double *)host;
}

static const mw_function host_functions[] = {{.name = "scaled",
                                              .takes = {"1", NULL},
                                              .names = {"x", NULL},
                                              .gives = "1",
                                              .about = "x times what the host has.",
                                              .example = "scaled(2)",
                                              .result = "6",
                                              .call = scale}};

static void host_functions_are_called_anew(void **state)
{
    (void)state;
    fixture f;
    fixture_open(&f);
    host_factor = 3;
    mw_sheet_host(f.sheet, (mw_host){host_functions, 1, &host_factor});
    fixture_load(&f, "a = scaled(2)\nb = a + scaled(b0)\nb0 = 1\n");
    assert_near(fixture_value(&f, "b"), 9, 0);
    host_factor = 10;
    mw_sheet_recompute(f.sheet, &f.changes);
    assert_near(fixture_value(&f, "a"), 20, 0);
    assert_near(fixture_value(&f, "b"), 30, 0);
    fixture_close(&f);
}

/* ---- templates with lists ---- */

static mw_status find_port(void *context, const mw_path *path, mw_reference *out, mw_diags *diags)
{
    (void)context;
    (void)diags;
    if (!mw_str_is(path->parts[0], "x")) {
        return MW_NOT_FOUND;
    }
    *out = (mw_reference){.slot = 2, .count = 1, .type = MW_TYPE_NUMBER, .unit = MW_UNIT_ONE};
    return MW_OK;
}

static bool suggest_port(void *context, const mw_path *path, mw_text *out)
{
    (void)context;
    (void)path;
    mw_text_adds(out, "x, if anything");
    return true;
}

static const mw_reference usual_port = {
    .slot = 4, .count = 1, .type = MW_TYPE_NUMBER, .unit = MW_UNIT_ONE};
static const mw_scope port_scope = {
    .find = find_port, .suggest = suggest_port, .usual = &usual_port};

typedef struct template_row {
    const char *name;
    const char *formula;
    uint32_t length;
    double first, last; /* results for x = 3 and usual = 10 */
    double then;        /* last result for x = 4 */
} template_row;

static const template_row template_rows[] = {
    {"one", "x * 2 + usual", 1, 16, 16, 18},
    {"a list", "[x, usual, x + usual]", 3, 3, 13, 14},
    {"a constant list", "[1, 2.5]", 2, 1, 2.5, 2.5},
    {"a range", "x .. x + 1 .. usual * x", 3, 3, 30, 40},
    {"a constant", "2 * 3.5", 1, 7, 7, 7},
    {"a called constant", "sqrt(16)", 1, 4, 4, 4},
};

static void templates_of_every_form(void **state)
{
    const template_row *row = *state;
    fixture f;
    fixture_open(&f);
    const mw_template *made = mw_sheet_template(f.sheet, fixture_text(&f, "recipe", row->formula),
                                                &port_scope, MW_NONE, &f.diags);
    assert_non_null(made);
    assert_int_equal(mw_template_meaning(made)->length, row->length);
    mw_edit *edit = mw_edit_begin(f.sheet);
    uint32_t map[5] = {0};
    map[2] = mw_edit_cell(edit, mw_str_of("x"));
    map[4] = mw_edit_cell(edit, mw_str_of("u"));
    const uint32_t bound = mw_edit_cell(edit, mw_str_of("bound"));
    mw_edit_bind(edit, bound, made, map, 5);
    fixture_formula(&f, edit, "x", "3");
    fixture_formula(&f, edit, "u", "x * 0 + 10");
    fixture_formula(&f, edit, "n", "count([bound])");
    if (row->length > 1) {
        fixture_formula(&f, edit, "n", "1");
    }
    fixture_expect_ok(&f, fixture_finish(&f, edit));
    uint32_t count;
    mw_shape shape;
    uint32_t first = mw_sheet_elements(f.sheet, bound, &count, &shape);
    assert_int_equal(count, row->length);
    assert_near(mw_sheet_value(f.sheet, first), row->first, 1e-15);
    assert_near(mw_sheet_value(f.sheet, first + count - 1), row->last, 1e-15);
    fixture_line(&f, "x", "4");
    assert_near(mw_sheet_value(f.sheet, first + count - 1), row->then, 1e-15);
    /* Bound again, and then something else: hidden cells are used again or given back. */
    edit = mw_edit_begin(f.sheet);
    mw_edit_bind(edit, bound, made, map, 5);
    mw_edit_unit(edit, bound, MW_UNIT_ONE);
    fixture_expect_ok(&f, fixture_finish(&f, edit));
    first = mw_sheet_elements(f.sheet, bound, &count, &shape);
    assert_near(mw_sheet_value(f.sheet, first + count - 1), row->then, 1e-15);
    assert_true(mw_sheet_bytes(f.sheet) > 0);
    fixture_close(&f);
}

static void refused_templates(void **state)
{
    (void)state;
    fixture f;
    fixture_open(&f);
    assert_null(mw_sheet_template(f.sheet, fixture_text(&f, "recipe", "y * 2"), &port_scope,
                                  MW_NONE, &f.diags));
    assert_true(fixture_says(&f, "x, if anything"));
    mw_diags_clear(&f.diags);
    assert_null(mw_sheet_template(f.sheet, fixture_text(&f, "recipe", "x * 2 kg"), &port_scope,
                                  MW_TYPE_LENGTH, &f.diags));
    assert_int_equal(f.diags.items[0].code, MW_CODE_WRONG_KIND);
    fixture_close(&f);
}

/* What is bound, summed or declared does not change its kind: it is checked and left alone. */
static void fixed_readers_are_checked(void **state)
{
    (void)state;
    fixture f;
    fixture_open(&f);
    const mw_template *made = mw_sheet_template(f.sheet, fixture_text(&f, "recipe", "[x, x * 2]"),
                                                &port_scope, MW_NONE, &f.diags);
    mw_edit *edit = mw_edit_begin(f.sheet);
    fixture_formula(&f, edit, "x", "3");
    const uint32_t map[5] = {0, 0, mw_edit_cell(edit, mw_str_of("x")), 0, 0};
    mw_edit_bind(edit, mw_edit_cell(edit, mw_str_of("bound")), made, map, 5);
    uint32_t cells[40];
    for (uint32_t i = 0; i < 40; i++) {
        cells[i] = map[2];
    }
    mw_edit_sum(edit, mw_edit_cell(edit, mw_str_of("total")), cells, 40, MW_TYPE_NUMBER);
    fixture_expect_ok(&f, fixture_finish(&f, edit));
    fixture_line(&f, "x", "300 %"); /* another unit of the same kind */
    assert_near(fixture_value(&f, "total"), 120, 1e-14);
    assert_int_equal(fixture_try_line(&f, "x", "3 kg"), MW_FAILED);
    assert_true(fixture_says(&f, "which would change"));
    assert_near(fixture_value(&f, "total"), 120, 1e-14);
    fixture_close(&f);
}

/* ---- many readers and reads ---- */

static void long_lists_are_shown_once(void **state)
{
    (void)state;
    fixture f;
    fixture_open(&f);
    mw_text text = {0};
    mw_text_adds(&text, "all = [");
    for (int i = 0; i < 120; i++) {
        mw_text_addf(&text, "x%d + x%d, ", i, 119 - i);
    }
    mw_text_adds(&text, "x0]\nn = count(all)\n");
    for (int i = 0; i < 120; i++) {
        mw_text_addf(&text, "x%d = %d\n", i, i);
    }
    fixture_load(&f, mw_text_chars(&text));
    mw_text_free(&text);
    cell_list list = {0};
    mw_sheet_reads(f.sheet, fixture_cell(&f, "all"), cell_list_add, &list);
    assert_int_equal(list.count, 120);
    assert_int_equal(list.cells[0], fixture_cell(&f, "x0"));
    assert_int_equal(list.cells[1], fixture_cell(&f, "x119"));
    list.count = 0;
    mw_sheet_reads(f.sheet, fixture_cell(&f, "n"), cell_list_add, &list);
    assert_int_equal(list.count, 121); /* it names the list, and so its elements */
    list.count = 0;
    mw_sheet_readers(f.sheet, fixture_cell(&f, "x7"), cell_list_add, &list);
    assert_int_equal(list.count, 1);
    assert_int_equal(list.cells[0], fixture_cell(&f, "all"));
    fixture_line(&f, "x3", "x4 / 0");
    uint32_t count;
    mw_shape shape;
    const uint32_t first = mw_sheet_elements(f.sheet, fixture_cell(&f, "all"), &count, &shape);
    assert_int_equal(mw_sheet_blame(f.sheet, first + 3), fixture_cell(&f, "x3"));
    fixture_close(&f);
}

int main(void)
{
    test_list list = {0};
    test_add(&list, scopes_of_an_owner);
    test_add(&list, owners_are_asked_for_scopes);
    test_add(&list, references_outside_an_edit);
    test_add(&list, host_functions_are_called_anew);
    test_add_rows(&list, "template", template_rows, templates_of_every_form);
    test_add(&list, refused_templates);
    test_add(&list, fixed_readers_are_checked);
    test_add(&list, long_lists_are_shown_once);
    return test_run(&list, "sheet owner");
}
