/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Building small planning problems in tests: arrays that grow, and the calendars of an invented
 * shop. */
#ifndef TESTS_PLAN_PROBLEM_H
#define TESTS_PLAN_PROBLEM_H

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "mouldwright/plan.h"
#include "support.h"

/* Monday 2027-01-11 is day 20829 since 1970-01-01: 57 years of 365 days, 14 leap days from 1972 to
 * 2024, and 10 days of January. */
enum { MONDAY = 20829 };
#define JAN(day, hour, minute) (((MONDAY - 11 + (day)) * 24 + (hour)) * 3600.0 + (minute)*60.0)
#define HOURS(h)               ((h)*3600.0)
#define MINUTES(m)             ((m)*60.0)
#define NEVER                  HUGE_VAL
#define ANY                    (-HUGE_VAL)

/* The calendars of the tests. */
enum {
    ALWAYS,   /* rate 1 day and night */
    DAY,      /* Monday to Friday 07:30-12:00, 12:30-16:30: 8.5 h */
    CURE,     /* rate 1 from 07:00 to 18:00, 0.5 in the night */
    NIGHT,    /* Monday to Friday 22:00-06:00 of the next day */
    CLOSED,   /* never */
    BREAK_90, /* every day 08:00-12:00, 13:30-17:30 */
    BREAK_91, /* every day 08:00-12:00, 13:31-17:31 */
    CALENDARS
};

typedef struct calendar_row {
    int first_weekday, last_weekday;
    uint32_t count;
    mw_stretch stretches[3];
} calendar_row;

static const calendar_row calendar_rows[CALENDARS] = {
    [ALWAYS] = {1, 7, 1, {{0, 1440, 1.0}}},
    [DAY] = {1, 5, 2, {{450, 720, 1.0}, {750, 990, 1.0}}},
    [CURE] = {1, 7, 3, {{0, 420, 0.5}, {420, 1080, 1.0}, {1080, 1440, 0.5}}},
    [NIGHT] = {1, 5, 1, {{1320, 1800, 1.0}}},
    [CLOSED] = {1, 0, 0, {{0, 0, 0.0}}},
    [BREAK_90] = {1, 7, 2, {{480, 720, 1.0}, {810, 1050, 1.0}}},
    [BREAK_91] = {1, 7, 2, {{480, 720, 1.0}, {811, 1051, 1.0}}},
};

static inline mw_calendar *make_calendar(const calendar_row *row)
{
    mw_calendar *calendar = mw_calendar_new();
    assert_non_null(calendar);
    for (int weekday = row->first_weekday; weekday <= row->last_weekday; weekday++) {
        assert_int_equal(mw_calendar_weekday(calendar, 0xfff, weekday, row->stretches, row->count),
                         MW_OK);
    }
    return calendar;
}

/* A problem whose arrays the test owns and may grow. */
typedef struct builder {
    mw_calendar *owned[16];
    const mw_calendar *calendars[16];
    mw_plan_resource resources[16];
    mw_plan_promise *promises;
    mw_plan_need *needs;
    mw_plan_activity *activities;
    mw_plan_lag *lags;
    size_t promise_room, need_room, activity_room, lag_room;
    mw_plan_problem problem;
} builder;

/* Returns room for one more behind `count` items. */
static inline void *one_more(void *items, size_t *room, uint32_t count, size_t size)
{
    if (count == *room) {
        *room = *room == 0 ? 16 : *room * 2;
        items = realloc(items, *room * size);
        assert_non_null(items);
    }
    return items;
}

static inline void point_at_arrays(builder *b)
{
    b->problem.calendars = b->calendars;
    b->problem.resources = b->resources;
    b->problem.promises = b->promises;
    b->problem.needs = b->needs;
    b->problem.activities = b->activities;
    b->problem.lags = b->lags;
}

static inline uint32_t add_calendar(builder *b, mw_calendar *calendar)
{
    uint32_t at = b->problem.calendar_count++;
    b->owned[at] = calendar;
    b->calendars[at] = calendar;
    return at;
}

static inline builder *new_builder(double start_s)
{
    builder *b = calloc(1, sizeof *b);
    assert_non_null(b);
    b->problem.start_s = start_s;
    point_at_arrays(b);
    return b;
}

/* With the calendars of the table, in its order. */
static inline builder *new_shop_builder(double start_s)
{
    builder *b = new_builder(start_s);
    for (int i = 0; i < CALENDARS; i++) {
        add_calendar(b, make_calendar(&calendar_rows[i]));
    }
    return b;
}

static inline void free_builder(builder *b)
{
    for (uint32_t i = 0; i < b->problem.calendar_count; i++) {
        mw_calendar_free(b->owned[i]);
    }
    free(b->promises);
    free(b->needs);
    free(b->activities);
    free(b->lags);
    free(b);
}

static inline uint32_t add_resource(builder *b, uint32_t capacity)
{
    uint32_t at = b->problem.resource_count++;
    b->resources[at].capacity = capacity;
    return at;
}

static inline void add_promise(builder *b, mw_plan_promise promise)
{
    b->promises = one_more(b->promises, &b->promise_room, b->problem.promise_count, sizeof promise);
    b->promises[b->problem.promise_count++] = promise;
    point_at_arrays(b);
}

static inline uint32_t add_activity(builder *b, mw_plan_activity activity)
{
    b->activities =
        one_more(b->activities, &b->activity_room, b->problem.activity_count, sizeof activity);
    activity.first_need = b->problem.need_count;
    activity.need_count = 0;
    b->activities[b->problem.activity_count] = activity;
    point_at_arrays(b);
    return b->problem.activity_count++;
}

/* Adds a need to the activity added last. */
static inline void add_need(builder *b, mw_plan_need need)
{
    b->needs = one_more(b->needs, &b->need_room, b->problem.need_count, sizeof need);
    b->needs[b->problem.need_count++] = need;
    b->activities[b->problem.activity_count - 1].need_count++;
    point_at_arrays(b);
}

static inline uint32_t add_lag(builder *b, mw_plan_lag lag)
{
    b->lags = one_more(b->lags, &b->lag_room, b->problem.lag_count, sizeof lag);
    b->lags[b->problem.lag_count] = lag;
    point_at_arrays(b);
    return b->problem.lag_count++;
}

/* `to` starts when `from` has ended. */
static inline void add_follows(builder *b, uint32_t from, uint32_t to)
{
    add_lag(b, (mw_plan_lag){.from = from, .to = to, .from_end = true, .calendar = ALWAYS});
}

/* Random numbers whose sequence is the same everywhere.
 * Source: Steele, Lea and Flood, Fast splittable pseudorandom number generators, OOPSLA 2014. */
static inline uint64_t next_random(uint64_t *state)
{
    uint64_t z = *state += 0x9e3779b97f4a7c15u;
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
    return z ^ (z >> 31);
}

/* Returns a number from 0 to below `below`. */
static inline uint32_t random_below(uint64_t *state, uint32_t below)
{
    return (uint32_t)(next_random(state) % below);
}

static inline bool one_in(uint64_t *state, uint32_t n)
{
    return random_below(state, n) == 0;
}

#endif
