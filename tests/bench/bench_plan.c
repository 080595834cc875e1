/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How fast plans are made, from the problem as given to slots with their reasons.
 *
 * plan-j30, plan-j120 schedules a second for random networks of 30 and 120 activities on 4
 * resources with durations of 1 to 10 periods, as open benchmark sets have them; limit: serial
 * generation in whole periods with a count for each period, which knows no calendars and no reasons
 * plan-job ms for a job of 7 moulds of 18 steps on shifts, cure by day and night, crew, mill and
 * oven, with three windows a mould; limit 1 ms plan-2000 ms for 2,000 activities of 111 moulds in
 * the same shop, booked for years; limit 50 ms */
#include <math.h>
#include <stdbool.h>
#include <stdint.h>
#include <string.h>

#include "bench.h"
#include "mouldwright/plan.h"

enum {
    JOBS_MOST = 2048,
    LAGS_MOST = 4 * JOBS_MOST,
    NEEDS_MOST = 4 * JOBS_MOST,
    RESOURCES = 4,
    PERIODS = 2048,
    ROUNDS = 7
};

/* A problem with the arrays that it borrows. */
typedef struct shop_problem {
    mw_plan_activity activities[JOBS_MOST];
    mw_plan_lag lags[LAGS_MOST];
    mw_plan_need needs[NEEDS_MOST];
    mw_plan_resource resources[RESOURCES];
    const mw_calendar *calendars[3];
    mw_plan_problem problem;
} shop_problem;

enum { ALWAYS, DAY, CURE };

#define MONDAY_S (20829.0 * MW_DAY_S) /* 2027-01-11 */
#define HOUR_S   3600.0

static uint64_t random_state;

/* Source: Steele, Lea and Flood, Fast splittable pseudorandom number generators, OOPSLA 2014. */
static uint32_t random_below(uint32_t below)
{
    uint64_t z = random_state += 0x9e3779b97f4a7c15u;
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
    return (uint32_t)((z ^ (z >> 31)) % below);
}

static mw_calendar *make_calendar(int last_weekday, const mw_stretch *stretches, size_t count)
{
    mw_calendar *calendar = mw_calendar_new();
    bench_must(calendar != NULL, "no memory");
    for (int weekday = 1; weekday <= last_weekday; weekday++) {
        bench_must(mw_calendar_weekday(calendar, 0xfff, weekday, stretches, count) == MW_OK,
                   "calendar");
    }
    return calendar;
}

static void start_problem(shop_problem *s)
{
    memset(&s->problem, 0, sizeof s->problem);
    s->problem = (mw_plan_problem){.start_s = MONDAY_S,
                                   .calendars = s->calendars,
                                   .calendar_count = 3,
                                   .resources = s->resources,
                                   .resource_count = RESOURCES,
                                   .needs = s->needs,
                                   .activities = s->activities,
                                   .lags = s->lags};
}

static uint32_t add_activity(shop_problem *s, double work_s, uint32_t calendar, bool interrupt)
{
    uint32_t at = s->problem.activity_count++;
    bench_must(at < JOBS_MOST, "too many activities");
    s->activities[at] = (mw_plan_activity){.work_s = work_s,
                                           .calendar = calendar,
                                           .interrupt = interrupt,
                                           .earliest_s = -HUGE_VAL,
                                           .first_need = s->problem.need_count};
    return at;
}

static void add_need(shop_problem *s, uint32_t resource, uint32_t amount, bool wait_too)
{
    bench_must(s->problem.need_count < NEEDS_MOST, "too many needs");
    s->needs[s->problem.need_count++] = (mw_plan_need){resource, amount, wait_too};
    s->activities[s->problem.activity_count - 1].need_count++;
}

static void add_lag(shop_problem *s, mw_plan_lag lag)
{
    bench_must(s->problem.lag_count < LAGS_MOST, "too many lags");
    s->lags[s->problem.lag_count++] = lag;
}

static void make_network(shop_problem *s, uint32_t count)
{
    start_problem(s);
    for (uint32_t r = 0; r < RESOURCES; r++) {
        s->resources[r].capacity = 12 + random_below(8);
    }
    for (uint32_t i = 0; i < count; i++) {
        add_activity(s, HOUR_S * (1 + random_below(10)), ALWAYS, true);
        for (uint32_t r = 0; r < RESOURCES; r++) {
            if (random_below(2) == 0) {
                add_need(s, r, 1 + random_below(10), false);
            }
        }
        uint32_t before = i == 0 ? 0 : 1 + random_below(2);
        for (uint32_t k = 0; k < before; k++) {
            uint32_t near = i < 12 ? i : 12;
            add_lag(s, (mw_plan_lag){.from = i - 1 - random_below(near),
                                     .to = i,
                                     .from_end = true,
                                     .calendar = ALWAYS});
        }
    }
}

/* The same network in whole periods. */
typedef struct plain {
    uint32_t count;
    int duration[JOBS_MOST];
    uint32_t need[JOBS_MOST][RESOURCES];
    uint32_t first_before[JOBS_MOST + 1];
    uint32_t before[LAGS_MOST];
    int end[JOBS_MOST];
    uint32_t used[PERIODS][RESOURCES];
} plain;

static void make_plain(plain *p, const shop_problem *s)
{
    memset(p, 0, sizeof *p);
    p->count = s->problem.activity_count;
    uint32_t lag = 0;
    for (uint32_t i = 0; i < p->count; i++) {
        const mw_plan_activity *row = &s->activities[i];
        p->duration[i] = (int)(row->work_s / HOUR_S);
        for (uint32_t n = 0; n < row->need_count; n++) {
            const mw_plan_need *need = &s->needs[row->first_need + n];
            p->need[i][need->resource] = need->amount;
        }
        p->first_before[i] = lag;
        while (lag < s->problem.lag_count && s->lags[lag].to == i) {
            p->before[lag] = s->lags[lag].from;
            lag++;
        }
    }
    p->first_before[p->count] = lag;
}

/* Returns the first period from `start` on in which there is too much, up to `end`; `end` if there
 * is none. */
static int first_full(const plain *p, const shop_problem *s, uint32_t job, int start, int end)
{
    for (int t = start; t < end; t++) {
        for (uint32_t r = 0; r < RESOURCES; r++) {
            if (p->used[t][r] + p->need[job][r] > s->resources[r].capacity) {
                return t;
            }
        }
    }
    return end;
}

static int plan_plain(plain *p, const shop_problem *s)
{
    int last = 0;
    memset(p->used, 0, sizeof p->used);
    for (uint32_t i = 0; i < p->count; i++) {
        int start = 0;
        for (uint32_t k = p->first_before[i]; k < p->first_before[i + 1]; k++) {
            start = p->end[p->before[k]] > start ? p->end[p->before[k]] : start;
        }
        int full;
        while ((full = first_full(p, s, i, start, start + p->duration[i])) <
               start + p->duration[i]) {
            start = full + 1;
        }
        p->end[i] = start + p->duration[i];
        for (int t = start; t < p->end[i]; t++) {
            for (uint32_t r = 0; r < RESOURCES; r++) {
                p->used[t][r] += p->need[i][r];
            }
        }
        last = p->end[i] > last ? p->end[i] : last;
    }
    return last;
}

/* Both ways must come to the same ends, or the comparison is worth nothing. */
static void compare_ends(const plain *p, const mw_plan *plan)
{
    for (uint32_t i = 0; i < p->count; i++) {
        bench_must(mw_plan_slots(plan)[i].end_s == MONDAY_S + HOUR_S * p->end[i],
                   "the two schedules differ");
    }
}

static double seconds_of_plan(mw_plan *plan, const shop_problem *s, int times)
{
    double start = bench_now_s();
    for (int i = 0; i < times; i++) {
        bench_must(mw_plan_first(plan, &s->problem) == MW_OK, "no plan");
    }
    return (bench_now_s() - start) / times;
}

static double seconds_of_plain(plain *p, const shop_problem *s, int times)
{
    double start = bench_now_s();
    int sum = 0;
    for (int i = 0; i < times; i++) {
        sum += plan_plain(p, s);
    }
    double seconds = (bench_now_s() - start) / times;
    bench_must(sum > 0, "no schedule");
    return seconds;
}

static void bench_network(mw_plan *plan, shop_problem *s, const char *name, uint32_t count)
{
    static plain p;
    double ours[ROUNDS], theirs[ROUNDS];
    int times = (int)(60000 / count);
    for (int i = 0; i < ROUNDS; i++) {
        random_state = (uint64_t)i;
        make_network(s, count);
        make_plain(&p, s);
        ours[i] = seconds_of_plan(plan, s, times);
        theirs[i] = seconds_of_plain(&p, s, times);
        compare_ends(&p, plan);
    }
    bench_print(name, 1.0 / bench_median(ours, ROUNDS), "1/s", 1.0 / bench_median(theirs, ROUNDS));
}

enum { CREW, MILL, OVEN, BOOTH };
enum { STEPS = 18, COATS_FROM = 6, COATS_TO = 9 };

/* One mould: a chain of steps, four of them joined by three windows, one on the mill, one in the
 * oven. */
static void add_mould(shop_problem *s, uint32_t group)
{
    for (uint32_t i = 0; i < STEPS; i++) {
        bool coat = i >= COATS_FROM && i <= COATS_TO;
        double hours = coat ? 1.0 : 2.0 + random_below(8);
        uint32_t at = add_activity(s, HOUR_S * hours, DAY, !coat);
        s->activities[at].group = group;
        add_need(s, i == 3 ? MILL : CREW, 1, false);
        if (i == 14) {
            add_need(s, OVEN, 1, true);
        }
        if (i == 0) {
            continue;
        }
        double wait_h = i % 3 == 0 && !coat ? 12.0 : 0.5;
        add_lag(s, (mw_plan_lag){.from = at - 1,
                                 .to = at,
                                 .from_end = true,
                                 .calendar = CURE,
                                 .amount_s = HOUR_S * wait_h});
        if (i > COATS_FROM && coat) {
            add_lag(s, (mw_plan_lag){.from = at - 1,
                                     .to = at,
                                     .to_end = true,
                                     .maximum = true,
                                     .calendar = CURE,
                                     .amount_s = HOUR_S * 5});
        }
    }
}

static void bench_job(mw_plan *plan, shop_problem *s, const char *name, uint32_t moulds,
                      double limit_ms)
{
    double ours[ROUNDS];
    static const uint32_t capacities[RESOURCES] = {[CREW] = 3, [MILL] = 1, [OVEN] = 1, [BOOTH] = 1};
    for (int i = 0; i < ROUNDS; i++) {
        random_state = (uint64_t)i;
        start_problem(s);
        for (uint32_t r = 0; r < RESOURCES; r++) {
            s->resources[r].capacity = capacities[r];
        }
        for (uint32_t m = 0; m < moulds; m++) {
            add_mould(s, m);
        }
        uint32_t missed = 0;
        ours[i] = seconds_of_plan(plan, s, moulds < 10 ? 50 : 2);
        mw_plan_missed(plan, &missed);
        /* In a shop booked for years the next gaps may be more than 30 days on. */
        bench_must(missed == 0 || moulds > 10, "a window is missed");
    }
    bench_print(name, bench_median(ours, ROUNDS) * 1e3, "ms", limit_ms);
}

int main(void)
{
    static shop_problem s;
    static const mw_stretch always[] = {{0, 1440, 1.0}};
    static const mw_stretch day[] = {{450, 720, 1.0}, {750, 990, 1.0}};
    static const mw_stretch cure[] = {{0, 420, 0.6}, {420, 1080, 1.0}, {1080, 1440, 0.6}};
    mw_calendar *owned[] = {make_calendar(7, always, 1), make_calendar(5, day, 2),
                            make_calendar(7, cure, 3)};
    mw_plan *plan = mw_plan_new();
    bench_must(plan != NULL, "no memory");
    for (int i = 0; i < 3; i++) {
        s.calendars[i] = owned[i];
    }
    bench_network(plan, &s, "plan-j30", 30);
    bench_network(plan, &s, "plan-j120", 120);
    bench_job(plan, &s, "plan-job", 7, 1.0);
    bench_job(plan, &s, "plan-2000", 111, 50.0);
    mw_plan_free(plan);
    for (int i = 0; i < 3; i++) {
        mw_calendar_free(owned[i]);
    }
    return EXIT_SUCCESS;
}
