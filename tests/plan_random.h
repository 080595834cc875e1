/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Random planning problems with calendars, lags of all four kinds, windows, crews, promises and
 * places held while waiting. */
#ifndef TESTS_PLAN_RANDOM_H
#define TESTS_PLAN_RANDOM_H

#include "plan_problem.h"

static inline double random_minutes(uint64_t *r, uint32_t most)
{
    double minutes = random_below(r, most + 1);
    return MINUTES(one_in(r, 4) ? minutes + random_below(r, 1000) / 1000.0 : minutes);
}

static uint32_t add_random_calendar(builder *b, uint64_t *r)
{
    mw_calendar *calendar = mw_calendar_new();
    assert_non_null(calendar);
    for (int weekday = 1; weekday <= 7; weekday++) {
        mw_stretch stretches[4];
        size_t count = random_below(r, 4);
        int at = 0;
        for (size_t i = 0; i < count; i++) {
            int from = at + (int)random_below(r, 300);
            int to = from + 30 + (int)random_below(r, 300);
            stretches[i] = (mw_stretch){from, to, 0.25 + random_below(r, 8) * 0.25};
            at = to;
            count = at > 1200 ? i + 1 : count;
        }
        assert_int_equal(mw_calendar_weekday(calendar, 0xfff, weekday, stretches, count), MW_OK);
    }
    return add_calendar(b, calendar);
}

static inline void add_holidays(builder *b, uint64_t *r)
{
    for (int i = 0; i < 3; i++) {
        assert_int_equal(
            mw_calendar_day(b->owned[DAY], MONDAY + (int32_t)random_below(r, 20), NULL, 0), MW_OK);
    }
}

static uint32_t random_calendar(const builder *b, uint64_t *r)
{
    static const uint32_t usual[] = {ALWAYS, DAY, DAY, DAY, CURE, NIGHT};
    return one_in(r, 4) ? b->problem.calendar_count - 1 : usual[random_below(r, 6)];
}

static inline void add_random_activity(builder *b, uint64_t *r)
{
    uint32_t calendar = one_in(r, 300) ? CLOSED : random_calendar(b, r);
    bool own = calendar == b->problem.calendar_count - 1; /* its runs may be short */
    bool interrupt = own ? !one_in(r, 10) : one_in(r, 2);
    double work_s = random_minutes(r, interrupt ? 1200 : 200);
    add_activity(b, (mw_plan_activity){
                        .work_s = one_in(r, 10) ? 0.0 : work_s,
                        .calendar = calendar,
                        .interrupt = interrupt,
                        .earliest_s = one_in(r, 5) ? JAN(11, 0, 0) + random_minutes(r, 10000) : ANY,
                        .group = b->problem.activity_count / 5});
    uint32_t resource = random_below(r, b->problem.resource_count);
    for (uint32_t left = random_below(r, 4); left > 0; left--) {
        /* Another one each time: twice the same is soon above its capacity. */
        resource = one_in(r, 50) ? resource : (resource + 1) % b->problem.resource_count;
        if (left > b->problem.resource_count) {
            continue;
        }
        uint32_t most = b->resources[resource].capacity;
        uint32_t amount = one_in(r, 400) ? most + 1 : random_below(r, most + 1);
        add_need(b, (mw_plan_need){resource, amount, one_in(r, 4)});
    }
}

static inline mw_plan_lag random_lag(const builder *b, uint64_t *r, uint32_t from, uint32_t to)
{
    return (mw_plan_lag){.from = from,
                         .to = to,
                         .from_end = !one_in(r, 3),
                         .to_end = one_in(r, 4),
                         .calendar = random_calendar(b, r),
                         .amount_s = one_in(r, 3) ? 0.0 : random_minutes(r, 900)};
}

/* Least lags lead forward in a hidden order that is not the order of the list. */
static inline void add_random_lags(builder *b, uint64_t *r)
{
    uint32_t count = b->problem.activity_count;
    uint32_t hidden[64];
    for (uint32_t i = 0; i < count; i++) {
        uint32_t other = one_in(r, 2) ? i : random_below(r, i + 1);
        hidden[i] = hidden[other];
        hidden[other] = i;
    }
    for (uint32_t i = 1; i < count; i++) {
        for (uint32_t left = random_below(r, 3); left > 0; left--) {
            uint32_t from = hidden[i - 1 - random_below(r, i < 5 ? i : 5)];
            add_lag(b, random_lag(b, r, from, hidden[i]));
            if (one_in(r, 3)) {
                mw_plan_lag window = random_lag(b, r, from, hidden[i]);
                window.maximum = true;
                window.amount_s += HOURS(2 + random_below(r, 30));
                add_lag(b, window);
            }
        }
    }
    for (uint32_t left = random_below(r, 3); left > 0; left--) {
        mw_plan_lag window = random_lag(b, r, random_below(r, count), random_below(r, count));
        window.maximum = true;
        add_lag(b, window);
    }
}

static inline builder *make_random(uint64_t seed)
{
    uint64_t state = seed;
    uint64_t *r = &state;
    builder *b = new_shop_builder(JAN(11, 0, 0) + random_minutes(r, 2000));
    add_random_calendar(b, r);
    add_holidays(b, r);
    for (uint32_t left = 1 + random_below(r, 4); left > 0; left--) {
        add_resource(b, 1 + random_below(r, 4));
    }
    for (uint32_t left = random_below(r, 5); left > 0; left--) {
        double from_s = JAN(11, 0, 0) + random_minutes(r, 20000);
        uint32_t resource = random_below(r, b->problem.resource_count);
        add_promise(b, (mw_plan_promise){resource, 1 + random_below(r, 2), from_s,
                                         from_s + random_minutes(r, 5000)});
    }
    for (uint32_t left = 5 + random_below(r, 36); left > 0; left--) {
        add_random_activity(b, r);
    }
    add_random_lags(b, r);
    return b;
}

/* Some activities are due, some have been agreed. */
static inline void add_random_wishes(builder *b, uint64_t seed)
{
    uint64_t state = seed;
    uint64_t *r = &state;
    for (uint32_t a = 0; a < b->problem.activity_count; a++) {
        mw_plan_activity *row = &b->activities[a];
        if (one_in(r, 4)) {
            row->weight = 1.0 + random_below(r, 4);
            row->due_s = b->problem.start_s + random_minutes(r, 9000);
        }
        if (one_in(r, 6)) {
            row->agreed = true;
            row->agreed_s = b->problem.start_s + random_minutes(r, 6000);
            row->earliest_s = row->agreed_s;
        }
    }
}

#endif
