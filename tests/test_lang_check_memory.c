/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Checking and compiling when there is no memory: each allocation fails once, and from then on. */
#include "lang_fixture.h"

typedef struct row {
    const char *formula; /* also the name of the test */
    mw_status status;    /* when there is memory */
} row;

static double call_first(void *host, const double *arguments, uint32_t count)
{
    (void)host, (void)count;
    return arguments[0];
}

static const mw_function functions[] = {
    {.name = "weigh",
     .takes = {"list kg", "time"},
     .names = {"masses", "wait"},
     .gives = "kg/h",
     .call = call_first},
};

static const row rows[] = {
    {"plies * 1.0625 + 3", MW_OK},
    {"area * 600 g/m2 / (1 - lost) as lb", MW_OK},
    {"\"epoxy \\\"slow\\\"\" = fibre", MW_OK},
    {"sum(moulds.area * (plies - 1) / sum(moulds.plies, pair.glass / 1 kg))", MW_OK},
    {"[area, 2 * area, edge * edge, 1 m2 * week(ready)]", MW_OK},
    {"moulds.area / largest(moulds.area, area)", MW_OK},
    {"6 .. plies + 2 .. 12", MW_OK},
    {"weigh(pair.glass * 2, cure) * 1 h", MW_OK},
    {"sqrt(edge^3 / 1 m) + mean(moulds.area) / 3 ft", MW_OK},
    {"sum(moulds.area) / 1 m2 + sum(moulds.plies) + sum(pair.glass) / 1 kg + plies + zero + "
     "edge / 1 m + area / 1 m2 + glass / 1 kg + lost + rate / 1 EUR/h + fee / 1 EUR + "
     "work / 1 h / 1 h + if wet and dry then wrong else worse",
     MW_FAILED}, /* labour over time is people */
    {"4 m2 + 3 kg", MW_FAILED},
    {"area + 3", MW_FAILED},
    {"room + room", MW_FAILED},
    {"room * 2", MW_FAILED},
    {"fee + 5 USD", MW_FAILED},
    {"nowhere + m2 + sum", MW_FAILED},
    {"plys", MW_FAILED},
    {"lagrest(1)", MW_FAILED},
    {"round_up(1)", MW_FAILED},
    {"glass as m2", MW_FAILED},
    {"moulds.area + [1 m2, 2 m2]", MW_FAILED},
    {"9 .. 5 h", MW_FAILED},
    {"area^plies", MW_FAILED},
    {"weigh(glass, 1)", MW_FAILED},
    {"if plies then 1 else fibre", MW_FAILED},
    {"[1, [2]]", MW_FAILED},
};

typedef struct attempt {
    lang_fixture world;
    const row *wanted;
    uint32_t root;
} attempt;

static support_outcome compile_once(void *context)
{
    attempt *now = context;
    lang_fixture *world = &now->world;
    mw_program code = {0};
    mw_status status = MW_NO_MEMORY;
    mw_diags_clear(&world->diags);
    mw_compiler *compiler = mw_compiler_new(world->measure, world->values);
    if (compiler == NULL) {
        return SUPPORT_NO_MEMORY;
    }
    const mw_question question = {&world->ast, now->root, &world->scope, MW_NONE};
    status = mw_compiler_check(compiler, &question, &world->meaning, &world->diags);
    uint32_t to[LANG_RESULTS] = {LANG_NAMES, LANG_NAMES + 1, LANG_NAMES + 2, LANG_NAMES + 3};
    if (status == MW_OK) {
        status = mw_compiler_emit(compiler, to, &code, world->ends);
        if (status != MW_OK) {
            assert_int_equal(code.count, 0);
        }
    }
    mw_memory_give(code.items);
    mw_compiler_free(compiler);
    if (status == MW_NO_MEMORY) {
        return SUPPORT_NO_MEMORY;
    }
    assert_int_equal(status, now->wanted->status);
    return SUPPORT_DONE;
}

static void check_row(void **state)
{
    attempt now = {.wanted = *state};
    lang_start(&now.world);
    now.world.scope.host = (mw_host){functions, 1, NULL};
    now.root = lang_parse(&now.world, now.wanted->formula);
    assert_true(support_fail_each_allocation(compile_once, &now) > 0);
    lang_stop(&now.world);
}

int main(void)
{
    return run_rows("lang_check_memory", rows, check_row);
}
