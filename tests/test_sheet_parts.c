/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Templates, sums, outside nodes and lanes. Expected values are worked out by hand. */
#include <stdlib.h>

#include "sheet_fixture.h"

enum { MANY = 100000 };

static mw_constant number(double value)
{
    return (mw_constant){value, MW_TYPE_NUMBER, MW_UNIT_ONE, {MW_NONE, 0, 0}};
}

/* Makes `count` cells in a row with the values 1, 2, 3 ... */
static uint32_t counting_cells(mw_edit *edit, uint32_t count)
{
    const uint32_t first = mw_edit_cells(edit, count);
    for (uint32_t i = 0; i < count; i++) {
        const mw_constant constant = number(i + 1.0);
        mw_edit_value(edit, first + i, &constant);
    }
    return first;
}

typedef struct sum_row {
    const char *name;
    uint32_t count;
} sum_row;

static const sum_row sum_rows[] = {{"nothing", 0}, {"one", 1},      {"two", 2},
                                   {"a node", 32}, {"33", 33},      {"two levels", 1024},
                                   {"1025", 1025}, {"three", 5000}, {"many", 40000}};

/* 1 + 2 + ... + n = n (n + 1) / 2. */
static void sums_are_trees(void **state)
{
    const sum_row *row = *state;
    fixture f;
    fixture_open(&f);
    mw_edit *edit = mw_edit_begin(f.sheet);
    const uint32_t first = counting_cells(edit, row->count + 1);
    uint32_t *cells = calloc(row->count + 1, sizeof *cells);
    for (uint32_t i = 0; i < row->count; i++) {
        cells[i] = first + i;
    }
    const uint32_t total = mw_edit_cell(edit, mw_str_of("total"));
    mw_edit_sum(edit, total, cells, row->count, MW_TYPE_NUMBER);
    fixture_formula(&f, edit, "double", "total * 2");
    fixture_expect_ok(&f, fixture_finish(&f, edit));
    const double n = row->count;
    assert_near(fixture_value(&f, "double"), n * (n + 1), 0);
    cell_list list = {0};
    if (row->count > 0) {
        mw_sheet_set(f.sheet, first + row->count - 1, n + 0.5, &f.changes);
        assert_near(fixture_value(&f, "double"), n * (n + 1) + 1, 0);
        assert_in_range(f.changes.computed, 2, 5);
        mw_sheet_readers(f.sheet, first, cell_list_add, &list);
        assert_int_equal(list.count, 1);
        assert_int_equal(list.cells[0], total);
    }
    if (row->count < 256) {
        list.count = 0;
        mw_sheet_reads(f.sheet, total, cell_list_add, &list);
        assert_int_equal(list.count, row->count);
        for (uint32_t i = 0; i < row->count; i++) {
            assert_int_equal(list.cells[i], first + i);
        }
    }
    free(cells);
    fixture_close(&f);
}

static void a_sum_can_be_made_anew(void **state)
{
    (void)state;
    fixture f;
    fixture_open(&f);
    mw_edit *edit = mw_edit_begin(f.sheet);
    uint32_t cells[100];
    const uint32_t first = counting_cells(edit, 100);
    for (uint32_t i = 0; i < 100; i++) {
        cells[i] = first + i;
    }
    const uint32_t total = mw_edit_cell(edit, mw_str_of("total"));
    mw_edit_sum(edit, total, cells, 100, MW_TYPE_NUMBER);
    fixture_expect_ok(&f, fixture_finish(&f, edit));
    const uint32_t count = mw_sheet_count(f.sheet);
    for (uint32_t some = 0; some <= 100; some += 10) {
        edit = mw_edit_begin(f.sheet);
        mw_edit_sum(edit, total, cells, some, MW_TYPE_NUMBER);
        fixture_expect_ok(&f, fixture_finish(&f, edit));
        assert_near(mw_sheet_value(f.sheet, total), some * (some + 1) / 2.0, 0);
    }
    assert_in_range(mw_sheet_count(f.sheet), count, count + 10);
    edit = mw_edit_begin(f.sheet);
    const mw_constant mass = {1, MW_TYPE_MASS, MW_UNIT_ONE, {MW_NONE, 0, 0}};
    mw_edit_value(edit, first + 5, &mass);
    assert_int_equal(fixture_finish(&f, edit), MW_FAILED);
    assert_int_equal(f.diags.items[0].code, MW_CODE_WRONG_KIND);
    fixture_close(&f);
}

/* A scope with ports: `a` is port 3, `b` port 5, `all` the ports 7 and 9. */
static mw_status find_port(void *context, const mw_path *path, mw_reference *out, mw_diags *diags)
{
    static const uint32_t all[] = {7, 9};
    (void)context;
    (void)diags;
    *out = (mw_reference){.count = 1, .type = MW_TYPE_NUMBER, .unit = MW_UNIT_ONE};
    if (mw_str_is(path->parts[0], "a")) {
        out->slot = 3;
    } else if (mw_str_is(path->parts[0], "b")) {
        out->slot = 5;
        out->type = MW_TYPE_MASS;
    } else if (mw_str_is(path->parts[0], "all")) {
        out->list = true;
        out->slots = all;
        out->count = 2;
    } else {
        return MW_NOT_FOUND;
    }
    return MW_OK;
}

static const mw_scope port_scope = {.find = find_port};

static void templates_are_bound(void **state)
{
    (void)state;
    fixture f;
    fixture_open(&f);
    const mw_template *made =
        mw_sheet_template(f.sheet, fixture_text(&f, "recipe", "b * a + 0.25 kg * sum(all)"),
                          &port_scope, MW_TYPE_MASS, &f.diags);
    assert_non_null(made);
    uint32_t count;
    const uint32_t *ports = mw_template_ports(made, &count);
    assert_int_equal(count, 4);
    assert_int_equal(ports[0], 5);
    assert_int_equal(ports[1], 3);
    mw_edit *edit = mw_edit_begin(f.sheet);
    uint32_t map[10] = {0};
    /* Bound before what it reads is defined. */
    const uint32_t bound = mw_edit_cells(edit, 2);
    map[3] = mw_edit_cell(edit, mw_str_of("plies"));
    map[5] = mw_edit_cell(edit, mw_str_of("mass"));
    map[7] = map[3];
    map[9] = bound + 1;
    mw_edit_bind(edit, bound, made, map, 10);
    fixture_formula(&f, edit, "mass", "2 kg");
    fixture_formula(&f, edit, "plies", "factor * 2");
    fixture_formula(&f, edit, "factor", "3");
    const mw_constant constant = number(10);
    mw_edit_value(edit, bound + 1, &constant);
    fixture_expect_ok(&f, fixture_finish(&f, edit));
    assert_near(mw_sheet_value(f.sheet, bound), 2 * 6 + 0.25 * 16, 1e-15);
    assert_int_equal(mw_sheet_type(f.sheet, bound), MW_TYPE_MASS);
    fixture_line(&f, "factor", "1");
    assert_near(mw_sheet_value(f.sheet, bound), 2 * 2 + 0.25 * 12, 1e-15);
    assert_int_equal(fixture_try_line(&f, "mass", "2 m"), MW_FAILED);
    assert_int_equal(f.diags.items[0].code, MW_CODE_WRONG_KIND);
    fixture_close(&f);
}

static void many_are_bound(void **state)
{
    (void)state;
    fixture f;
    fixture_open(&f);
    const mw_template *made = mw_sheet_template(f.sheet, fixture_text(&f, "recipe", "a * 2 + 1"),
                                                &port_scope, MW_NONE, &f.diags);
    const mw_template *constant = mw_sheet_template(f.sheet, fixture_text(&f, "recipe", "1.5 * 2"),
                                                    &port_scope, MW_NONE, &f.diags);
    assert_non_null(made);
    assert_non_null(constant);
    mw_edit *edit = mw_edit_begin(f.sheet);
    const uint32_t first = mw_edit_cells(edit, MANY + 1);
    uint32_t map[4] = {0};
    for (uint32_t i = 1; i <= MANY; i++) {
        map[3] = first + i % 5000;
        if (i < 5000) {
            mw_edit_bind(edit, first + i, constant, NULL, 0);
        } else {
            mw_edit_bind(edit, first + i, made, map, 4);
        }
    }
    const mw_constant zero = number(0);
    mw_edit_value(edit, first, &zero);
    fixture_expect_ok(&f, fixture_finish(&f, edit));
    assert_near(mw_sheet_value(f.sheet, first + 5000), 1, 0);
    assert_near(mw_sheet_value(f.sheet, first + MANY - 1), 7, 0);
    fixture_close(&f);
}

/* Outside: the sum of the inputs, and how many calls there were. */
typedef struct adder {
    int calls;
} adder;

static void add_up(void *context, const double *inputs, uint32_t input_count, double *outputs,
                   uint32_t output_count)
{
    adder *work = context;
    work->calls++;
    outputs[0] = 0;
    for (uint32_t i = 0; i < input_count; i++) {
        outputs[0] += inputs[i];
    }
    if (output_count > 1) {
        outputs[1] = inputs[0];
    }
}

typedef struct outside_fixture {
    fixture f;
    adder work;
    uint32_t output;
} outside_fixture;

/* hours = a * 2 and b go in; `end` = output + 1 comes after. */
static void outside_open(outside_fixture *o)
{
    fixture_open(&o->f);
    o->work.calls = 0;
    mw_edit *edit = mw_edit_begin(o->f.sheet);
    o->output = mw_edit_cells(edit, 2);
    const mw_constant unknown = number(nan(""));
    mw_edit_value(edit, o->output, &unknown);
    mw_edit_value(edit, o->output + 1, &unknown);
    fixture_formula(&o->f, edit, "a", "1");
    fixture_formula(&o->f, edit, "b", "10");
    fixture_formula(&o->f, edit, "hours", "a * 2");
    const uint32_t inputs[] = {mw_edit_cell(edit, mw_str_of("hours")),
                               mw_edit_cell(edit, mw_str_of("b"))};
    const mw_outside_node node = {.compute = add_up,
                                  .context = &o->work,
                                  .inputs = inputs,
                                  .input_count = 2,
                                  .first_output = o->output,
                                  .output_count = 2};
    mw_edit_outside(edit, &node);
    const uint32_t end = mw_edit_cell(edit, mw_str_of("end"));
    const uint32_t sum[] = {o->output, inputs[1]};
    mw_edit_sum(edit, end, sum, 2, MW_TYPE_NUMBER);
    fixture_expect_ok(&o->f, fixture_finish(&o->f, edit));
}

static void outside_nodes_follow(void **state)
{
    (void)state;
    outside_fixture o;
    outside_open(&o);
    assert_int_equal(o.work.calls, 1);
    assert_near(fixture_value(&o.f, "end"), 22, 0);
    fixture_line(&o.f, "a", "2");
    assert_int_equal(o.work.calls, 2);
    assert_near(fixture_value(&o.f, "end"), 24, 0);
    fixture_line(&o.f, "unrelated", "3");
    fixture_line(&o.f, "a", "2");
    assert_int_equal(o.work.calls, 2);
    fixture_close(&o.f);
}

static void outside_output_that_stays(void **state)
{
    (void)state;
    outside_fixture o;
    outside_open(&o);
    fixture_line(&o.f, "late", "3");
    mw_edit *edit = mw_edit_begin(o.f.sheet);
    const uint32_t readers[] = {o.output + 1};
    const uint32_t twice = mw_edit_cell(edit, mw_str_of("same"));
    mw_edit_sum(edit, twice, readers, 1, MW_TYPE_NUMBER);
    fixture_expect_ok(&o.f, fixture_finish(&o.f, edit));
    fixture_line(&o.f, "b", "20");
    /* two outputs and the sum `end`; `same` reads the output that stays */
    assert_int_equal(o.f.changes.computed, 3);
    mw_sheet_recompute(o.f.sheet, &o.f.changes);
    assert_int_equal(o.work.calls, 3);
    assert_int_equal(o.f.changes.changed, 0);
    fixture_close(&o.f);
}

static void outside_loop_is_refused(void **state)
{
    (void)state;
    outside_fixture o;
    outside_open(&o);
    assert_int_equal(fixture_try_line(&o.f, "a", "end * 2"), MW_FAILED);
    assert_int_equal(o.f.diags.items[0].code, MW_CODE_CYCLE);
    assert_true(fixture_says(&o.f, "`a` (a:1) -> `end` -> `hours` (hours:1) -> `a`"));
    assert_near(fixture_value(&o.f, "end"), 22, 0);
    fixture_line(&o.f, "a", "3");
    assert_near(fixture_value(&o.f, "end"), 26, 0);
    fixture_close(&o.f);
}

static void outside_inputs_can_change(void **state)
{
    (void)state;
    outside_fixture o;
    outside_open(&o);
    mw_edit *edit = mw_edit_begin(o.f.sheet);
    fixture_formula(&o.f, edit, "extra", "a * 100");
    const uint32_t inputs[] = {mw_edit_cell(edit, mw_str_of("extra")), fixture_cell(&o.f, "b"),
                               fixture_cell(&o.f, "hours")};
    const mw_outside_node node = {.compute = add_up,
                                  .context = &o.work,
                                  .inputs = inputs,
                                  .input_count = 3,
                                  .first_output = o.output,
                                  .output_count = 2};
    mw_edit_outside(edit, &node);
    fixture_expect_ok(&o.f, fixture_finish(&o.f, edit));
    assert_near(fixture_value(&o.f, "end"), 122, 0);
    fixture_line(&o.f, "a", "2");
    assert_near(fixture_value(&o.f, "end"), 224, 0);
    cell_list list = {0};
    mw_sheet_reads(o.f.sheet, o.output, cell_list_add, &list);
    assert_int_equal(list.count, 3);
    list.count = 0;
    mw_sheet_readers(o.f.sheet, fixture_cell(&o.f, "hours"), cell_list_add, &list);
    assert_int_equal(list.count, 2);
    assert_int_equal(list.cells[0], o.output);
    fixture_close(&o.f);
}

static void an_output_of_another_kind_takes_the_node_away(void **state)
{
    (void)state;
    outside_fixture o;
    outside_open(&o);
    mw_edit *edit = mw_edit_begin(o.f.sheet);
    const mw_constant constant = number(5);
    mw_edit_value(edit, o.output, &constant);
    fixture_expect_ok(&o.f, fixture_finish(&o.f, edit));
    assert_near(fixture_value(&o.f, "end"), 15, 0);
    fixture_line(&o.f, "a", "7");
    assert_int_equal(o.work.calls, 1);
    assert_near(fixture_value(&o.f, "end"), 15, 0);
    /* And made anew, with another context. */
    adder other = {0};
    edit = mw_edit_begin(o.f.sheet);
    const uint32_t inputs[] = {fixture_cell(&o.f, "hours")};
    const mw_outside_node node = {.compute = add_up,
                                  .context = &other,
                                  .inputs = inputs,
                                  .input_count = 1,
                                  .first_output = o.output,
                                  .output_count = 1};
    mw_edit_outside(edit, &node);
    fixture_expect_ok(&o.f, fixture_finish(&o.f, edit));
    assert_int_equal(other.calls, 1);
    assert_near(fixture_value(&o.f, "end"), 24, 0);
    edit = mw_edit_begin(o.f.sheet);
    mw_edit_outside(edit, &node);
    mw_edit_cancel(edit);
    fixture_line(&o.f, "a", "1");
    assert_near(fixture_value(&o.f, "end"), 12, 0);
    fixture_close(&o.f);
}

static void values_become_outputs(void **state)
{
    (void)state;
    fixture f;
    fixture_open(&f);
    mw_edit *edit = mw_edit_begin(f.sheet);
    const uint32_t first = counting_cells(edit, 2);
    const uint32_t total = mw_edit_cell(edit, mw_str_of("total"));
    const uint32_t cells[] = {first, first + 1};
    mw_edit_sum(edit, total, cells, 2, MW_TYPE_NUMBER);
    fixture_expect_ok(&f, fixture_finish(&f, edit));
    assert_near(mw_sheet_value(f.sheet, total), 3, 0);
    adder work = {0};
    edit = mw_edit_begin(f.sheet);
    fixture_formula(&f, edit, "y", "2 + 3 * 1");
    fixture_formula(&f, edit, "late", "4 * y");
    const uint32_t inputs[] = {mw_edit_cell(edit, mw_str_of("late"))};
    const mw_outside_node node = {.compute = add_up,
                                  .context = &work,
                                  .inputs = inputs,
                                  .input_count = 1,
                                  .first_output = first,
                                  .output_count = 1};
    mw_edit_outside(edit, &node);
    fixture_expect_ok(&f, fixture_finish(&f, edit));
    /* The sum stood before the node that it now reads. */
    assert_near(mw_sheet_value(f.sheet, total), 22, 0);
    fixture_line(&f, "y", "1");
    assert_near(mw_sheet_value(f.sheet, total), 6, 0);
    fixture_close(&f);
}

static void outputs_in_error(void **state)
{
    (void)state;
    outside_fixture o;
    outside_open(&o);
    fixture_line(&o.f, "a", "1 / 0");
    assert_int_equal(mw_error_code(fixture_value(&o.f, "end")), MW_CODE_DIVIDE_BY_ZERO);
    assert_int_equal(mw_sheet_blame(o.f.sheet, fixture_cell(&o.f, "end")), fixture_cell(&o.f, "a"));
    fixture_line(&o.f, "a", "1e308 * 1.7");
    assert_int_equal(mw_error_code(mw_sheet_value(o.f.sheet, o.output)), MW_CODE_TOO_LARGE);
    fixture_close(&o.f);
}

static void lanes_stand_beside_the_sheet(void **state)
{
    (void)state;
    outside_fixture o;
    outside_open(&o);
    mw_lanes *lanes = mw_lanes_new(mw_sheet_count(o.f.sheet), 3);
    double *a = mw_lanes_give(lanes, fixture_cell(&o.f, "a"));
    for (int i = 0; i < 3; i++) {
        a[i] = i + 1;
    }
    fixture_expect_ok(&o.f, mw_sheet_lanes(o.f.sheet, lanes, &o.f.changes));
    const double *end = mw_lanes_column(lanes, fixture_cell(&o.f, "end"));
    assert_non_null(end);
    for (int i = 0; i < 3; i++) {
        assert_near(end[i], 20 + 2 * (i + 1), 0);
    }
    assert_null(mw_lanes_column(lanes, fixture_cell(&o.f, "b")));
    assert_near(fixture_value(&o.f, "end"), 22, 0);
    mw_lanes_clear(lanes);
    double *hours = mw_lanes_give(lanes, fixture_cell(&o.f, "hours")); /* computed, but given */
    a = mw_lanes_give(lanes, fixture_cell(&o.f, "a"));
    for (int i = 0; i < 3; i++) {
        hours[i] = 100 * i;
        a[i] = -1;
    }
    fixture_expect_ok(&o.f, mw_sheet_lanes(o.f.sheet, lanes, &o.f.changes));
    end = mw_lanes_column(lanes, fixture_cell(&o.f, "end"));
    for (int i = 0; i < 3; i++) {
        assert_near(end[i], 20 + 100 * i, 0);
    }
    mw_lanes_clear(lanes);
    double *given = mw_lanes_give(lanes, o.output); /* an output, but given */
    a = mw_lanes_give(lanes, fixture_cell(&o.f, "a"));
    for (int i = 0; i < 3; i++) {
        given[i] = 1000 * i;
        a[i] = i;
    }
    fixture_expect_ok(&o.f, mw_sheet_lanes(o.f.sheet, lanes, NULL));
    end = mw_lanes_column(lanes, fixture_cell(&o.f, "end"));
    for (int i = 0; i < 3; i++) {
        assert_near(end[i], 10 + 1000 * i, 0);
        assert_near(mw_lanes_column(lanes, o.output + 1)[i], 2 * i, 0);
    }
    mw_lanes_free(lanes);
    fixture_close(&o.f);
}

int main(void)
{
    test_list list = {0};
    test_add_rows(&list, "sum", sum_rows, sums_are_trees);
    test_add(&list, a_sum_can_be_made_anew);
    test_add(&list, templates_are_bound);
    test_add(&list, many_are_bound);
    test_add(&list, outside_nodes_follow);
    test_add(&list, outside_output_that_stays);
    test_add(&list, outside_loop_is_refused);
    test_add(&list, outside_inputs_can_change);
    test_add(&list, an_output_of_another_kind_takes_the_node_away);
    test_add(&list, values_become_outputs);
    test_add(&list, outputs_in_error);
    test_add(&list, lanes_stand_beside_the_sheet);
    return test_run(&list, "sheet parts");
}
