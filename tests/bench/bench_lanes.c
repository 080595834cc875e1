/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How fast formulas run on 256 lanes.
 *
 * lanes-256      ns a cell and lane over all formulas below; limit: C loops over arrays, one a
 * formula, with the same arithmetic in one expression, compiled alike lanes-256-...  the same for
 * one of the formulas lanes-256-wide the limit is here the same loops compiled for AVX2 with whole
 * vectors, where there is such a processor: the hardest comparison */
#include <stdbool.h>
#include <string.h>

#include "bench.h"
#include "mouldwright/lanes.h"
#include "mouldwright/memory.h"
#include "mouldwright/parse.h"

enum { LANES = 256, INPUTS = 5, SETS = 8, CELLS = 64, ROUNDS = 200, RUNS = 9 };

/* Inputs p q r s t of a formula; `out` is one cell. */
typedef void (*loop)(double *restrict out, const double *const in[INPUTS], size_t lanes);

#if defined(__GNUC__)
#define NOINLINE __attribute__((noinline))
#else
#define NOINLINE
#endif
#if defined(__GNUC__) && !defined(__clang__) && defined(__x86_64__)
#define WIDE_TARGET __attribute__((noinline, target("avx2"), optimize("O3")))
#define HAVE_WIDE   1
#else
#define HAVE_WIDE 0
#endif

#define LOOP(attribute, name, formula)                                                             \
    attribute static void name(double *restrict out, const double *const in[INPUTS], size_t lanes) \
    {                                                                                              \
        const double *p = in[0], *q = in[1], *r = in[2], *s = in[3], *t = in[4];                   \
        (void)r, (void)s, (void)t;                                                                 \
        for (size_t i = 0; i < lanes; i++) {                                                       \
            out[i] = formula;                                                                      \
        }                                                                                          \
    }

#define SHORT   p[i] * 1.0625 + q[i]
#define TAKEOFF p[i] * q[i] * r[i] / (1 - s[i]) + t[i]
#define SUMMED  p[i] * q[i] + r[i] * s[i] - t[i] * 0.5

LOOP(NOINLINE, loop_short, SHORT)
LOOP(NOINLINE, loop_takeoff, TAKEOFF)
LOOP(NOINLINE, loop_summed, SUMMED)
#if HAVE_WIDE
LOOP(WIDE_TARGET, wide_short, SHORT)
LOOP(WIDE_TARGET, wide_takeoff, TAKEOFF)
LOOP(WIDE_TARGET, wide_summed, SUMMED)
#define WIDE(name) name
#else
#define WIDE(name) NULL
#endif

typedef struct row {
    const char *name;
    const char *formula;
    loop plain;
    loop wide;
} row;

static const row rows[] = {
    {"short", "p * 1.0625 + q", loop_short, WIDE(wide_short)},
    {"takeoff", "p * q * r / (1 - s) + t", loop_takeoff, WIDE(wide_takeoff)},
    {"summed", "p * q + r * s - t * 0.5", loop_summed, WIDE(wide_summed)},
};
enum { ROWS = sizeof rows / sizeof rows[0] };

typedef struct model {
    mw_measure *measure;
    mw_values *values;
    mw_sources *sources;
    mw_compiler *compiler;
    mw_diags diags;
    mw_ast ast;
    mw_lanes *lanes;
    mw_program code;
} model;

/* A name of one letter is a port: p 0, q 1 ... */
static mw_status find(void *context, const mw_path *path, mw_reference *out, mw_diags *diags)
{
    (void)context, (void)diags;
    *out = (mw_reference){.slot = (uint32_t)(path->parts[0].at[0] - 'p'), .count = 1};
    return MW_OK;
}

/* Compiles the formula once and binds it to CELLS cells, each with another set of inputs. */
static void compile(model *m, const char *formula)
{
    static const mw_scope scope = {.find = find};
    const mw_str text = mw_str_of(formula);
    const uint32_t source = mw_sources_add(m->sources, mw_str_of("bench"), text);
    const mw_reader reader = {&m->ast, m->measure, m->sources, &m->diags};
    uint32_t root;
    mw_meaning meaning;
    const uint32_t result = INPUTS;
    mw_ast_clear(&m->ast);
    bench_must(mw_parse_formula(&reader, (mw_span){source, 0, (uint32_t)text.length}, &root) ==
                   MW_OK,
               "does not parse");
    const mw_question question = {.ast = &m->ast, .root = root, .scope = &scope, .slot = MW_NONE};
    bench_must(mw_compiler_check(m->compiler, &question, &meaning, &m->diags) == MW_OK,
               "does not check");
    m->code.count = 0;
    for (uint32_t cell = 0; cell < CELLS; cell++) {
        const uint32_t before = m->code.count;
        uint32_t map[INPUTS + 1];
        for (uint32_t i = 0; i < INPUTS; i++) {
            map[i] = cell % SETS * INPUTS + i;
        }
        map[INPUTS] = SETS * INPUTS + cell;
        bench_must(mw_compiler_emit(m->compiler, &result, &m->code, NULL) == MW_OK, "no memory");
        mw_program_bind(m->code.items + before, m->code.count - before, map);
    }
}

static void start(model *m)
{
    *m = (model){.measure = mw_measure_new(), .values = mw_values_new()};
    m->sources = mw_sources_new();
    bench_must(mw_diags_start(&m->diags) == MW_OK, "no memory");
    bench_must(m->measure != NULL && m->values != NULL && m->sources != NULL, "no memory");
    m->compiler = mw_compiler_new(m->measure, m->values);
    m->lanes = mw_lanes_new(SETS * INPUTS + CELLS, LANES);
    bench_must(m->compiler != NULL && m->lanes != NULL, "no memory");
    bench_must(mw_values_reserve(m->values, SETS * INPUTS + CELLS), "no memory");
    for (uint32_t cell = 0; cell < SETS * INPUTS; cell++) {
        double *column = mw_lanes_give(m->lanes, cell);
        bench_must(column != NULL, "no memory");
        for (uint32_t i = 0; i < LANES; i++) {
            column[i] = 0.001 * (double)((cell * 131 + i * 17) % 997);
        }
    }
}

static void stop(model *m)
{
    mw_memory_give(m->code.items);
    mw_lanes_free(m->lanes);
    mw_compiler_free(m->compiler);
    mw_ast_free(&m->ast);
    mw_diags_free(&m->diags);
    mw_sources_free(m->sources);
    mw_values_free(m->values);
    mw_measure_free(m->measure);
}

static double time_lanes(model *m)
{
    const mw_machine machine = {.base = mw_values_base(m->values)};
    const double before = bench_now_s();
    for (int round = 0; round < ROUNDS; round++) {
        bench_must(mw_lanes_run(m->lanes, &machine, m->code.items, m->code.count) == MW_OK,
                   "no memory");
    }
    return bench_now_s() - before;
}

/* The outputs of the loops lie as those of the lanes do: a line apart. */
static double outputs[CELLS][LANES + 8];

static double time_loop(const model *m, loop work)
{
    const double *in[SETS][INPUTS];
    for (uint32_t i = 0; i < SETS * INPUTS; i++) {
        in[i / INPUTS][i % INPUTS] = mw_lanes_column(m->lanes, i);
    }
    const double before = bench_now_s();
    for (int round = 0; round < ROUNDS; round++) {
        for (uint32_t cell = 0; cell < CELLS; cell++) {
            work(outputs[cell], in[cell % SETS], LANES);
        }
    }
    return bench_now_s() - before;
}

static void compare(const model *m)
{
    for (uint32_t cell = 0; cell < CELLS; cell++) {
        const double *column = mw_lanes_column(m->lanes, SETS * INPUTS + cell);
        bench_must(column != NULL && memcmp(column, outputs[cell], LANES * sizeof *column) == 0,
                   "lanes and loop differ");
    }
}

/* ns a cell and lane: ours, the plain loop's, the wide loop's. */
typedef struct figures {
    double ours, plain, wide;
} figures;

static figures measure(model *m, const row *which)
{
    double ours[RUNS], plain[RUNS], wide[RUNS];
    const double each = 1e9 / ((double)ROUNDS * CELLS * LANES);
    compile(m, which->formula);
    for (int run = 0; run < RUNS; run++) {
        ours[run] = time_lanes(m) * each;
        plain[run] = time_loop(m, which->plain) * each;
        compare(m);
        wide[run] = which->wide != NULL ? time_loop(m, which->wide) * each : 0;
        compare(m);
    }
    return (figures){bench_median(ours, RUNS), bench_median(plain, RUNS), bench_median(wide, RUNS)};
}

int main(void)
{
    model m;
    start(&m);
    figures all = {0, 0, 0};
    for (int i = 0; i < ROWS; i++) {
        char name[64];
        const figures one = measure(&m, &rows[i]);
        snprintf(name, sizeof name, "lanes-256-%s", rows[i].name);
        bench_print(name, one.ours, "ns", one.plain);
        all.ours += one.ours / ROWS;
        all.plain += one.plain / ROWS;
        all.wide += one.wide / ROWS;
    }
    bench_print("lanes-256", all.ours, "ns", all.plain);
    if (all.wide > 0) {
        bench_print("lanes-256-wide", all.ours, "ns", all.wide);
    }
    stop(&m);
    return 0;
}
