/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The code that formulas become: fused operations, few temporaries, constants worked out
 * beforehand. In the listings v0 area, v1 edge, v3 plies, v10 wet, v11 dry, v13 ready, v16 zero,
 * v19 to v21 moulds.area, v22 to v24 moulds.plies; results from v30 on; t temporaries, k constants.
 */
#include "lang_fixture.h"

typedef struct row {
    const char *formula; /* also the name of the test */
    const char *code;
} row;

static const row rows[] = {
    /* one instruction each */
    {"area", "v30 = copy v0\n"},
    {"12", "v30 = copy k1\n"},
    {"area as cm2", "v30 = copy v0\n"},
    {"area + area", "v30 = add v0 v0\n"},
    {"area * 1.0625", "v30 = multiply v0 k1\n"},
    {"-area", "v30 = negate v0\n"},
    {"sqrt(area)", "v30 = sqrt v0\n"},
    {"round_up(plies, 2)", "v30 = round-up v3 k1\n"},
    {"area > edge * 1 m", "t1 = multiply v1 k1\nv30 = greater v0 t1\n"},
    /* constants are worked out */
    {"600 g/m2 * 2", "v30 = copy k1\n"},
    {"(2 + 3) * plies", "v30 = multiply k1 v3\n"},
    {"plies * (1 - 8 %)", "v30 = multiply v3 k1\n"},
    {"if yes then 3 else 4", "v30 = copy k1\n"},
    {"count(moulds.area) * plies", "v30 = multiply k1 v3\n"},
    {"week(2027-03-11) * plies", "v30 = multiply k1 v3\n"},
    {"sum([1, 2, 3]) * plies", "v30 = multiply k1 v3\n"},
    {"[1, 2] * 3", "v30 = copy k1\nv31 = copy k2\n"},
    {"2 * 2 * plies * 4", "v30 = multiply-multiply k1 v3 k1\n"},
    /* two operations in one */
    {"plies * 2 + 3", "v30 = multiply-add v3 k1 k2\n"},
    {"3 + plies * 2", "v30 = multiply-add v3 k1 k2 (1)\n"},
    {"plies * 2 - 3", "v30 = multiply-subtract v3 k1 k2\n"},
    {"3 - plies * 2", "v30 = subtract-multiply v3 k1 k2 (1)\n"},
    {"plies + 2 + 3", "v30 = add-add v3 k1 k2\n"},
    {"plies + (2 + zero)", "v30 = add-add k1 v16 v3 (1)\n"},
    {"plies * zero * 3", "v30 = multiply-multiply v3 v16 k1\n"},
    {"plies * zero / 3", "v30 = multiply-divide v3 v16 k1\n"},
    {"3 / (plies * zero)", "t1 = multiply v3 v16\nv30 = divide k1 t1\n"},
    {"plies - 2 - 3", "t1 = subtract v3 k1\nv30 = subtract t1 k2\n"},
    {"plies * 2 + zero * 3", "t1 = multiply v3 k1\nv30 = multiply-add v16 k2 t1 (1)\n"},
    {"plies * 2 + zero * 3 + 4",
     "t1 = multiply v3 k1\nt1 = multiply-add v16 k2 t1 (1)\nv30 = add t1 k3\n"},
    {"plies^2", "v30 = multiply v3 v3\n"},
    {"plies^2 + 1", "v30 = multiply-add v3 v3 k1\n"},
    {"(plies + 1)^2", "t1 = add v3 k1\nv30 = multiply t1 t1\n"},
    {"plies^3", "v30 = power v3 k1\n"},
    {"2^plies", "v30 = power k1 v3\n"},
    /* temporaries are used again */
    {"(plies - 1) / (plies - 2)", "t1 = subtract v3 k1\nt2 = subtract v3 k2\nv30 = divide t1 t2\n"},
    {"((plies - 1) / (plies - 2)) / ((plies - 3) / (plies - 4))",
     "t1 = subtract v3 k1\nt2 = subtract v3 k2\nt1 = divide t1 t2\nt2 = subtract v3 k3\n"
     "t3 = subtract v3 k4\nt2 = divide t2 t3\nv30 = divide t1 t2\n"},
    {"if wet then plies else zero", "v30 = select v10 v3 v16\n"},
    {"if plies > 4 then plies - 1 else zero - 1",
     "t1 = greater v3 k1\nt2 = subtract v3 k2\nt3 = subtract v16 k2\nv30 = select t1 t2 t3\n"},
    {"wet and not dry or wet", "t1 = not v11\nt1 = and v10 t1\nv30 = or t1 v10\n"},
    /* sums as trees of a fixed shape */
    {"sum(moulds.area)", "v30 = add-add v19 v20 v21\n"},
    {"sum(plies, zero)", "v30 = add v3 v16\n"},
    {"sum(plies)", "v30 = copy v3\n"},
    {"sum(moulds.plies, plies)", "t1 = add-add v22 v23 v24\nv30 = add t1 v3\n"},
    {"sum(moulds.plies, moulds.plies, plies)",
     "t1 = add-add v22 v23 v24\nt2 = add-add v22 v23 v24\nv30 = add-add t1 t2 v3\n"},
    {"sum(plies, none / 1 m2, zero)", "v30 = add v3 v16\n"},
    {"sum([plies, zero, plies, zero, plies])",
     "t1 = add v3 v16\nt2 = add v3 v16\nv30 = add-add t1 t2 v3\n"},
    {"sum(moulds.plies * (plies - 1), moulds.plies * (plies - 2))",
     "t1 = subtract v3 k1\nt2 = multiply v22 t1\nt3 = multiply v23 t1\nt4 = multiply v24 t1\nt1 = add-add t2 t3 t4\nt2 = subtract v3 k2\nt3 = multiply v22 t2\nt4 = multiply v23 t2\nt5 = multiply v24 t2\nt2 = add-add t3 t4 t5\nv30 = add t1 t2\n"},
    {"mean(moulds.plies)", "t1 = add-add v22 v23 v24\nv30 = divide t1 k1\n"},
    {"largest(moulds.plies)", "t1 = larger v22 v23\nv30 = larger t1 v24\n"},
    {"sum(moulds.plies * 2)",
     "t1 = multiply v22 k1\nt2 = multiply v23 k1\nt3 = multiply v24 k1\nv30 = add-add t1 t2 t3\n"},
    {"sum([plies * 2, zero * 3])", "t1 = multiply v3 k1\nv30 = multiply-add v16 k2 t1 (1)\n"},
    /* what stands beside a list is computed once */
    {"sum(moulds.plies * (plies - 1))",
     "t1 = subtract v3 k1\nt2 = multiply v22 t1\nt3 = multiply v23 t1\nt4 = multiply v24 t1\n"
     "v30 = add-add t2 t3 t4\n"},
    {"1 + sum(moulds.plies * (plies - 1)) * 2",
     "t1 = subtract v3 k1\nt2 = multiply v22 t1\nt3 = multiply v23 t1\nt4 = multiply v24 t1\n"
     "t1 = add-add t2 t3 t4\nv30 = multiply-add t1 k2 k1 (1)\n"},
    {"largest(moulds.plies - sum(moulds.area) / 1 m2)",
     "t1 = add-add v19 v20 v21\nt1 = divide t1 k1\nt2 = subtract v22 t1\nt3 = subtract v23 t1\n"
     "t2 = larger t2 t3\nt3 = subtract v24 t1\nv30 = larger t2 t3\n"},
    /* each result by itself */
    {"moulds.plies * 2", "v30 = multiply v22 k1\nv31 = multiply v23 k1\nv32 = multiply v24 k1\n"},
    {"[plies, plies - 1]", "v30 = copy v3\nv31 = subtract v3 k1\n"},
    {"moulds.plies / sum(plies, 1)",
     "t1 = add v3 k1\nv30 = divide v22 t1\nt1 = add v3 k1\nv31 = divide v23 t1\n"
     "t1 = add v3 k1\nv32 = divide v24 t1\n"},
    /* ranges */
    {"1 .. 2 .. 3", "v30 = copy k1\nv31 = copy k2\nv32 = copy k3\n"},
    {"1 .. plies .. 9",
     "v30 = range k1 v3 k2\nv31 = range k1 v3 k2 (1)\nv32 = range k1 v3 k2 (2)\n"},
    {"(1 .. plies .. 9) + 1", "t1 = range k1 v3 k2 (1)\nv30 = add t1 k1\n"},
    {"(plies .. 9) + 1", "t1 = subtract k1 v3\nt1 = multiply-add t1 k2 v3\n"
                         "t1 = range v3 t1 k1 (1)\nv30 = add t1 k3\n"},
    /* calls take their values from temporaries side by side */
    {"week(ready)", "t1 = copy v13\nv30 = call t1 (1 values) function 23\n"},
    {"week(ready + 1 d) + 1",
     "t1 = later v13 k1\nt1 = call t1 (1 values) function 23\nv30 = add t1 k2\n"},
};

static void check_row(void **state)
{
    const row *wanted = *state;
    lang_fixture world;
    lang_start(&world);
    lang_must_check(&world, wanted->formula);
    lang_emit(&world);
    mw_program_words(world.code.items, world.code.count, &world.text);
    assert_string_equal(mw_text_chars(&world.text), wanted->code);
    lang_stop(&world);
}

/* Each result ends with the instruction that writes it, and nothing else writes cells. */
static void check_ends(void **state)
{
    const row *wanted = *state;
    lang_fixture world;
    lang_start(&world);
    lang_must_check(&world, wanted->formula);
    lang_emit(&world);
    uint32_t result = 0;
    for (uint32_t i = 0; i < world.code.count; i++) {
        const bool last = i + 1 == world.ends[result];
        assert_int_equal(world.code.items[i].to >= 0, last);
        if (last) {
            assert_int_equal(world.code.items[i].to, LANG_NAMES + result);
            result++;
        }
    }
    assert_int_equal(result, world.meaning.length);
    lang_stop(&world);
}

/* Code is added behind what is there; `ends` counts from the beginning and may be left out. */
static void check_append(void **state)
{
    (void)state;
    lang_fixture world;
    lang_start(&world);
    const uint32_t to[3] = {40, 41, 42};
    uint32_t ends[3];
    lang_must_check(&world, "plies * 2 + 3");
    assert_int_equal(mw_compiler_emit(world.compiler, to, &world.code, NULL), MW_OK);
    lang_must_check(&world, "moulds.plies - zero * zero - 1");
    assert_int_equal(mw_compiler_emit(world.compiler, to, &world.code, ends), MW_OK);
    assert_int_equal(world.code.count, 7);
    assert_int_equal(ends[0], 3);
    assert_int_equal(ends[1], 5);
    assert_int_equal(ends[2], 7);
    lang_stop(&world);
}

static void note_cell(void *context, uint32_t cell)
{
    mw_text_addf(context, "%u ", cell);
}

/* Templates: ports become cells. */
static void check_bind(void **state)
{
    (void)state;
    lang_fixture world;
    lang_start(&world);
    lang_must_check(&world, "if plies > 4 then week(ready) * area / 1 m2 else zero");
    lang_emit(&world);
    mw_program_reads(world.code.items, world.code.count, note_cell, &world.text);
    assert_string_equal(mw_text_chars(&world.text), "3 13 0 16 ");
    uint32_t map[LANG_CELLS];
    for (uint32_t i = 0; i < LANG_CELLS; i++) {
        map[i] = 1000 + i;
    }
    mw_program_bind(world.code.items, world.code.count, map);
    mw_text_clear(&world.text);
    mw_program_words(world.code.items, world.code.count, &world.text);
    assert_string_equal(mw_text_chars(&world.text), "t1 = greater v1003 k1\n"
                                                    "t2 = copy v1013\n"
                                                    "t2 = call t2 (1 values) function 23\n"
                                                    "t2 = multiply-divide t2 v1000 k2\n"
                                                    "v1030 = select t1 t2 v1016\n");
    lang_stop(&world);
}

/* An instruction is what the memory of a million cells is counted in. */
static void check_size(void **state)
{
    (void)state;
    assert_int_equal(sizeof(mw_instruction), 20);
}

int main(void)
{
    test_list tests = {0};
    test_add_rows(&tests, "code", rows, check_row);
    test_add_rows(&tests, "ends", rows, check_ends);
    test_add(&tests, check_append);
    test_add(&tests, check_bind);
    test_add(&tests, check_size);
    return test_run(&tests, "lang_emit");
}
