/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Risk over a job: published cases through its formulas, a sample typed in by hand, threads, stopping, memory. */
#include "mouldwright/job_risk.h"

#include <math.h>
#include <stdlib.h>

#include "job_bench.h"

#define TWO "tests/data/job/two.job"

/* Asks `risk WORDS`. */
static mw_status ask(job_bench *bench, const char *words, mw_risk_reply *reply)
{
    mw_sources *sources = mw_job_sources(bench->job);
    uint32_t source = mw_sources_add(sources, mw_str_of("<test>"), mw_str_of(words));
    assert_int_not_equal(source, MW_NONE);
    bench_clear(bench);
    return mw_job_risk(bench->job, (mw_span){source, 0, (uint32_t)strlen(words)}, reply,
                       &bench->diags);
}

static const mw_risk_row *row_of(const mw_risk_reply *reply, const char *name)
{
    for (uint32_t i = 0; i < reply->row_count; i++) {
        if (mw_str_is(reply->rows[i].name, name)) {
            return &reply->rows[i];
        }
    }
    fail_msg("no row `%s`", name);
    return NULL;
}

static bool same(double a, double b)
{
    return memcmp(&a, &b, sizeof a) == 0;
}

/* --- published and exact cases, written as lines --- */

typedef struct case_row {
    const char *name;
    const char *lines;
    double mean, deviation, p80; /* NaN: not given */
    double within;
    const char *source;
} case_row;

#define NO (double)NAN
static const case_row case_rows[] = {
    {"a triangle", "x = 8 .. 10 .. 15", 11, 1.4719601444, 12.354248689, 2e-3,
     "exact integral; Kotz and van Dorp 2004"},
    {"a pert", "x = pert(5, 8, 17)", 9, 2.138089935, 10.882308116, 5e-3, "SciPy 1.10.1 stats.beta"},
    {"the latest of three triangles",
     "a = 0 .. 1 .. 2\nb = 0 .. 1 .. 2\nc = 0 .. 1 .. 2\nx = largest([a, b, c])", 1.35, NO, NO,
     2e-3, "exact integral of 1 - F^3"},
    {"the later of two bells", "a = normal(0, 1)\nb = normal(0, 1)\nx = largest([a, b])",
     0.564189583548, 0.825645271, NO, 5e-3, "control-chart d2 table: ASTM MNL 7"},
    {"the latest of four triangles",
     "a = 0 .. 1 .. 2\nb = 0 .. 1 .. 2\nc = 0 .. 1 .. 2\nd = 0 .. 1 .. 2\nx = largest([a, b, c, d])",
     1.424206349, NO, NO, 3e-3, "exact integral of 1 - F^4"},
    {"the latest of three bells",
     "a = normal(0, 1)\nb = normal(0, 1)\nc = normal(0, 1)\nx = largest([a, b, c])", 0.846284375322,
     0.747975403203, NO, 1e-2, "control-chart d2 table: ASTM MNL 7"},
    {"the latest of four bells",
     "a = normal(0, 1)\nb = normal(0, 1)\nc = normal(0, 1)\nd = normal(0, 1)\nx = largest([a, b, c, d])",
     1.029375373004, 0.701224098898, NO, 1e-2, "control-chart d2 table: ASTM MNL 7"},
    {"a pert that leans", "x = pert(10, 12, 20)", 13, 1.732050807569, NO, 5e-3,
     "SciPy 1.10.1 stats.beta"},
    {"ranges inside a formula", "x = 2 * (0 .. 1 .. 2) + uniform(0, 3)", 3.5, 1.1902380714, NO,
     5e-3, "variances of independent terms add up"},
    {"a chance", "x = chance(25 %, 8, 0)", 2, 3.4641016151, NO, 5e-3, "p (1 - p) d^2"},
    {"a range with moving ends", "a = 2\nx = a .. a + 1 .. a + 2", 3, 0.4082482905, NO, 2e-3,
     "Kotz and van Dorp 2004"},
};

static void published(void **state)
{
    const case_row *row = *state;
    job_bench bench;
    mw_risk_reply reply;
    bench_start(&bench, NULL);
    bench_say_all(&bench, row->lines);
    assert_int_equal(ask(&bench, "of x, samples 16384", &reply), MW_OK);
    const mw_risk_row *x = row_of(&reply, "x");
    assert_close(x->mean.value, row->mean, row->within);
    assert_close(x->mean.value, row->mean, 6.0 * x->mean.error + 1e-9);
    if (!isnan(row->deviation)) {
        assert_close(x->deviation, row->deviation, row->within);
    }
    if (!isnan(row->p80)) {
        assert_close(x->quantiles[2].value, row->p80, row->within);
    }
    bench_end(&bench);
}

/* Saltelli et al., Global Sensitivity Analysis, 2008, chapter 4, exercise 5 (Ishigami and Homma 1990). */
static void ishigami(void **state)
{
    (void)state;
    static const double first[] = {0.313905191148, 0.442411144790, 0.0};
    static const double total[] = {0.557588855210, 0.442411144790, 0.243683664062};
    job_bench bench;
    mw_risk_reply reply;
    bench_start(&bench, NULL);
    bench_say_all(&bench, "a = uniform(-3.141592653589793, 3.141592653589793)\n"
                          "b = uniform(-3.141592653589793, 3.141592653589793)\n"
                          "c = uniform(-3.141592653589793, 3.141592653589793)\n"
                          "y = sin(a) + 7 * sin(b)^2 + 0.1 * c^4 * sin(a)");
    assert_int_equal(ask(&bench, "of y, drives, samples 4096", &reply), MW_OK);
    assert_int_equal(reply.input_count, 3);
    assert_close(row_of(&reply, "y")->mean.value, 3.5, 0.02);
    for (uint32_t i = 0; i < 3; i++) {
        assert_close(reply.inputs[i].indices[0].first.value, first[i], 1e-2);
        assert_close(reply.inputs[i].indices[0].total.value, total[i], 1e-2);
    }
    bench_end(&bench);
}

static void ties_come_out(void **state)
{
    (void)state;
    job_bench bench;
    mw_risk_reply reply;
    bench_start(&bench, NULL);
    bench_say_all(&bench, "a = normal(0, 1)\nb = normal(0, 1)\nx = a + b");
    assert_int_equal(ask(&bench, "of x, tie a b 0.5, samples 16384", &reply), MW_OK);
    /* correlation of the values: 2 sin(pi / 6 * 0.5). Source: Pearson 1907 */
    assert_close(row_of(&reply, "x")->deviation, sqrt(2.0 + 2.0 * 2.0 * sin(0.2617993877991494)),
                 0.01);
    bench_end(&bench);
}

/* A tie that the job keeps does what one in the question does; `restore` gives it up. */
static void kept_ties(void **state)
{
    (void)state;
    job_bench bench;
    mw_risk_reply reply;
    bench_start(&bench, TWO);
    bench_say_all(&bench, "a1 = normal(0, 1)\nb1 = normal(0, 1)\nx = a1 + b1");
    assert_int_equal(ask(&bench, "of x, tie a1 b1 0.5, samples 4096", &reply), MW_OK);
    const double tied = row_of(&reply, "x")->deviation;
    bench_say_all(&bench, "job.ties = \"a1 b1 0.5\"");
    assert_int_equal(ask(&bench, "of x, samples 4096", &reply), MW_OK);
    assert_true(same(row_of(&reply, "x")->deviation, tied));
    bench_say_all(&bench, "restore job.ties");
    assert_int_equal(ask(&bench, "of x, samples 4096", &reply), MW_OK);
    assert_close(row_of(&reply, "x")->deviation, sqrt(2.0), 0.02); /* of two independent ones */
    bench_say_all(&bench, "job.ties = \"a1 gone 0.5\"");
    assert_int_equal(ask(&bench, "of x", &reply), MW_FAILED);
    assert_int_equal(bench.diags.items[0].code, MW_CODE_NOT_UNCERTAIN);
    bench_say_all(&bench, "job.ties = \"a1 b1\"");
    assert_int_equal(ask(&bench, "of x", &reply), MW_FAILED);
    assert_int_equal(bench.diags.items[0].code, MW_CODE_SYNTAX);
    bench_end(&bench);
}

/* --- the job with its plan --- */

static const char uncertain[] = "b.polish.hours = usual * (0.8 .. 1 .. 2)\n"
                                "moulds.heavy.hours = usual * 0.9 .. usual .. usual * 1.4\n"
                                "rework = chance(20 %, 100 EUR, 0 EUR)\n"
                                "fee = pert(20 EUR, 30 EUR, 90 EUR) + (1 .. 2 EUR)";

static void adopt(job_bench *bench)
{
    mw_reply reply;
    bench_clear(bench);
    assert_int_equal(mw_job_adopt(bench->job, (mw_span){0, 0, 0}, &reply, &bench->diags), MW_OK);
}

/* Every sample typed in by hand gives its figures to the last bit. */
static void typed_by_hand(void **state)
{
    (void)state;
    for (uint32_t n = 1; n <= 400; n += 57) {
        job_bench bench;
        mw_risk_reply reply;
        char words[64];
        bench_start(&bench, TWO);
        bench_say_all(&bench, uncertain);
        snprintf(words, sizeof words, "sample %u, seed 5, of rework fee maybe", (unsigned)n);
        assert_int_equal(ask(&bench, words, &reply), MW_OK);
        assert_true(reply.line_count >= 4);
        const char *const names[] = {"job.cost", "job.hours", "job.ready",
                                     "rework",   "fee",       "maybe"};
        double want[6];
        char lines[32][200];
        for (uint32_t i = 0; i < 6; i++) {
            want[i] = row_of(&reply, names[i])->mean.value;
        }
        const uint32_t count = reply.line_count;
        for (uint32_t i = 0; i < count; i++) {
            snprintf(lines[i], sizeof lines[i], "%.*s", (int)reply.lines[i].length,
                     reply.lines[i].at);
        }
        assert_string_equal(lines[0], "adopt"); /* with the order kept */
        adopt(&bench);
        for (uint32_t i = 1; i < count; i++) {
            assert_int_equal(bench_say(&bench, lines[i]), MW_OK);
        }
        for (uint32_t i = 0; i < 6; i++) {
            assert_true(same(bench_value(&bench, names[i]), want[i]));
        }
        bench_end(&bench);
    }
}

/* So does the sample job, with what is uncertain in its steps, sessions and waits. */
static void shipped_by_hand(void **state)
{
    (void)state;
    job_bench bench;
    bench_open_shipped(&bench, "samples/dunlin.job");
    bench_say_all(&bench, "moulds.heavy.hours = usual * 0.7 .. usual .. usual * 1.6\n"
                          "moulds.sanding.hours = usual * (0.8 .. 1 .. 1.8)\n"
                          "hull_port.answers.wait = 2 d .. 3 d .. 9 d\n"
                          "moulds.skin.hours = usual * (0.8 .. 1 .. 1.8)\n"
                          "beam_root.plug_area = 3.2 .. 3.9 .. 5.4 m2");
    for (uint32_t n = 3; n <= 600; n += 199) {
        mw_risk_reply reply;
        char words[64];
        char lines[128][200];
        snprintf(words, sizeof words, "sample %u, seed 2", (unsigned)n);
        assert_int_equal(ask(&bench, words, &reply), MW_OK);
        const uint32_t count = reply.line_count;
        const double cost = row_of(&reply, "job.cost")->mean.value;
        const double ready = row_of(&reply, "job.ready")->mean.value;
        assert_true(count > 4 && count < 128);
        for (uint32_t i = 0; i < count; i++) {
            snprintf(lines[i], sizeof lines[i], "%.*s", (int)reply.lines[i].length,
                     reply.lines[i].at);
        }
        adopt(&bench);
        for (uint32_t i = 1; i < count; i++) {
            assert_int_equal(bench_say(&bench, lines[i]), MW_OK);
        }
        assert_true(same(bench_value(&bench, "job.cost"), cost));
        assert_true(same(bench_value(&bench, "job.ready"), ready));
        for (uint32_t i = 0; i < count; i++) {
            mw_reply back;
            assert_int_equal(mw_job_undo(bench.job, &back, &bench.diags), MW_OK);
        }
    }
    bench_end(&bench);
}

/* The same bits for any number of threads, and nothing has changed in the end. */
static void threads_agree(void **state)
{
    (void)state;
    job_bench bench;
    bench_start(&bench, TWO);
    bench_say_all(&bench, uncertain);
    const double cost = bench_value(&bench, "job.cost");
    const double ready = bench_value(&bench, "job.ready");
    static const char *const words[] = {"samples 640, threads 1", "samples 640, threads 2",
                                        "samples 640, threads 5"};
    double first[640];
    for (size_t i = 0; i < 3; i++) {
        mw_risk_reply reply;
        assert_int_equal(ask(&bench, words[i], &reply), MW_OK);
        const mw_risk_row *row = row_of(&reply, "job.cost");
        assert_int_equal(row->count, 640);
        assert_true(row->low < row->high);
        if (i == 0) {
            memcpy(first, row->sorted, sizeof first);
        }
        assert_memory_equal(first, row->sorted, sizeof first);
        assert_true(same(row->now, cost));
    }
    assert_true(same(bench_value(&bench, "job.cost"), cost));
    assert_true(same(bench_value(&bench, "job.ready"), ready));
    bench_end(&bench);
}

static void odds_and_promise(void **state)
{
    (void)state;
    job_bench bench;
    mw_risk_reply reply;
    bench_start(&bench, TWO);
    bench_say_all(&bench, uncertain);
    assert_int_equal(ask(&bench, "by 2030-01-01, within 1 EUR, at 90 %", &reply), MW_OK);
    assert_close(reply.by_odds.value, 1.0, 0.0);
    assert_close(reply.within_odds.value, 0.0, 0.0);
    assert_close(reply.confidence, 0.9, 1e-15);
    const mw_risk_row *ready = &reply.rows[reply.ready_row];
    assert_close(reply.promise_s, floor(ready->quantiles[3].value / 86400.0) * 86400.0, 0.0);
    double shares = 0.0;
    for (uint32_t i = 0; i < reply.setter_count; i++) {
        shares += reply.setters[i].share;
    }
    assert_close(shares, 1.0, 1e-9);
    /* what is left of the price is the price less the cost */
    const double margin = row_of(&reply, "margin")->mean.value;
    const double cost = row_of(&reply, "job.cost")->mean.value;
    assert_close(margin + cost, bench_value(&bench, "job.price"), 1e-6);
    bench_end(&bench);
}

/* Where only money is uncertain, the same steps set the date in every sample: those that do as the job stands. */
static void chain_of_the_plan(void **state)
{
    (void)state;
    job_bench bench;
    mw_risk_reply reply;
    bench_start(&bench, TWO);
    bench_say_all(&bench, "fee = 10 EUR .. 20 EUR .. 90 EUR");
    assert_int_equal(ask(&bench, "drives, samples 64, of fee", &reply), MW_OK);
    const uint32_t count = reply.chain_count;
    mw_risk_chain chain[32];
    assert_true(count > 0 && count < 32);
    memcpy(chain, reply.chain, count * sizeof *chain);
    uint32_t sets = 0;
    for (uint32_t m = 0; m < mw_job_mould_count(bench.job); m++) {
        const mw_recipe *recipe = mw_job_mould(bench.job, m).recipe;
        for (uint32_t step = 0; step < recipe->step_count; step++) {
            const bool wanted = mw_job_value(bench.job, m, step, "sets_date") == 1.0;
            bool found = false;
            for (uint32_t i = 0; i < count; i++) {
                found = found || (chain[i].mould == m && chain[i].step == step);
                assert_close(chain[i].share, 1.0, 0.0);
            }
            assert_int_equal(found, wanted);
            sets += wanted;
        }
    }
    assert_int_equal(sets, count);
    bench_end(&bench);
}

/* --- stopping --- */

typedef struct patience {
    int left;
} patience;

static bool tell(void *context, double share)
{
    patience *of = context;
    assert_true(share >= 0.0 && share <= 1.0);
    return of->left-- > 0;
}

static void stops_with_what_it_has(void **state)
{
    (void)state;
    job_bench bench;
    mw_risk_reply reply;
    bench_start(&bench, NULL);
    bench_say_all(&bench, "x = 1 .. 2 .. 3");
    patience with = {.left = 5};
    mw_progress progress = {tell, &with};
    mw_job_watch(bench.job, &progress);
    assert_int_equal(ask(&bench, "of x, samples 6400, threads 1", &reply), MW_OK);
    mw_job_watch(bench.job, NULL);
    assert_int_equal(reply.samples, 6 * MW_RISK_TILE);
    assert_int_equal(reply.asked, 6400);
    assert_int_equal(row_of(&reply, "x")->count, 6 * MW_RISK_TILE);
    assert_close(row_of(&reply, "x")->mean.value, 2.0, 0.01);
    bench_end(&bench);
}

/* --- what is refused --- */

typedef struct refused_row {
    const char *name;
    const char *lines;
    const char *words;
    mw_code code;
} refused_row;

static const refused_row refused_rows[] = {
    {"nothing uncertain", "x = 1", "of x", MW_CODE_NOT_UNCERTAIN},
    {"no such tie", "x = 1 .. 2", "of x, tie x y 0.5", MW_CODE_NOT_UNCERTAIN},
    {"a tie to itself", "x = 1 .. 2", "of x, tie x x 0.5", MW_CODE_NAME_TWICE},
    {"too strong", "x = 1 .. 2\ny = 1 .. 2", "of x, tie x y 1", MW_CODE_OUT_OF_RANGE},
    {"contradiction", "a = 1 .. 2\nb = 1 .. 2\nc = 1 .. 2",
     "of a, tie a b 0.9, tie b c 0.9, tie a c -0.9", MW_CODE_OUT_OF_RANGE},
    {"unknown name", "x = 1 .. 2", "of z", MW_CODE_UNKNOWN_NAME},
    {"a list", "x = 1 .. 2\nl = [1, 2]", "of l", MW_CODE_IS_A_LIST},
    {"few samples", "x = 1 .. 2", "samples 2", MW_CODE_OUT_OF_RANGE},
    {"samples in words", "x = 1 .. 2", "samples many", MW_CODE_OUT_OF_RANGE},
    {"unknown clause", "x = 1 .. 2", "perhaps", MW_CODE_SYNTAX},
    {"a length for a date", "x = 1 .. 2", "by 5 m", MW_CODE_WRONG_KIND},
    {"confidence above all", "x = 1 .. 2", "at 120 %", MW_CODE_OUT_OF_RANGE},
    {"confidence of a length", "x = 1 .. 2", "at 1 m", MW_CODE_WRONG_KIND},
    {"nothing behind by", "x = 1 .. 2", "by", MW_CODE_SYNTAX},
    {"nothing behind of", "x = 1 .. 2", "of", MW_CODE_SYNTAX},
    {"half a tie", "x = 1 .. 2", "tie x", MW_CODE_SYNTAX},
    {"shape out of order", "a = 3\nx = a .. 2 .. 4", "of x", MW_CODE_OUT_OF_RANGE},
};

static void refused(void **state)
{
    const refused_row *row = *state;
    job_bench bench;
    mw_risk_reply reply;
    bench_start(&bench, NULL);
    bench_say_all(&bench, row->lines);
    assert_int_equal(ask(&bench, row->words, &reply), MW_FAILED);
    assert_int_equal(bench.diags.count, 1);
    assert_int_equal(bench.diags.items[0].code, row->code);
    bench_end(&bench);
}

static support_outcome risk_without_memory(void *context)
{
    job_bench *bench = context;
    mw_risk_reply reply;
    mw_span nothing = {0, 0, 0};
    bench_clear(bench);
    return mw_job_risk(bench->job, nothing, &reply, &bench->diags) == MW_OK ? SUPPORT_DONE
                                                                            : SUPPORT_NO_MEMORY;
}

/* Every allocation of a small run fails once, and from then on; the job is as it was. */
static void without_memory(void **state)
{
    (void)state;
    job_bench bench;
    bench_start(&bench, NULL);
    bench_say_all(&bench, "x = 1 .. 2 .. 4\ny = 2 * pert(1, 2, 4)");
    assert_true(support_fail_each_allocation(risk_without_memory, &bench) > 20);
    assert_close(bench_value(&bench, "x + y"), 6.0, 0.0);
    bench_end(&bench);
}

int main(void)
{
    test_list list = {0};
    test_add_rows(&list, "case", case_rows, published);
    test_add(&list, ishigami);
    test_add(&list, ties_come_out);
    test_add(&list, kept_ties);
    test_add(&list, typed_by_hand);
    test_add(&list, shipped_by_hand);
    test_add(&list, threads_agree);
    test_add(&list, odds_and_promise);
    test_add(&list, chain_of_the_plan);
    test_add(&list, stops_with_what_it_has);
    test_add_rows(&list, "refused", refused_rows, refused);
    test_add(&list, without_memory);
    return test_run(&list, "job: risk");
}
