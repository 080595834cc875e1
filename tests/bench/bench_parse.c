/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How fast text becomes trees: short lines as a large sheet has them, and long formulas. CPU time. */
#include "bench.h"

#include "mouldwright/parse.h"

enum { LINES = 100000, ROUNDS = 7, TERMS = 2000 };

/* What a text is read with. */
typedef struct bench_setting {
    mw_measure *measure;
    mw_sources *sources;
    mw_diags diags;
    mw_ast ast;
} bench_setting;

static uint32_t add_source(bench_setting *setting, const mw_text *text)
{
    uint32_t source =
        mw_sources_add(setting->sources, mw_str_of("bench"), (mw_str){text->data, text->length});
    bench_must(source != MW_NONE, "no memory for the text");
    return source;
}

/* What is done with each line. */
typedef enum bench_work { BENCH_SPLIT, BENCH_FORMULA, BENCH_STATEMENT } bench_work;

/* Splits a source in lines and reads each; returns the nodes made. */
static uint64_t read_lines(bench_setting *setting, uint32_t source, bench_work work)
{
    mw_reader reader = {&setting->ast, setting->measure, setting->sources, &setting->diags};
    uint64_t made = 0;
    uint32_t at = 0;
    mw_span span;
    while (mw_next_line(setting->sources, source, &at, &span)) {
        mw_statement statement;
        uint32_t root;
        mw_status status = MW_OK;
        mw_ast_clear(&setting->ast);
        if (work == BENCH_STATEMENT) {
            status = mw_parse_statement(&reader, span, &statement);
        } else if (work == BENCH_FORMULA) {
            status = mw_parse_formula(&reader, span, &root);
        }
        bench_must(status == MW_OK, "a line was refused");
        made += setting->ast.node_count + span.end;
    }
    return made;
}

/* Returns the median of the seconds that one pass over the source takes. */
static double time_lines(bench_setting *setting, uint32_t source, bench_work work)
{
    double figures[ROUNDS];
    for (int i = 0; i < ROUNDS; i++) {
        double begin = bench_now_s();
        bench_must(read_lines(setting, source, work) > 0, "nothing was read");
        figures[i] = bench_now_s() - begin;
    }
    return bench_median(figures, ROUNDS);
}

/* Lines of one form; limits are in nanoseconds a line. */
typedef struct bench_row {
    const char *name;
    const char *format; /* takes two numbers */
    double limit_ns;
    bench_work work;
} bench_row;

static const bench_row bench_rows[] = {
    {"parse_line", "cell_%u = cell_%u * 1.0625 + 3 kg\n", 120, BENCH_STATEMENT},
    {"parse_formula", "cell_%u * 1.0625 + 3 kg + cell_%u\n", 120, BENCH_FORMULA},
    {"parse_line_plain", "cell_%u = cell_%u * 1.0625 + 3\n", 110, BENCH_STATEMENT},
    {"parse_line_path", "hull_%u.heavy.resin = hull_%u.heavy.plies * 7.9 m2\n", 150,
     BENCH_STATEMENT},
    {"parse_line_call", "cell_%u = sum([cell_%u, 4, 5]) / sqrt(2)\n", 220, BENCH_STATEMENT},
};

static void bench_lines(bench_setting *setting, const bench_row *row)
{
    mw_text text = {0};
    for (unsigned i = 1; i <= LINES; i++) {
        /* The formats are the rows' own. */
        char line[120];
#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wformat-nonliteral"
        int length = snprintf(line, sizeof line, row->format, i, i - 1);
#pragma GCC diagnostic pop
        mw_text_add(&text, line, (size_t)length);
    }
    bench_must(!text.failed, "no memory for the text");
    uint32_t source = add_source(setting, &text);
    double split_s = time_lines(setting, source, BENCH_SPLIT);
    double all_s = time_lines(setting, source, row->work);
    bench_print(row->name, 1e9 * (all_s - split_s) / LINES, "ns a line", row->limit_ns);
    if (row == bench_rows) {
        bench_print("split_lines", 1e9 * split_s / LINES, "ns a line", 40);
    }
    mw_sources_drop_last(setting->sources, source);
    mw_text_free(&text);
}

/* One formula of many terms: nothing grows faster than its length. */
static void bench_long(bench_setting *setting)
{
    mw_text text = {0};
    mw_text_adds(&text, "x = 1");
    for (unsigned i = 1; i < TERMS - 1; i++) {
        mw_text_addf(&text, " + a%u * 2 m", i);
    }
    bench_must(!text.failed, "no memory for the text");
    uint32_t source = add_source(setting, &text);
    double seconds = time_lines(setting, source, BENCH_STATEMENT);
    bench_print("parse_long", 1e9 * seconds / TERMS, "ns a term", 100);
    mw_sources_drop_last(setting->sources, source);
    mw_text_free(&text);
}

int main(void)
{
    bench_setting setting = {.measure = mw_measure_new(), .sources = mw_sources_new()};
    bench_must(setting.measure != NULL && setting.sources != NULL &&
                   mw_diags_start(&setting.diags) == MW_OK,
               "no memory");
    for (size_t i = 0; i < sizeof bench_rows / sizeof bench_rows[0]; i++) {
        bench_lines(&setting, &bench_rows[i]);
    }
    bench_long(&setting);
    mw_ast_free(&setting.ast);
    mw_diags_free(&setting.diags);
    mw_sources_free(setting.sources);
    mw_measure_free(setting.measure);
    return 0;
}
