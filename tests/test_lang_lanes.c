/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Lanes: columns given and taken, one number where nothing differs, and in every lane the bits that
 * running gives. */
#include <math.h>

#include "lang/lanes.h"
#include "lang_fixture.h"
#include "lang_random.h"

/* --- columns -------------------------------------------------------------------------------------
 */

static void check_columns(void **state)
{
    (void)state;
    enum { CELLS = 200 };
    mw_lanes *lanes = mw_lanes_new(CELLS, 5);
    assert_non_null(lanes);
    assert_int_equal(mw_lanes_width(lanes), 5);
    double *columns[CELLS];
    for (uint32_t i = 0; i < CELLS; i++) {
        assert_null(mw_lanes_column(lanes, i));
        columns[i] = mw_lanes_give(lanes, i);
        assert_non_null(columns[i]);
        assert_int_equal((uintptr_t)columns[i] % 64, 0);
        for (uint32_t j = 0; j < 5; j++) {
            columns[i][j] = 10 * i + j;
        }
    }
    for (uint32_t i = 0; i < CELLS; i++) {
        assert_ptr_equal(mw_lanes_column(lanes, i), columns[i]);
        assert_ptr_equal(mw_lanes_give(lanes, i), columns[i]);
        for (uint32_t j = 0; j < 5; j++) {
            assert_near(columns[i][j], 10 * i + j, 0);
        }
    }
    mw_lanes_drop(lanes, 7);
    mw_lanes_drop(lanes, 7);
    assert_null(mw_lanes_column(lanes, 7));
    assert_ptr_equal(mw_lanes_column(lanes, 8), columns[8]);
    assert_ptr_equal(mw_lanes_give(lanes, 7), columns[7]); /* the one just given back */
    mw_lanes_clear(lanes);
    for (uint32_t i = 0; i < CELLS; i++) {
        assert_null(mw_lanes_column(lanes, i));
    }
    assert_ptr_equal(mw_lanes_give(lanes, 100), columns[0]); /* the memory was kept */
    mw_lanes_drop(lanes, 1000000);                           /* no such cell: nothing happens */
    assert_null(mw_lanes_column(lanes, 1000000));
    mw_lanes_free(lanes);
    mw_lanes_free(NULL);
}

static void check_widths(void **state)
{
    (void)state;
    assert_null(mw_lanes_new(10, 0));
    assert_null(mw_lanes_new(10, MW_LANES_MAX + 1));
    for (uint32_t width = 1; width <= MW_LANES_MAX; width++) {
        mw_lanes *lanes = mw_lanes_new(3, width);
        assert_non_null(lanes);
        double *column = mw_lanes_give(lanes, 2);
        assert_non_null(column);
        memset(column, 0x55, width * sizeof *column);
        mw_lanes_free(lanes);
    }
}

/* --- where columns come from
 * ----------------------------------------------------------------------- */

/* Cells with a column (by name) and what the result is: a column or one number. */
typedef struct shape_row {
    const char *formula; /* also the name of the test */
    const char *column;  /* name of the cell that has one; NULL: none */
    bool spread;
    const char *lanes; /* its lanes 1, 2, 3: the cell is -1, 0 and 4 there */
} shape_row;

static const shape_row shape_rows[] = {
    {"plies + 1", NULL, false, "5"},
    {"plies + 1", "plies", true, "0 1 5"},
    {"plies", "plies", true, "-1 0 4"},
    {"zero * 2 + 3", "plies", false, "3"},
    {"(zero + 1) * plies + (zero + 2)", "plies", true, "1 2 6"},
    {"plies * plies - plies", "plies", true, "2 0 12"},
    {"1 / plies", "plies", true, "-1 divide-by-zero 0.25"},
    {"sqrt(plies)", "plies", true, "out-of-domain 0 2"},
    {"if plies > 0 then 1 / plies else 0", "plies", true, "0 0 0.25"},
    {"if plies > 0 then wrong else plies", "plies", true, "-1 0 never"},
    {"if wet then 7 else plies", "plies", false, "7"},
    {"if dry then 7 else plies", "plies", true, "-1 0 4"},
    {"if wet then plies else 7", "plies", true, "-1 0 4"},
    {"if wet then plies else plies * 2", "plies", true, "-1 0 4"},
    {"if wrong > 0 then plies else 7", "plies", false, "never"},
    {"plies < 0", "plies", true, "1 0 0"},
    {"plies > -0.5 and 1 / plies > 0", "plies", true, "0 divide-by-zero 1"},
    {"plies = 0 or 1 / plies > 0", "plies", true, "0 1 1"},
    {"not (plies = 4)", "plies", true, "1 1 0"},
    {"abs(plies)", "plies", true, "1 0 4"},
    {"-plies", "plies", true, "1 -0 -4"},
    {"smallest(plies, 2)", "plies", true, "-1 0 2"},
    {"largest(2, plies)", "plies", true, "2 2 4"},
    {"sum(plies, plies, zero)", "plies", true, "-2 0 8"},
    {"plies^2", "plies", true, "1 0 16"},
    {"2^plies", "plies", true, "0.5 1 16"},
    {"round_up(plies / 3, 1)", "plies", true, "-0 0 2"},
    {"day(ready + plies * 1 d)", "plies", true, "10 11 15"},
    {"day(ready)", "plies", false, "11"},
    {"wrong + plies", "plies", true, "never never never"},
    {"plies * 1e308 * 10", "plies", true, "too-large 0 too-large"},
};

static void add_lane(mw_text *out, double value)
{
    const mw_code code = mw_error_code(value);
    mw_text_adds(out, out->length > 0 ? " " : "");
    if (code != MW_CODE_COUNT) {
        mw_text_adds(out, mw_code_word(code));
    } else {
        mw_text_addf(out, "%g", value);
    }
}

static void check_shape(void **state)
{
    const shape_row *wanted = *state;
    static const double values[3] = {-1, 0, 4};
    lang_fixture world;
    lang_start(&world);
    lang_must_check(&world, wanted->formula);
    lang_emit(&world);
    mw_lanes *lanes = mw_lanes_new(LANG_CELLS, 3);
    assert_non_null(lanes);
    for (uint32_t i = 0; wanted->column != NULL && i < LANG_NAMES; i++) {
        if (strcmp(lang_names[i].name, wanted->column) == 0) {
            double *column = mw_lanes_give(lanes, i);
            assert_non_null(column);
            memcpy(column, values, sizeof values);
        }
    }
    const mw_machine machine = {.base = mw_values_base(world.values)};
    assert_int_equal(mw_lanes_run(lanes, &machine, world.code.items, world.code.count), MW_OK);
    const double *result = mw_lanes_column(lanes, LANG_NAMES);
    assert_int_equal(result != NULL, wanted->spread);
    mw_text_clear(&world.text);
    for (uint32_t i = 0; i < (wanted->spread ? 3 : 1); i++) {
        add_lane(&world.text, result != NULL ? result[i] : lang_result(&world, 0));
    }
    assert_string_equal(mw_text_chars(&world.text), wanted->lanes);
    mw_lanes_free(lanes);
    lang_stop(&world);
}

/* A result that had a column loses it when its operands have none. */
static void check_column_lost(void **state)
{
    (void)state;
    lang_fixture world;
    lang_start(&world);
    lang_must_check(&world, "(plies + 1) * 2 - 1");
    lang_emit(&world);
    mw_lanes *lanes = mw_lanes_new(LANG_CELLS, 2);
    assert_non_null(lanes);
    double *column = mw_lanes_give(lanes, 3);
    assert_non_null(column);
    column[0] = 1;
    column[1] = 2;
    const mw_machine machine = {.base = mw_values_base(world.values)};
    assert_int_equal(mw_lanes_run(lanes, &machine, world.code.items, world.code.count), MW_OK);
    assert_near(mw_lanes_column(lanes, LANG_NAMES)[1], 5, 0);
    mw_lanes_drop(lanes, 3);
    assert_int_equal(mw_lanes_run(lanes, &machine, world.code.items, world.code.count), MW_OK);
    assert_null(mw_lanes_column(lanes, LANG_NAMES));
    assert_near(lang_result(&world, 0), 9, 0);
    mw_lanes_free(lanes);
    lang_stop(&world);
}

/* --- random formulas: every lane as if run alone
 * ---------------------------------------------------- */

enum { RANDOM_CELLS = RANDOM_NUMBERS + RANDOM_TRUTHS + RANDOM_LIST, RESULT = RANDOM_CELLS };

static mw_status find_random(void *context, const mw_path *path, mw_reference *out, mw_diags *diags)
{
    (void)context, (void)diags;
    static const uint32_t list[RANDOM_LIST] = {
        RANDOM_NUMBERS + RANDOM_TRUTHS, RANDOM_NUMBERS + RANDOM_TRUTHS + 1,
        RANDOM_NUMBERS + RANDOM_TRUTHS + 2, RANDOM_NUMBERS + RANDOM_TRUTHS + 3,
        RANDOM_NUMBERS + RANDOM_TRUTHS + 4};
    const mw_str name = path->parts[0];
    *out = (mw_reference){.count = 1};
    if (name.length > 2) {
        *out = (mw_reference){.slots = list, .count = RANDOM_LIST, .list = true};
    } else if (name.at[0] == 'b') {
        out->slot = RANDOM_NUMBERS + (uint32_t)(name.at[1] - '0');
        out->type = MW_TYPE_TRUTH;
    } else {
        out->slot = (uint32_t)(name.at[1] - '0');
    }
    return MW_OK;
}

static double random_value(lang_random *random, bool truth)
{
    static const double special[] = {0,     -0.0,   1,      -1,  2,
                                     1e300, -1e300, 1e-300, 0.1, 0.30000000000000004};
    const uint32_t kind = lang_below(random, 12);
    if (kind == 0) {
        return mw_error_value((mw_code)lang_below(random, MW_CODE_COUNT));
    }
    if (truth) {
        return lang_below(random, 2);
    }
    return kind < 4 ? special[lang_below(random, sizeof special / sizeof special[0])]
                    : (lang_below(random, 20000) - 10000.0) / 64;
}

typedef struct trial {
    lang_fixture world;
    lang_random random;
    uint64_t seed;
    mw_text formula;
    mw_lanes *lanes;
    double alone[RANDOM_CELLS][MW_LANES_MAX];
} trial;

static void fill_cells(trial *now)
{
    double *base = mw_values_base(now->world.values);
    const uint32_t width = mw_lanes_width(now->lanes);
    mw_lanes_clear(now->lanes);
    for (uint32_t cell = 0; cell < RANDOM_CELLS; cell++) {
        const bool truth = cell >= RANDOM_NUMBERS && cell < RANDOM_NUMBERS + RANDOM_TRUTHS;
        base[cell] = random_value(&now->random, truth);
        double *column = lang_below(&now->random, 2) == 0 ? mw_lanes_give(now->lanes, cell) : NULL;
        for (uint32_t i = 0; i < width; i++) {
            now->alone[cell][i] = base[cell];
            if (column != NULL) {
                column[i] = random_value(&now->random, truth);
                now->alone[cell][i] = column[i];
            }
        }
    }
}

static void compare_lanes(trial *now)
{
    lang_fixture *world = &now->world;
    const mw_machine machine = {.base = mw_values_base(world->values)};
    assert_int_equal(mw_lanes_run(now->lanes, &machine, world->code.items, world->code.count),
                     MW_OK);
    double got[MW_LANES_MAX];
    const double *column = mw_lanes_column(now->lanes, RESULT);
    const uint32_t width = mw_lanes_width(now->lanes);
    for (uint32_t i = 0; i < width; i++) {
        got[i] = column != NULL ? column[i] : machine.base[RESULT];
    }
    for (uint32_t i = 0; i < width; i++) {
        for (uint32_t cell = 0; cell < RANDOM_CELLS; cell++) {
            machine.base[cell] = now->alone[cell][i];
        }
        mw_run(&machine, world->code.items, world->code.count);
        if (memcmp(&got[i], &machine.base[RESULT], sizeof got[i]) != 0) {
            fail_msg("seed %llu, lane %u of %u: %s gives %a, alone %a",
                     (unsigned long long)now->seed, i, width, mw_text_chars(&now->formula), got[i],
                     machine.base[RESULT]);
        }
    }
}

static void try_formulas(const mw_lane_kernels *kernels, uint32_t width, int count)
{
    static trial now;
    memset(&now, 0, sizeof now);
    lang_start(&now.world);
    now.random.state = 20270311 + width;
    now.world.scope = (mw_scope){.find = find_random};
    now.lanes = mw_lanes_new(RANDOM_CELLS + 1, width);
    assert_non_null(now.lanes);
    now.lanes->kernels = kernels;
    const uint32_t to = RESULT;
    for (int i = 0; i < count; i++) {
        now.seed = now.random.state;
        mw_text_clear(&now.formula);
        if (lang_below(&now.random, 3) == 0) {
            lang_random_truth(&now.random, &now.formula, 4);
        } else {
            lang_random_number(&now.random, &now.formula, 5);
        }
        lang_must_check(&now.world, mw_text_chars(&now.formula));
        now.world.code.count = 0;
        assert_int_equal(mw_compiler_emit(now.world.compiler, &to, &now.world.code, NULL), MW_OK);
        fill_cells(&now);
        compare_lanes(&now);
        mw_sources_drop_last(now.world.sources, now.world.source);
    }
    mw_lanes_free(now.lanes);
    mw_text_free(&now.formula);
    lang_stop(&now.world);
}

static void check_random_plain(void **state)
{
    (void)state;
    try_formulas(mw_lanes_plain, 13, 6000);
    try_formulas(mw_lanes_plain, 8, 2000);
}

static void check_random_here(void **state)
{
    (void)state;
    try_formulas(mw_lanes_kernels(), 1, 3000);
    try_formulas(mw_lanes_kernels(), 13, 6000);
    try_formulas(mw_lanes_kernels(), 256, 300);
}

/* --- kernels: each operation, each choice of columns
 * ------------------------------------------------- */

static void compare_kernel(const mw_lane_kernels *kernels, uint16_t operation, uint32_t columns)
{
    enum { LANES = 16 };
    lang_random random = {12345};
    _Alignas(64) double place[3][LANES];
    _Alignas(64) double got[LANES];
    for (int round = 0; round < 50; round++) {
        for (uint32_t i = 0; i < 3 * LANES; i++) {
            place[i / LANES][i % LANES] = random_value(&random, false);
        }
        const double *const places[3] = {place[0], place[1], place[2]};
        const uint64_t found = kernels[operation][columns](got, places, LANES);
        bool all = true;
        for (uint32_t i = 0; i < LANES; i++) {
            double one[3];
            for (uint32_t j = 0; j < 3; j++) {
                one[j] = place[j][(columns >> j & 1) != 0 ? i : 0];
            }
            const double wanted = mw_operation_apply(operation, 0, one);
            if (mw_is_number(got[i])) {
                assert_memory_equal(&got[i], &wanted, sizeof wanted);
            } else {
                all = false;
            }
        }
        assert_int_equal(found == 0, all);
    }
}

static void check_kernels(void **state)
{
    (void)state;
    const mw_lane_kernels *const tables[] = {mw_lanes_plain, mw_lanes_kernels()};
    for (size_t table = 0; table < 2; table++) {
        for (uint16_t operation = 0; operation < MW_OPERATION_COUNT; operation++) {
            const mw_operation_row *row = &mw_operation_rows[operation];
            for (uint32_t columns = 1; columns < 8; columns++) {
                const bool wanted = row->wide && columns < 1u << row->operands;
                assert_int_equal(tables[table][operation][columns] != NULL, wanted);
                if (wanted) {
                    compare_kernel(tables[table], operation, columns);
                }
            }
        }
    }
}

/* --- memory
 * ---------------------------------------------------------------------------------------- */

static support_outcome run_once(void *context)
{
    lang_fixture *world = context;
    mw_lanes *lanes = mw_lanes_new(LANG_CELLS, 70);
    if (lanes == NULL) {
        return SUPPORT_NO_MEMORY;
    }
    double *column = mw_lanes_give(lanes, 3);
    bool fine = column != NULL;
    for (uint32_t i = 0; fine && i < 70; i++) {
        column[i] = i;
    }
    for (uint32_t i = 40; fine && i < 80 && i < LANG_CELLS; i++) {
        fine = mw_lanes_give(lanes, i) != NULL;
    }
    const mw_machine machine = {.base = mw_values_base(world->values)};
    fine = fine && mw_lanes_run(lanes, &machine, world->code.items, world->code.count) == MW_OK;
    mw_lanes_free(lanes);
    return fine ? SUPPORT_DONE : SUPPORT_NO_MEMORY;
}

static void check_no_memory(void **state)
{
    (void)state;
    lang_fixture world;
    lang_start(&world);
    lang_must_check(&world, "(plies - 1) * (plies - 2) / (plies - 3)");
    lang_emit(&world);
    assert_true(support_fail_each_allocation(run_once, &world) >= 6);
    lang_stop(&world);
}

int main(void)
{
    test_list tests = {0};
    test_add(&tests, check_columns);
    test_add(&tests, check_widths);
    test_add_rows(&tests, "lanes", shape_rows, check_shape);
    test_add(&tests, check_column_lost);
    test_add(&tests, check_kernels);
    test_add(&tests, check_random_plain);
    test_add(&tests, check_random_here);
    test_add(&tests, check_no_memory);
    return test_run(&tests, "lang_lanes");
}
