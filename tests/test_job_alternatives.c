/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Steps through a range, alternatives kept and saved, and choices that no other beats: each against the same said
 * another way, in a job of its own. */
#include "job_bench.h"

#include <math.h>

#include "mouldwright/job.h"

#define TWO "tests/data/job/two.job"

static const mw_what_if_row *find_row(const mw_reply *reply, const char *name)
{
    for (uint32_t r = 0; r < reply->row_count; r++) {
        if (mw_str_equal(reply->rows[r].name, mw_str_of(name))) {
            return &reply->rows[r];
        }
    }
    fail_msg("there is no row %s", name);
    return NULL;
}

static void say(job_bench *bench, const char *statement)
{
    if (bench_say(bench, statement) != MW_OK) {
        fail_msg("`%s`: %s", statement,
                 bench->diags.count ? bench->diags.items[0].message : "no reason");
    }
}

/* Says a command that stands behind a word to the job. */
static mw_status command(job_bench *bench, const char *rest,
                         mw_status (*to)(mw_job *, mw_span, mw_reply *, mw_diags *))
{
    bench_clear(bench);
    mw_sources *sources = mw_job_sources(bench->job);
    uint32_t source = mw_sources_add(sources, mw_str_of("<test>"), mw_str_of(rest));
    assert_int_not_equal(source, MW_NONE);
    mw_span span = {source, 0, (uint32_t)strlen(rest)};
    return to(bench->job, span, &bench->reply, &bench->diags);
}

/* ---- steps ---- */

typedef struct step_row {
    const char *name;
    const char *stepped;
    const char *listed;
} step_row;

/* The lists are counted out by hand. */
static const step_row step_rows[] = {
    {"whole numbers", "a.heavy.plies = 2 .. 8 step 2", "a.heavy.plies = 2, 4, 6, 8"},
    {"short of the end", "a.heavy.plies = 2 .. 8 step 4", "a.heavy.plies = 2, 6"},
    {"one value", "a.heavy.plies = 3 .. 3 step 1", "a.heavy.plies = 3"},
    {"tenths", "a.area = 0.1 m2 .. 0.5 m2 step 0.1 m2",
     "a.area = 0.1 m2, 0.2 m2, 0.3 m2, 0.4 m2, 0.5 m2"},
    {"a step in another unit", "a.area = 1 m2 .. 2 m2 step 5000 cm2",
     "a.area = 1 m2, 1.5 m2, 2 m2"},
    {"shares", "shop.margin = 10 % .. 30 % step 5 %", "shop.margin = 10 %, 15 %, 20 %, 25 %, 30 %"},
    {"money", "budget = 1000 EUR .. 2000 EUR step 500 EUR",
     "budget = 1000 EUR, 1500 EUR, 2000 EUR"},
    {"two inputs", "a.heavy.plies = 2 .. 4 step 1 by b.heavy.plies = 3 .. 5 step 2",
     "a.heavy.plies = 2, 3, 4 by b.heavy.plies = 3, 5"},
};

static void steps_are_a_list(void **state)
{
    const step_row *row = *state;
    char statement[200];
    job_bench stepped;
    job_bench listed;
    bench_start(&stepped, TWO);
    bench_start(&listed, TWO);
    snprintf(statement, sizeof statement, "what if %s", row->stepped);
    say(&stepped, statement);
    snprintf(statement, sizeof statement, "what if %s", row->listed);
    say(&listed, statement);
    assert_int_equal(stepped.reply.column_count, listed.reply.column_count);
    assert_int_equal(stepped.reply.row_count, listed.reply.row_count);
    for (uint32_t r = 0; r < listed.reply.row_count; r++) {
        const double *got = stepped.reply.rows[r].values;
        const double *want = listed.reply.rows[r].values;
        assert_memory_equal(got, want, listed.reply.column_count * sizeof *want);
    }
    bench_end(&stepped);
    bench_end(&listed);
}

/* ---- keeping ---- */

typedef struct keep_row {
    const char *name;
    const char *what_if;
    const char *keep;
    const char *by_hand;
} keep_row;

static const keep_row keep_rows[] = {
    {"one setting", "a.heavy.plies = 2, 5", "2", "a.heavy.plies = 5"},
    {"in step", "a.heavy.plies = 2, 5 with b.heavy.plies = 3, 6", "1",
     "a.heavy.plies = 2\nb.heavy.plies = 3"},
    {"of a grid", "a.heavy.plies = 2, 5 by shop.margin = 10 %, 30 %", "4",
     "a.heavy.plies = 5\nshop.margin = 30 %"},
    {"of steps", "a.heavy.plies = 2 .. 6 step 2", "3", "a.heavy.plies = 6"},
    {"a formula", "moulds.heavy.plies = usual, usual + 2", "2", "moulds.heavy.plies = usual + 2"},
    {"a material", "moulds.resin_material = \"slow resin\", \"fast resin\"", "2",
     "moulds.resin_material = \"fast resin\""},
};

static const char *const figures[] = {"job.cost", "job.price", "job.hours", "job.mass",
                                      "job.ready"};
enum { FIGURES = sizeof figures / sizeof *figures };

static void take_figures(job_bench *bench, double *values)
{
    for (size_t f = 0; f < FIGURES; f++) {
        values[f] = bench_value(bench, figures[f]);
    }
}

static void kept_is_as_set(void **state)
{
    const keep_row *row = *state;
    char statement[200];
    double now[FIGURES];
    double want[FIGURES];
    double got[FIGURES];
    job_bench hand;
    job_bench bench;
    bench_start(&hand, TWO);
    bench_say_all(&hand, row->by_hand);
    take_figures(&hand, want);
    bench_end(&hand);
    bench_start(&bench, TWO);
    take_figures(&bench, now);
    snprintf(statement, sizeof statement, "what if %s", row->what_if);
    say(&bench, statement);
    assert_int_equal(command(&bench, row->keep, mw_job_keep_alternative), MW_OK);
    take_figures(&bench, got);
    assert_memory_equal(got, want, sizeof got);
    /* one step back undoes all of it */
    bench_clear(&bench);
    assert_int_equal(mw_job_undo(bench.job, &bench.reply, &bench.diags), MW_OK);
    take_figures(&bench, got);
    assert_memory_equal(got, now, sizeof got);
    /* saved under a name it changes nothing, and can be kept by that name */
    snprintf(statement, sizeof statement, "what if %s", row->what_if);
    say(&bench, statement);
    snprintf(statement, sizeof statement, "%s as other", row->keep);
    assert_int_equal(command(&bench, statement, mw_job_keep_alternative), MW_OK);
    take_figures(&bench, got);
    assert_memory_equal(got, now, sizeof got);
    assert_int_equal(command(&bench, "", mw_job_alternatives), MW_OK);
    assert_int_equal(bench.reply.column_count, 1);
    assert_memory_equal(&find_row(&bench.reply, "job.cost")->values[0], &want[0], sizeof want[0]);
    assert_int_equal(command(&bench, "other", mw_job_keep_alternative), MW_OK);
    take_figures(&bench, got);
    assert_memory_equal(got, want, sizeof got);
    bench_end(&bench);
}

/* ---- among the statements of the job ---- */

static void saved_alternatives_are_said_again_and_dropped(void **state)
{
    (void)state;
    job_bench bench;
    bench_start(&bench, TWO);
    say(&bench, "alternative thin: a.heavy.plies = 3 with b.heavy.plies = 2");
    say(&bench, "alternative warm: shop.margin = 25 %");
    say(&bench, "alternative thin: a.heavy.plies = 3 with b.heavy.plies = 4");
    assert_int_equal(command(&bench, "", mw_job_alternatives), MW_OK);
    assert_int_equal(bench.reply.column_count, 2);
    assert_true(find_row(&bench.reply, "b.heavy.plies")->values[0] == 4.0);
    say(&bench, "drop thin");
    assert_int_equal(command(&bench, "", mw_job_alternatives), MW_OK);
    assert_int_equal(bench.reply.column_count, 1);
    assert_true(mw_str_equal(bench.reply.heads[0], mw_str_of("warm")));
    bench_end(&bench);
}

/* ---- weighing ---- */

typedef struct weigh_row {
    const char *name;
    const char *first, *second;     /* goals */
    double first_sign, second_sign; /* -1: more is better */
    const char *paths[3];
    const char *values[3][5];
} weigh_row;

static const weigh_row weigh_rows[] = {
    {"cost against stiffness of plies",
     "job.cost",
     "a.thickness",
     1.0,
     -1.0,
     {"a.heavy.plies"},
     {{"1", "2", "3", "4", "6"}}},
    {"cost against ready",
     "job.cost",
     "job.ready",
     1.0,
     1.0,
     {"a.heavy.plies", "shop.layer_count", "a.rim"},
     {{"2", "4", "6"}, {"2", "3", "4"}, {"50 mm", "100 mm"}}},
    {"price against mass, many alike",
     "job.price",
     "job.mass",
     1.0,
     -1.0,
     {"a.heavy.plies", "b.heavy.plies", "budget"},
     {{"2", "3", "5"}, {"2", "4"}, {"1 EUR", "2 EUR"}}},
    {"hours against cost",
     "job.hours",
     "job.cost",
     1.0,
     1.0,
     {"a.heavy.hours", "a.heavy.plies"},
     {{"1 h", "5 h", "9 h"}, {"1", "3", "5"}}},
};

enum { CHOICES_MOST = 64 };

typedef struct figure_pair {
    double first, second;
} figure_pair;

static size_t count_of(const char *const *values)
{
    size_t count = 0;
    while (count < 5 && values[count]) {
        count++;
    }
    return count;
}

/* All choices, each set in a job of its own. */
static size_t set_all(const weigh_row *row, figure_pair *all)
{
    size_t total = 1;
    for (size_t i = 0; i < 3 && row->paths[i]; i++) {
        total *= count_of(row->values[i]);
    }
    assert_true(total <= CHOICES_MOST);
    for (size_t c = 0; c < total; c++) {
        job_bench bench;
        bench_start(&bench, TWO);
        size_t rest = c;
        for (size_t i = 0; i < 3 && row->paths[i]; i++) {
            char statement[100];
            size_t count = count_of(row->values[i]);
            snprintf(statement, sizeof statement, "%s = %s", row->paths[i],
                     row->values[i][rest % count]);
            rest /= count;
            say(&bench, statement);
        }
        all[c] = (figure_pair){bench_value(&bench, row->first), bench_value(&bench, row->second)};
        bench_end(&bench);
    }
    return total;
}

static bool beats(const weigh_row *row, figure_pair a, figure_pair b)
{
    double a1 = row->first_sign * a.first;
    double a2 = row->second_sign * a.second;
    double b1 = row->first_sign * b.first;
    double b2 = row->second_sign * b.second;
    return a1 <= b1 && a2 <= b2 && (a1 < b1 || a2 < b2);
}

static bool is_shown(const mw_reply *reply, const weigh_row *row, figure_pair wanted)
{
    const mw_what_if_row *first = find_row(reply, row->first);
    const mw_what_if_row *second = find_row(reply, row->second);
    for (uint32_t c = 0; c < reply->column_count; c++) {
        if (first->values[c] == wanted.first && second->values[c] == wanted.second) {
            return true;
        }
    }
    return false;
}

static void say_weighing(job_bench *bench, const weigh_row *row)
{
    mw_text statement = {0};
    mw_text_addf(&statement, "weigh %s%s against %s%s over ", row->first_sign < 0 ? "most " : "",
                 row->first, row->second_sign < 0 ? "most " : "", row->second);
    for (size_t i = 0; i < 3 && row->paths[i]; i++) {
        mw_text_addf(&statement, "%s%s = ", i ? " by " : "", row->paths[i]);
        for (size_t k = 0; k < count_of(row->values[i]); k++) {
            mw_text_addf(&statement, "%s%s", k ? ", " : "", row->values[i][k]);
        }
    }
    say(bench, mw_text_chars(&statement));
    mw_text_free(&statement);
}

/* What is shown are just the choices that none beats, by comparing each with each. */
static void none_beats_what_is_shown(void **state)
{
    const weigh_row *row = *state;
    figure_pair all[CHOICES_MOST];
    size_t total = set_all(row, all);
    job_bench bench;
    bench_start(&bench, TWO);
    say_weighing(&bench, row);
    assert_int_equal(bench.reply.tried, total);
    size_t unbeaten = 0;
    for (size_t c = 0; c < total; c++) {
        bool beaten = false;
        for (size_t other = 0; other < total; other++) {
            beaten = beaten || beats(row, all[other], all[c]);
        }
        unbeaten += !beaten;
        if (is_shown(&bench.reply, row, all[c]) == beaten) {
            fail_msg("choice %zu (%.17g, %.17g) is %s", c, all[c].first, all[c].second,
                     beaten ? "beaten, but shown" : "not beaten, but not shown");
        }
    }
    size_t shown = 0;
    for (uint32_t c = 0; c < bench.reply.column_count; c++) {
        shown += 1 + bench.reply.alike[c];
    }
    assert_int_equal(shown, unbeaten);
    bench_end(&bench);
}

int main(void)
{
    test_list list = {0};
    test_add_rows(&list, "steps", step_rows, steps_are_a_list);
    test_add_rows(&list, "keep", keep_rows, kept_is_as_set);
    test_add_rows(&list, "weigh", weigh_rows, none_beats_what_is_shown);
    test_add(&list, saved_alternatives_are_said_again_and_dropped);
    return test_run(&list, "job: alternatives");
}
