/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What-if answers what setting would: each alternative is compared with the job in which it was
 * set, to the last bit. */
#include "job_bench.h"

#include "mouldwright/job.h"

#define TWO "tests/data/job/two.job"

typedef struct what_if_row {
    const char *name;
    const char *first; /* said before, or NULL */
    const char *target;
    const char *alternatives[4];
} what_if_row;

static const what_if_row rows[] = {
    {"plies of a step", NULL, "a.heavy.plies", {"1", "3", "8"}},
    {"plies everywhere", NULL, "moulds.heavy.plies", {"2", "7"}},
    {"plies of every step", NULL, "moulds.plies", {"2", "3"}},
    {"one mould keeps its own", "a.heavy.plies = 3", "moulds.heavy.plies", {"5", "2"}},
    {"one mould keeps its own, of all steps", "a.heavy.plies = 3", "moulds.plies", {"5"}},
    {"a mould without the step", NULL, "b.heavy.plies", {"2", "6"}},
    {"what is set already", "a.heavy.plies = 3", "a.heavy.plies", {"3", "9"}},
    {"usual counted up", "moulds.heavy.plies = 5", "a.heavy.plies", {"usual + 1", "usual * 2"}},
    {"hours", NULL, "a.heavy.hours", {"0 h", "6.5 h", "usual / 3"}},
    {"hours of a mould", NULL, "a.hours", {"5 h", "usual / 2"}},
    {"a measure", NULL, "a.area", {"1 m2", "100000 cm2"}},
    {"a material", NULL, "moulds.resin_material", {"\"fast resin\"", "\"slow resin\""}},
    {"a line", "k = 1.2\na.heavy.hours = usual * k", "k", {"1", "0.7"}},
    {"the shop", NULL, "shop.margin", {"0 %", "35 %"}},
};

static const char *const figures[] = {"job.cost", "job.price", "job.hours", "job.mass",
                                      "job.ready"};

enum { FIGURES = sizeof figures / sizeof *figures, ALTERNATIVES = 4 };

static size_t count_of(const what_if_row *row)
{
    size_t count = 0;
    while (count < ALTERNATIVES && row->alternatives[count]) {
        count++;
    }
    return count;
}

/* The figures with one alternative set, in a job of its own. */
static void set_one(const what_if_row *row, const char *alternative, double *values)
{
    job_bench bench;
    char statement[200];
    bench_start(&bench, TWO);
    bench_say_all(&bench, row->first);
    snprintf(statement, sizeof statement, "%s = %s", row->target, alternative);
    bench_say_all(&bench, statement);
    for (size_t f = 0; f < FIGURES; f++) {
        values[f] = bench_value(&bench, figures[f]);
    }
    bench_end(&bench);
}

static const mw_what_if_row *find_row(const mw_reply *reply, const char *name)
{
    for (uint32_t r = 0; r < reply->row_count; r++) {
        if (mw_str_equal(reply->rows[r].name, mw_str_of(name))) {
            return &reply->rows[r];
        }
    }
    return NULL; /* a figure of all moulds is not shown where one mould's is */
}

static void answers_as_setting_does(void **state)
{
    const what_if_row *row = *state;
    double want[ALTERNATIVES][FIGURES];
    double now[FIGURES];
    char statement[400];
    size_t count = count_of(row);
    int length = snprintf(statement, sizeof statement, "what if %s = ", row->target);
    for (size_t i = 0; i < count; i++) {
        set_one(row, row->alternatives[i], want[i]);
        length += snprintf(statement + length, sizeof statement - (size_t)length, "%s%s",
                           i ? ", " : "", row->alternatives[i]);
    }
    job_bench bench;
    bench_start(&bench, TWO);
    bench_say_all(&bench, row->first);
    for (size_t f = 0; f < FIGURES; f++) {
        now[f] = bench_value(&bench, figures[f]);
    }
    if (bench_say(&bench, statement) != MW_OK) {
        fail_msg("`%s`: %s", statement, bench.diags.items[0].message);
    }
    assert_int_equal(bench.reply.kind, MW_REPLY_WHAT_IF);
    assert_int_equal(bench.reply.column_count, count);
    size_t compared = 0;
    for (size_t f = 0; f < FIGURES; f++) {
        const mw_what_if_row *found = find_row(&bench.reply, figures[f]);
        if (!found) {
            continue;
        }
        compared++;
        assert_false(found->input);
        assert_memory_equal(&found->now, &now[f], sizeof now[f]);
        for (size_t i = 0; i < count; i++) {
            if (memcmp(&found->values[i], &want[i][f], sizeof want[i][f]) != 0) {
                fail_msg("%s with %s = %s: what if says %.17g, setting it %.17g", figures[f],
                         row->target, row->alternatives[i], found->values[i], want[i][f]);
            }
        }
    }
    assert_true(compared >= 3);
    for (size_t f = 0; f < FIGURES; f++) {
        double after = bench_value(&bench, figures[f]);
        assert_memory_equal(&after, &now[f], sizeof after); /* nothing has changed */
    }
    bench_end(&bench);
}

int main(void)
{
    test_list list = {0};
    test_add_rows(&list, "what if", rows, answers_as_setting_does);
    return test_run(&list, "job: what if");
}
