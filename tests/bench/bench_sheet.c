/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How fast and how large a sheet of a million cells is.
 *
 * sheet-*-recalc   ns a cell of recomputing all; limit: a plain C loop over the same arithmetic
 * text-to-values*  formulas a second, from text in memory to values; limit: 2 million
 * change-100*      us until 100 dependent cells are right again, each time elsewhere; limit: 10
 * change-million*  ns for a change on which all cells depend; limit: recomputing all
 * memory-per-cell  bytes of sheet, names, values, code and source text together; limit: 600 */

#include <malloc.h>
#include <stdbool.h>
#include <stdint.h>
#include <string.h>

#include "bench.h"
#include "mouldwright/sheet.h"

enum { CELLS = 1000000, RUNS = 7, WIDE_INPUTS = 1000, GROUP = 101 };

typedef struct model {
    mw_measure *measure;
    mw_sources *sources;
    mw_sheet *sheet;
    mw_diags diags;
    double load_s;
} model;

static uint32_t random_below(uint32_t limit)
{
    static uint64_t state = 88172645463325252u;
    state ^= state << 13;
    state ^= state >> 7;
    state ^= state << 17;
    return (uint32_t)((state >> 32) * limit >> 32);
}

/* Loads a text, which it takes over. */
static model load(mw_text *text)
{
    model m = {0};
    bench_must(!text->failed, "no memory for the text");
    char *fitting = realloc(text->data, text->length + 1);
    const double start = bench_now_s();
    m.measure = mw_measure_new();
    m.sources = mw_sources_new();
    bench_must(mw_diags_start(&m.diags) == MW_OK, "no memory");
    m.sheet = mw_sheet_new(m.measure, m.sources);
    const uint32_t source = mw_sources_adopt(m.sources, mw_str_of("job"), fitting, text->length);
    mw_changes changes;
    const mw_status status = mw_sheet_load(m.sheet, source, &changes, &m.diags);
    m.load_s = bench_now_s() - start;
    if (status != MW_OK) {
        mw_text words = {0};
        mw_diags_render(&m.diags, m.sources, &words);
        fputs(mw_text_chars(&words), stderr);
    }
    bench_must(status == MW_OK, "the text does not load");
    *text = (mw_text){0};
    return m;
}

static void drop(model *m)
{
    mw_sheet_free(m->sheet);
    mw_diags_free(&m->diags);
    mw_sources_free(m->sources);
    mw_measure_free(m->measure);
}

/* ---- texts ---- */

static void chain_text(mw_text *text)
{
    mw_text_adds(text, "c0 = 1.5\n");
    for (uint32_t i = 1; i <= CELLS; i++) {
        mw_text_addf(text, "c%u = c%u * 0.75 + %u.5\n", i, i - 1, i % 7);
    }
}

typedef struct wide_row {
    uint32_t a, b, c;
    double k;
} wide_row;

static void wide_text(mw_text *text, wide_row *rows)
{
    for (uint32_t i = 0; i < WIDE_INPUTS; i++) {
        mw_text_addf(text, "in%u = %u.25\n", i, i);
    }
    for (uint32_t i = 0; i < CELLS; i++) {
        rows[i] = (wide_row){random_below(WIDE_INPUTS), random_below(WIDE_INPUTS),
                             random_below(WIDE_INPUTS), i % 16 + 0.5};
        mw_text_addf(text, "w%u = in%u * in%u + in%u * %g\n", i, rows[i].a, rows[i].b, rows[i].c,
                     rows[i].k);
    }
}

/* One line of a mixed job: measures, and what is worked out from lines a little before. */
static void mixed_line(mw_text *text, uint32_t i)
{
    const uint32_t before = i - i % 4;
    switch (i % 4) {
    case 0:
        mw_text_addf(text, "area%u = %u.%u m2\n", i, 1 + i % 40, i % 10);
        break;
    case 1:
        mw_text_addf(text, "mass%u = area%u * 0.6 kg/m2\n", i, before);
        break;
    case 2:
        mw_text_addf(text, "hours%u = area%u * 0.4 h/m2 + 0.5 h\n", i, before);
        break;
    default:
        mw_text_addf(text, "cost%u = mass%u * 9 EUR/kg + hours%u * 58 EUR/h", i, before + 1,
                     before + 2);
        if (i > 8) {
            mw_text_addf(text, " + cost%u * 0.1", i - 4);
        }
        mw_text_addc(text, '\n');
    }
}

/* The lines of a text in another order. */
static void shuffle_lines(mw_text *text)
{
    uint32_t *begins = malloc((CELLS + 1) * sizeof *begins);
    uint32_t count = 0;
    for (uint32_t at = 0; at < text->length && count < CELLS; count++) {
        begins[count] = at;
        at = (uint32_t)((const char *)memchr(text->data + at, '\n', text->length - at) -
                        text->data) +
             1;
    }
    for (uint32_t i = count; i > 1; i--) {
        const uint32_t other = random_below(i);
        const uint32_t moved = begins[i - 1];
        begins[i - 1] = begins[other];
        begins[other] = moved;
    }
    mw_text shuffled = {0};
    for (uint32_t i = 0; i < count; i++) {
        const char *line = text->data + begins[i];
        mw_text_add(&shuffled, line, (size_t)(strchr(line, '\n') - line) + 1);
    }
    free(begins);
    mw_text_free(text);
    *text = shuffled;
}

/* ---- the limits: the same arithmetic in plain loops ---- */

__attribute__((noinline)) static double plain_chain(double *cells, const double *added)
{
    for (uint32_t i = 1; i <= CELLS; i++) {
        cells[i] = cells[i - 1] * 0.75 + added[i];
    }
    return cells[CELLS];
}

__attribute__((noinline)) static double plain_wide(double *cells, const double *inputs,
                                                   const wide_row *rows)
{
    for (uint32_t i = 0; i < CELLS; i++) {
        cells[i] = inputs[rows[i].a] * inputs[rows[i].b] + inputs[rows[i].c] * rows[i].k;
    }
    return cells[CELLS - 1];
}

static double recompute_s(model *m)
{
    double figures[RUNS];
    mw_changes changes;
    for (int run = 0; run < RUNS; run++) {
        const double start = bench_now_s();
        mw_sheet_recompute(m->sheet, &changes);
        figures[run] = bench_now_s() - start;
        bench_must(changes.computed >= CELLS && changes.changed == 0, "recomputed wrongly");
    }
    return bench_median(figures, RUNS);
}

/* Makes a line that is only a number a cell that can be set, and returns it. */
static uint32_t make_input(model *m, const char *name, double value)
{
    mw_edit *edit = mw_edit_begin(m->sheet);
    const uint32_t cell = mw_edit_cell(edit, mw_str_of(name));
    const mw_constant constant = {value, MW_TYPE_NUMBER, MW_UNIT_ONE, {MW_NONE, 0, 0}};
    mw_edit_value(edit, cell, &constant);
    bench_must(mw_edit_prepare(edit, &m->diags) == MW_OK, "cannot set the input");
    mw_edit_commit(edit, NULL);
    return cell;
}

static double change_all_s(model *m, const char *input)
{
    double figures[RUNS];
    const uint32_t cell = make_input(m, input, 3);
    mw_changes changes;
    for (int run = 0; run < RUNS; run++) {
        const double start = bench_now_s();
        mw_sheet_set(m->sheet, cell, 4 + run, &changes);
        figures[run] = bench_now_s() - start;
        bench_must(changes.computed >= CELLS / 2, "too few followed the change");
    }
    return bench_median(figures, RUNS);
}

static void bench_chain(void)
{
    mw_text text = {0};
    chain_text(&text);
    model m = load(&text);
    double *cells = calloc(CELLS + 1, sizeof *cells);
    double *added = calloc(CELLS + 1, sizeof *added);
    for (uint32_t i = 0; i <= CELLS; i++) {
        added[i] = i % 7 + 0.5;
    }
    cells[0] = 1.5;
    double figures[RUNS];
    for (int run = 0; run < RUNS; run++) {
        const double start = bench_now_s();
        const double last = plain_chain(cells, added);
        figures[run] = bench_now_s() - start;
        bench_must(last == mw_sheet_value(m.sheet, mw_sheet_find(m.sheet, mw_str_of("c1000000"))),
                   "the loop and the sheet differ");
    }
    const double full_s = recompute_s(&m);
    bench_print("sheet-chain-recalc", full_s / CELLS * 1e9, "ns/cell",
                bench_median(figures, RUNS) / CELLS * 1e9);
    drop(&m);
    free(cells);
    free(added);
}

static void bench_wide(void)
{
    mw_text text = {0};
    wide_row *rows = calloc(CELLS, sizeof *rows);
    wide_text(&text, rows);
    model m = load(&text);
    double *cells = calloc(CELLS, sizeof *cells);
    double *inputs = calloc(WIDE_INPUTS, sizeof *inputs);
    for (uint32_t i = 0; i < WIDE_INPUTS; i++) {
        inputs[i] = i + 0.25;
    }
    double figures[RUNS];
    for (int run = 0; run < RUNS; run++) {
        const double start = bench_now_s();
        const double last = plain_wide(cells, inputs, rows);
        figures[run] = bench_now_s() - start;
        bench_must(last == mw_sheet_value(m.sheet, mw_sheet_find(m.sheet, mw_str_of("w999999"))),
                   "the loop and the sheet differ");
    }
    const double full_s = recompute_s(&m);
    bench_print("sheet-wide-recalc", full_s / CELLS * 1e9, "ns/cell",
                bench_median(figures, RUNS) / CELLS * 1e9);
    drop(&m);
    free(cells);
    free(inputs);
    free(rows);
}

/* ---- changes ---- */

/* A chain in which every change is felt to the end, and one input that all cells read. */
static void bench_change_million(void)
{
    mw_text text = {0};
    mw_text_adds(&text, "c0 = 1.5\n");
    for (uint32_t i = 1; i <= CELLS; i++) {
        mw_text_addf(&text, "c%u = c%u + %u.5\n", i, i - 1, i % 7);
    }
    model m = load(&text);
    double full_s = recompute_s(&m);
    bench_print("change-million-chain", change_all_s(&m, "c0") * 1e9, "ns", full_s * 1e9);
    drop(&m);
    mw_text_adds(&text, "in = 1.5\n");
    for (uint32_t i = 0; i < CELLS; i++) {
        mw_text_addf(&text, "w%u = in * %u.5 + 1\n", i, i % 7);
    }
    m = load(&text);
    full_s = recompute_s(&m);
    bench_print("change-million-wide", change_all_s(&m, "in") * 1e9, "ns", full_s * 1e9);
    drop(&m);
}

/* Groups of an input and a hundred cells that depend on it. With a stride of 1 the cells of a
 * group stand side by side, with a larger one all over the sheet. */
static void group_text(mw_text *text, bool scattered)
{
    const uint32_t groups = CELLS / GROUP;
    for (uint32_t i = 0; i < groups * GROUP; i++) {
        const uint32_t group = scattered ? i % groups : i / GROUP;
        const uint32_t at = scattered ? i / groups : i % GROUP;
        if (at == 0) {
            mw_text_addf(text, "g%u = 2\n", group);
        } else if (at == 1) {
            mw_text_addf(text, "g%u_1 = g%u * 2 + 1\n", group, group);
        } else {
            mw_text_addf(text, "g%u_%u = g%u_%u + g%u * 3\n", group, at, group, at - 1, group);
        }
    }
}

static void bench_change_100(const char *bench, bool scattered)
{
    enum { CHANGES = 2001 };
    static double figures[CHANGES];
    static uint32_t inputs[CHANGES];
    mw_text text = {0};
    group_text(&text, scattered);
    model m = load(&text);
    char name[32];
    for (uint32_t i = 0; i < CHANGES; i++) {
        snprintf(name, sizeof name, "g%u", i * 4 + 1);
        inputs[i] = make_input(&m, name, 2);
    }
    for (uint32_t i = 0; i < CHANGES; i++) {
        mw_changes changes;
        const double start = bench_now_s();
        mw_sheet_set(m.sheet, inputs[i], 5, &changes);
        figures[i] = bench_now_s() - start;
        bench_must(changes.computed == GROUP - 1, "another number of cells followed");
    }
    bench_print(bench, bench_median(figures, CHANGES) * 1e6, "us", 10);
    drop(&m);
}

/* ---- reading and memory ---- */

static size_t allocated_bytes(void)
{
    const struct mallinfo2 info = mallinfo2();
    return info.uordblks + info.hblkhd;
}

static void bench_text(const char *bench, bool shuffled, bool weigh)
{
    enum { LOADS = 5 };
    double figures[LOADS];
    for (int run = 0; run < LOADS; run++) {
        mw_text text = {0};
        const size_t before = allocated_bytes();
        for (uint32_t i = 0; i < CELLS; i++) {
            mixed_line(&text, i);
        }
        if (shuffled) {
            shuffle_lines(&text);
        }
        model m = load(&text);
        figures[run] = CELLS / m.load_s;
        if (weigh && run == 0) {
            bench_print("memory-per-cell", (double)(allocated_bytes() - before) / CELLS, "bytes",
                        600);
        }
        drop(&m);
    }
    bench_print(bench, bench_median(figures, LOADS), "formulas/s", 2e6);
}

int main(void)
{
    bench_chain();
    bench_wide();
    bench_text("text-to-values", false, true);
    bench_text("text-to-values-shuffled", true, false);
    bench_change_100("change-100", false);
    bench_change_100("change-100-scattered", true);
    bench_change_million();
    return EXIT_SUCCESS;
}
