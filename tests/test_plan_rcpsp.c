/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Plans of open benchmark instances: precedence and capacities are kept, nothing can start earlier,
 * no plan is shorter than the proved lower bound, and without limits the length is the critical
 * path that the file states. One period is an hour on a calendar that is always open. The files are
 * not part of the project: they are read from the folder that MOULDWRIGHT_CHECKS names
 * (../shared/checks), every tenth of each set; without it each is skipped by its name. Sources:
 * Kolisch and Sprecher, PSPLIB - A project scheduling problem library, EJOR 96 (1996) 205-216
 * (.sm); Schwindt, ProGen/max, and Franck, Neumann and Schwindt, OR Spektrum 23 (2001) (.sch). */
#include <stdio.h>

#include "plan_checker.h"
#include "plan_problem.h"

#define PERIOD_S 3600.0

enum { RESOURCES_MOST = 8, ROWS = 48 + 48 + 60 + 3 * 27 + 3 * 9, PATH = 512, PERIODS_MOST = 2048 };

typedef struct file_row {
    char name[24]; /* of the instance */
    const char *folder;
    const char *bounds;
    bool windows; /* minimum and maximum lags */
} file_row;

static const char *checks_folder(void)
{
    const char *folder = getenv("MOULDWRIGHT_CHECKS");
    return folder == NULL || folder[0] == '\0' ? "../shared/checks" : folder;
}

static FILE *open_set(const char *folder, const char *name, const char *ending)
{
    char path[PATH];
    int length = snprintf(path, sizeof path, "%s/rcpsp/%s%s%s%s", checks_folder(), folder,
                          folder[0] == '\0' ? "" : "/", name, ending);
    assert_in_range(length, 1, sizeof path - 1);
    return fopen(path, "r");
}

static long next_number(FILE *file)
{
    long number = 0;
    assert_int_equal(fscanf(file, " %ld", &number), 1);
    return number;
}

static void skip_past(FILE *file, const char *words)
{
    char line[PATH];
    while (fgets(line, sizeof line, file) != NULL) {
        if (strstr(line, words) != NULL) {
            return;
        }
    }
    fail_msg("no line with %s", words);
}

static void skip_line(FILE *file)
{
    skip_past(file, "");
}

static void add_job(builder *b, long duration)
{
    add_activity(b, (mw_plan_activity){.work_s = (double)duration * PERIOD_S,
                                       .calendar = ALWAYS,
                                       .earliest_s = ANY});
}

/* Reads duration and needs of `count` jobs, one a line: job, mode, duration, needs; then the
 * capacities. */
static void read_jobs(builder *b, FILE *file, long count, long resources, long skipped_lines)
{
    for (long i = 0; i < count; i++) {
        next_number(file);
        next_number(file);
        add_job(b, next_number(file));
        for (long r = 0; r < resources; r++) {
            long amount = next_number(file);
            add_need(b, (mw_plan_need){.resource = (uint32_t)r, .amount = (uint32_t)amount});
        }
    }
    for (long i = 0; i < skipped_lines; i++) {
        skip_line(file);
    }
    for (long r = 0; r < resources; r++) {
        add_resource(b, (uint32_t)next_number(file));
    }
}

/* Returns the critical path that the file states. */
static double read_sm(builder *b, FILE *file)
{
    skip_past(file, "jobs (incl.");
    skip_past(file, "pronr.");
    for (int i = 0; i < 5; i++) {
        next_number(file);
    }
    double critical_path = (double)next_number(file);
    skip_past(file, "#successors");
    uint32_t job = 0;
    long number = 0;
    while (fscanf(file, " %ld", &number) == 1) {
        assert_int_equal(number, job + 1);
        next_number(file);
        for (long left = next_number(file); left > 0; left--) {
            add_follows(b, job, (uint32_t)next_number(file) - 1);
        }
        job++;
    }
    skip_past(file, "REQUESTS");
    skip_line(file);
    skip_line(file);
    read_jobs(b, file, job, 4, 4);
    return critical_path;
}

static void add_start_to_start(builder *b, uint32_t from, uint32_t to, long lag)
{
    double amount_s = (double)(lag < 0 ? -lag : lag) * PERIOD_S;
    /* S_to - S_from >= -L says S_from <= S_to + L. Zero can be said both ways: as a window where it
     * leads back, since some instances have circles of zeros, which least lags may not form. */
    bool window = lag < 0 || (lag == 0 && to < from);
    add_lag(b, (mw_plan_lag){.from = window ? to : from,
                             .to = window ? from : to,
                             .maximum = window,
                             .amount_s = amount_s,
                             .calendar = ALWAYS});
}

static void read_sch(builder *b, FILE *file)
{
    long count = next_number(file) + 2;
    long resources = next_number(file);
    next_number(file);
    next_number(file);
    for (long i = 0; i < count; i++) {
        assert_int_equal(next_number(file), i);
        next_number(file);
        long successors = next_number(file);
        long others[256];
        assert_in_range(successors, 0, 255);
        for (long s = 0; s < successors; s++) {
            others[s] = next_number(file);
        }
        for (long s = 0; s < successors; s++) {
            long lag = 0;
            assert_int_equal(fscanf(file, " [%ld]", &lag), 1);
            add_start_to_start(b, (uint32_t)i, (uint32_t)others[s], lag);
        }
    }
    read_jobs(b, file, count, resources, 0);
}

/* Finds an instance in its file of bounds; a number that is not there is 0. Returns whether it is
 * proved to have no plan. */
static bool read_bounds(const file_row *row, double *lower, double *critical_path)
{
    FILE *file = open_set("", row->bounds, ".csv");
    assert_non_null(file);
    char line[PATH];
    bool found = false;
    bool unsat = false;
    while (!found && fgets(line, sizeof line, file) != NULL) {
        char *comma = strchr(line, ',');
        if (comma == NULL) {
            continue;
        }
        *comma = '\0';
        found = strcmp(line, row->name) == 0;
        char *rest = comma + 1;
        unsat = strncmp(rest, "unsat", 5) == 0;
        *lower = strtod(rest, NULL);
        rest = strchr(strchr(rest, ',') + 1, ',') + 1;
        *critical_path = strtod(rest, NULL);
    }
    fclose(file);
    assert_true(found);
    return unsat;
}

static double makespan(const mw_plan *plan, const mw_plan_problem *problem)
{
    double last_s = problem->start_s;
    for (uint32_t i = 0; i < problem->activity_count; i++) {
        last_s = fmax(last_s, mw_plan_slots(plan)[i].end_s);
    }
    return (last_s - problem->start_s) / PERIOD_S;
}

/* What is used of each resource in each period. */
typedef struct usage {
    uint64_t used[RESOURCES_MOST][PERIODS_MOST];
} usage;

static int period_of(const mw_plan_problem *p, double at_s)
{
    double period = (at_s - p->start_s) / PERIOD_S;
    assert_true(period >= 0.0 && period < PERIODS_MOST && period == floor(period));
    return (int)period;
}

/* Adds what an activity needs in each period of its slot; `sign` -1: takes it away. */
static void add_usage(usage *u, const mw_plan_problem *p, const mw_plan_slot *slot,
                      uint32_t activity, int sign)
{
    int end = period_of(p, slot->end_s);
    for (int t = period_of(p, slot->start_s); t < end; t++) {
        for (uint32_t n = 0; n < p->activities[activity].need_count; n++) {
            const mw_plan_need *need = &p->needs[p->activities[activity].first_need + n];
            u->used[need->resource][t] += sign > 0 ? need->amount : 0 - (uint64_t)need->amount;
        }
    }
}

/* Whether an activity, taken out of the usage, could start in a period. */
static bool can_start(const usage *u, const mw_plan_problem *p, uint32_t activity, int period)
{
    const mw_plan_activity *row = &p->activities[activity];
    int end = period + (int)(row->work_s / PERIOD_S);
    for (int t = period; t < end; t++) {
        for (uint32_t n = 0; n < row->need_count; n++) {
            const mw_plan_need *need = &p->needs[row->first_need + n];
            if (u->used[need->resource][t] + need->amount > p->resources[need->resource].capacity) {
                return false;
            }
        }
    }
    return true;
}

/* Serial generation gives active plans: nothing can start earlier by itself.
 * Source: Kolisch, Serial and parallel resource-constrained project scheduling methods revisited,
 * EJOR 90 (1996), theorem 1. */
static void assert_active(const mw_plan_problem *p, const mw_plan_slot *slots)
{
    static usage u;
    u = (usage){0};
    for (uint32_t i = 0; i < p->activity_count; i++) {
        add_usage(&u, p, &slots[i], i, 1);
    }
    for (uint32_t i = 0; i < p->activity_count; i++) {
        int first = 0;
        for (uint32_t l = 0; l < p->lag_count; l++) {
            int end = p->lags[l].to == i ? period_of(p, slots[p->lags[l].from].end_s) : 0;
            first = end > first ? end : first;
        }
        add_usage(&u, p, &slots[i], i, -1);
        for (int t = first; t < period_of(p, slots[i].start_s); t++) {
            if (can_start(&u, p, i, t)) {
                fail_msg("activity %u could start in period %d, not %d", (unsigned)i, t,
                         period_of(p, slots[i].start_s));
            }
        }
        add_usage(&u, p, &slots[i], i, 1);
    }
}

static void look_at_sm(const file_row *row, FILE *file)
{
    builder *b = new_shop_builder(JAN(11, 0, 0));
    double stated = read_sm(b, file);
    double lower = 0.0;
    double critical_path = 0.0;
    assert_false(read_bounds(row, &lower, &critical_path));
    assert_close(critical_path, stated, 0.0);
    mw_plan *plan = mw_plan_new();
    assert_non_null(plan);
    assert_int_equal(mw_plan_first(plan, &b->problem), MW_OK);
    assert_right_plan(plan, &b->problem, row->name);
    assert_active(&b->problem, mw_plan_slots(plan));
    double length = makespan(plan, &b->problem);
    assert_true(length >= lower && length >= critical_path && isfinite(length));
    for (uint32_t r = 0; r < b->problem.resource_count; r++) {
        b->resources[r].capacity = UINT32_MAX;
    }
    assert_int_equal(mw_plan_first(plan, &b->problem), MW_OK);
    assert_close(makespan(plan, &b->problem), critical_path, 0.0);
    mw_plan_free(plan);
    free_builder(b);
}

static void look_at_sch(const file_row *row, FILE *file)
{
    builder *b = new_shop_builder(JAN(11, 0, 0));
    read_sch(b, file);
    double lower = 0.0;
    double critical_path = 0.0;
    bool unsat = read_bounds(row, &lower, &critical_path);
    mw_plan *plan = mw_plan_new();
    assert_non_null(plan);
    assert_int_equal(mw_plan_first(plan, &b->problem), MW_OK);
    assert_right_plan(plan, &b->problem, row->name);
    uint32_t missed = 0;
    mw_plan_missed(plan, &missed);
    double length = makespan(plan, &b->problem);
    if (missed == 0 && isfinite(length)) {
        assert_false(unsat);
        assert_true(length >= lower && length >= critical_path);
    }
    mw_plan_free(plan);
    free_builder(b);
}

static void plan_instance(void **state)
{
    const file_row *row = *state;
    FILE *file = open_set(row->folder, row->name, row->windows ? ".sch" : ".sm");
    if (file == NULL) {
        print_message("skipped, not here: %s/%s\n", row->folder, row->name);
        skip();
    }
    if (row->windows) {
        look_at_sch(row, file);
    } else {
        look_at_sm(row, file);
    }
    fclose(file);
}

/* Every tenth of a set: of j30 with 48 groups of 10 one in each group, another one each time. */
static void add_sm_rows(test_list *list, file_row *rows, size_t *count, const char *set, int groups)
{
    for (int group = 1; group <= groups; group++) {
        file_row *row = &rows[(*count)++];
        row->folder = set;
        row->bounds = strcmp(set, "j30") == 0   ? "bounds_j30"
                      : strcmp(set, "j60") == 0 ? "bounds_j60"
                                                : "bounds_j120";
        snprintf(row->name, sizeof row->name, "%s%d_%d", set, group, group % 10 + 1);
        test_add_named(list, row->name, plan_instance, row);
    }
}

static void add_sch_rows(test_list *list, file_row *rows, size_t *count, const char *folder,
                         const char *bounds, int files)
{
    for (int number = 10; number <= files; number += 10) {
        char name[64];
        file_row *row = &rows[(*count)++];
        row->folder = folder;
        row->bounds = bounds;
        row->windows = true;
        snprintf(row->name, sizeof row->name, "psp%d", number);
        snprintf(name, sizeof name, "%s %s", folder, row->name);
        test_add_named(list, name, plan_instance, row);
    }
}

int main(void)
{
    static file_row rows[ROWS];
    test_list list = {0};
    size_t count = 0;
    add_sm_rows(&list, rows, &count, "j30", 48);
    add_sm_rows(&list, rows, &count, "j60", 48);
    add_sm_rows(&list, rows, &count, "j120", 60);
    add_sch_rows(&list, rows, &count, "max/j10", "max/bounds_j10", 270);
    add_sch_rows(&list, rows, &count, "max/j20", "max/bounds_j20", 270);
    add_sch_rows(&list, rows, &count, "max/j30", "max/bounds_j30", 270);
    add_sch_rows(&list, rows, &count, "max/ubo10", "max/bounds_ubo10", 90);
    add_sch_rows(&list, rows, &count, "max/ubo50", "max/bounds_ubo50", 90);
    add_sch_rows(&list, rows, &count, "max/ubo200", "max/bounds_ubo200", 90);
    return count == ROWS ? test_run(&list, "benchmark instances") : 1;
}
