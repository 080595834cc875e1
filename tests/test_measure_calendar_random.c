/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Random calendars: everything they say is counted again minute by minute from the rules alone,
 * and what must hold of any calendar is checked. */
#include "measure_support.h"

#include <math.h>

#include "mouldwright/calendar.h"

enum { MINUTES = 1440, SPAN_DAYS = 75, MOST_STRETCHES = 3, MOST_SPECIALS = 12 };

/* --- the rules, kept beside the calendar ----------------------------------------------------- */

typedef struct plain_day {
    mw_stretch stretches[MOST_STRETCHES];
    size_t count;
} plain_day;

typedef struct plain {
    plain_day weekdays[12][7];
    plain_day specials[MOST_SPECIALS];
    int32_t special_days[MOST_SPECIALS];
    size_t special_count;
    int32_t first_day;                    /* of the span that is counted */
    double rates[SPAN_DAYS * MINUTES];    /* minute by minute */
    double done[SPAN_DAYS * MINUTES + 1]; /* the sum of all minutes before */
} plain;

/* --- making ---------------------------------------------------------------------------------- */

static plain_day random_day(dice *random)
{
    static const double rates[] = {0, 1, 1, 1, 0.57, 0.21, 1.83, 0.0625};
    plain_day out = {.count = (size_t)dice_below(random, MOST_STRETCHES + 1)};
    int from = 0;
    for (size_t i = 0; i < out.count; i++) {
        int room = MINUTES - from;
        if (room < 10) {
            out.count = i;
            break;
        }
        bool last = i + 1 == out.count;
        from += dice_below(random, 3) == 0 ? 0 : dice_below(random, room / 2);
        int most = last && dice_below(random, 2) == 0 ? MINUTES : MINUTES - from;
        int to = from + 1 + dice_below(random, most);
        /* Whole hours now and then, so that ends meet. */
        if (dice_below(random, 2) == 0 && to / 60 * 60 > from) {
            to = to / 60 * 60;
        }
        out.stretches[i] = (mw_stretch){from, to, rates[dice_below(random, 8)]};
        from = to;
    }
    return out;
}

static const plain_day *day_of(const plain *rules, int32_t day)
{
    for (size_t i = 0; i < rules->special_count; i++) {
        if (rules->special_days[i] == day) {
            return &rules->specials[i];
        }
    }
    return &rules->weekdays[mw_date_of_day(day).month - 1][mw_day_weekday(day) - 1];
}

/* Writes the rates of a day's stretches, the midnight of `rates` being `shift` minutes after its
 * own. */
static void write_rates(const plain_day *day, int shift, double *rates)
{
    for (size_t i = 0; i < day->count; i++) {
        const mw_stretch *stretch = &day->stretches[i];
        for (int m = stretch->from_minute - shift; m < stretch->to_minute - shift; m++) {
            if (m >= 0 && m < MINUTES) {
                rates[m] = stretch->rate;
            }
        }
    }
}

/* Writes the night of the day before first; what the day has of its own goes over it. */
static void fill_rates(plain *rules)
{
    memset(rules->rates, 0, sizeof rules->rates);
    for (int d = 0; d < SPAN_DAYS; d++) {
        double *rates = &rules->rates[d * MINUTES];
        write_rates(day_of(rules, rules->first_day + d - 1), MINUTES, rates);
        write_rates(day_of(rules, rules->first_day + d), 0, rates);
    }
    rules->done[0] = 0;
    for (int m = 0; m < SPAN_DAYS * MINUTES; m++) {
        rules->done[m + 1] = rules->done[m] + 60 * rules->rates[m];
    }
}

static void set_weekday(dice *random, plain *rules, mw_calendar *calendar)
{
    plain_day day = random_day(random);
    unsigned months = dice_below(random, 2) == 0 ? 0xfff : (unsigned)dice_bits(random) & 0xfff;
    int weekday = 1 + dice_below(random, 7);
    for (int month = 0; month < 12; month++) {
        if ((months >> month & 1) != 0) {
            rules->weekdays[month][weekday - 1] = day;
        }
    }
    assert_int_equal(mw_calendar_weekday(calendar, months, weekday, day.stretches, day.count),
                     MW_OK);
}

static void set_special(dice *random, plain *rules, mw_calendar *calendar)
{
    int32_t day = rules->first_day - 2 + dice_below(random, SPAN_DAYS + 4);
    size_t at = 0;
    while (at < rules->special_count && rules->special_days[at] != day) {
        at++;
    }
    if (at == MOST_SPECIALS) {
        return;
    }
    rules->special_count += at == rules->special_count;
    rules->special_days[at] = day;
    rules->specials[at] = random_day(random);
    if (dice_below(random, 2) == 0) {
        rules->specials[at].count = 0; /* a holiday */
    }
    assert_int_equal(
        mw_calendar_day(calendar, day, rules->specials[at].stretches, rules->specials[at].count),
        MW_OK);
}

static mw_calendar *random_calendar(dice *random, plain *rules)
{
    mw_calendar *calendar = mw_calendar_new();
    *rules = (plain){.first_day = 10000 + dice_below(random, 20000)};
    for (int i = dice_below(random, 30); i >= 0; i--) {
        if (dice_below(random, 3) == 0) {
            set_special(random, rules, calendar);
        } else {
            set_weekday(random, rules, calendar);
        }
    }
    fill_rates(rules);
    return calendar;
}

/* --- counting -------------------------------------------------------------------------------- */

static double start_of(const plain *rules)
{
    return rules->first_day * MW_DAY_S;
}

static double rate_at(const plain *rules, double moment)
{
    return rules->rates[(int)floor((moment - start_of(rules)) / 60)];
}

/* What is done from the start of the span on. */
static double count_until(const plain *rules, double moment)
{
    int minute = (int)floor((moment - start_of(rules)) / 60);
    double seconds = moment - start_of(rules) - minute * 60.0;
    return rules->done[minute] + (seconds > 0 ? seconds * rules->rates[minute] : 0);
}

static double count_amount(const plain *rules, double from, double to)
{
    return from < to ? count_until(rules, to) - count_until(rules, from) : 0;
}

static double random_moment(dice *random, const plain *rules)
{
    double minutes = dice_below(random, SPAN_DAYS * MINUTES);
    return start_of(rules) + minutes * 60 +
           (dice_below(random, 2) == 0 ? 0 : dice_below(random, 60));
}

static double end_of(const plain *rules)
{
    return start_of(rules) + SPAN_DAYS * MW_DAY_S;
}

/* --- checks on one calendar ------------------------------------------------------------------ */

static void check_amount(const mw_calendar *calendar, const plain *rules, double from, double to)
{
    double counted = to >= from ? count_amount(rules, from, to) : -count_amount(rules, to, from);
    assert_close(mw_calendar_amount(calendar, from, to), counted, 1e-5);
    assert_true(mw_calendar_rate(calendar, from) == rate_at(rules, from));
}

/* The amount is done at the moment returned, and was not done before. */
static void check_advance(const mw_calendar *calendar, const plain *rules, double from,
                          double amount)
{
    double done = mw_calendar_advance(calendar, from, amount);
    assert_true(done >= from);
    if (done >= end_of(rules)) {
        assert_true(count_amount(rules, from, end_of(rules)) <= amount + 1e-5);
        return;
    }
    assert_close(count_amount(rules, from, done), amount, 1e-5);
    if (amount > 1e-3) {
        assert_true(count_amount(rules, from, done - 0.01) < amount - 1e-5);
    }
    assert_true(mw_calendar_retreat(calendar, done, amount) >= from - 1e-4);
    assert_true(mw_calendar_advance(calendar, from, amount + 1) >= done);
    assert_true(mw_calendar_advance(calendar, from + 1, amount) >= done - 1e-4);
}

static void check_retreat(const mw_calendar *calendar, const plain *rules, double to, double amount)
{
    double left = mw_calendar_retreat(calendar, to, amount);
    assert_true(left <= to);
    if (left < start_of(rules)) {
        assert_true(count_amount(rules, start_of(rules), to) <= amount + 1e-5);
        return;
    }
    assert_close(count_amount(rules, left, to), amount, 1e-5);
    if (amount > 1e-3) {
        assert_true(count_amount(rules, left + 0.01, to) < amount - 1e-5);
    }
    assert_true(mw_calendar_advance(calendar, left, amount) <= to + 1e-4);
    assert_true(mw_calendar_retreat(calendar, to, amount + 1) <= left);
}

static void check_run(const mw_calendar *calendar, const plain *rules, double from)
{
    double open = floor((from - start_of(rules)) / 60) * 60 + start_of(rules);
    while (open < end_of(rules) && !(rate_at(rules, open) > 0)) {
        open += 60;
    }
    double got = mw_calendar_open(calendar, from);
    assert_true(open < end_of(rules) ? got == fmax(open, from) : got >= end_of(rules));
    double close = from;
    if (rate_at(rules, from) > 0) {
        close = floor((from - start_of(rules)) / 60) * 60 + start_of(rules);
        while (close < end_of(rules) && rate_at(rules, close) > 0) {
            close += 60;
        }
    }
    got = mw_calendar_close(calendar, from);
    assert_true(close < end_of(rules) ? got == close : got >= close);
}

static bool works(const plain *rules, int32_t day)
{
    const plain_day *pattern = day_of(rules, day);
    for (size_t i = 0; i < pattern->count; i++) {
        if (pattern->stretches[i].rate > 0) {
            return true;
        }
    }
    return false;
}

static void check_days(const mw_calendar *calendar, const plain *rules, int32_t from, int32_t to)
{
    int counted = 0;
    for (int32_t day = from; day <= to; day++) {
        counted += works(rules, day);
    }
    assert_int_equal(mw_calendar_works(calendar, from), works(rules, from));
    assert_int_equal(mw_calendar_count_days(calendar, from, to), counted);
    assert_int_equal(mw_calendar_count_days(calendar, to, from), from == to ? counted : -counted);
    /* The last of them is so many working days away. */
    int32_t last = to;
    while (last > from && !works(rules, last)) {
        last--;
    }
    if (last > from) {
        assert_int_equal(mw_calendar_add_days(calendar, from, counted - works(rules, from)), last);
        int32_t first = from;
        while (!works(rules, first)) {
            first++;
        }
        assert_int_equal(mw_calendar_add_days(calendar, from, 0), first);
        if (first < to) {
            assert_int_equal(mw_calendar_add_days(calendar, to, works(rules, to) - counted),
                             first == to ? to : first);
        }
    }
}

static void check_once(dice *random, const mw_calendar *calendar, const plain *rules)
{
    double from = random_moment(random, rules);
    double to = random_moment(random, rules);
    double middle = random_moment(random, rules);
    check_amount(calendar, rules, from, to);
    assert_close(mw_calendar_amount(calendar, from, middle) +
                     mw_calendar_amount(calendar, middle, to),
                 mw_calendar_amount(calendar, from, to), 1e-5);
    double amount = dice_unit(random) * pow(10, dice_below(random, 7));
    if (dice_below(random, 2) == 0) {
        /* Just what there is up to some moment, often a closing time. */
        amount = fabs(mw_calendar_amount(calendar, from, middle));
    }
    check_advance(calendar, rules, from, amount);
    check_retreat(calendar, rules, from, amount);
    check_run(calendar, rules, from);
    int32_t day = rules->first_day + dice_below(random, SPAN_DAYS);
    check_days(calendar, rules, day, day + dice_below(random, rules->first_day + SPAN_DAYS - day));
}

static void test_random_calendars(void **state)
{
    (void)state;
    dice random = dice_start(20270111);
    plain *rules = malloc(sizeof *rules);
    for (int i = 0; i < 1000; i++) {
        uint64_t seed = random.state;
        mw_calendar *calendar = random_calendar(&random, rules);
        for (int k = 0; k < 100; k++) {
            check_once(&random, calendar, rules);
        }
        mw_calendar_free(calendar);
        random.state = seed + 0x1234567;
    }
    free(rules);
}

/* Long spans: month by month must give what day by day gives. */
static void test_long_spans(void **state)
{
    (void)state;
    dice random = dice_start(42);
    plain *rules = malloc(sizeof *rules);
    for (int i = 0; i < 20; i++) {
        mw_calendar *calendar = random_calendar(&random, rules);
        double from = random_moment(&random, rules);
        double to = from;
        double amount = 0;
        for (int k = 0; k < 14000; k++) {
            double next = to + MW_DAY_S;
            amount += mw_calendar_amount(calendar, to, next);
            to = next;
        }
        assert_close(mw_calendar_amount(calendar, from, to), amount, 1e-4);
        if (amount > 1) {
            double done = mw_calendar_advance(calendar, from, amount);
            /* A day's rounding may carry it into the next opening, by no more than that. */
            assert_close(mw_calendar_amount(calendar, to, done), 0, 1e-4);
            assert_close(mw_calendar_amount(calendar, from, done), amount, 1e-4);
            double left = mw_calendar_retreat(calendar, to, amount);
            assert_close(mw_calendar_amount(calendar, left, from), 0, 1e-4);
            assert_close(mw_calendar_amount(calendar, left, to), amount, 1e-4);
        }
        mw_calendar_free(calendar);
    }
    free(rules);
}

/* Work cut into pieces is done when all of it at once is done, through any number of closing
 * times. */
static void test_pieces(void **state)
{
    (void)state;
    dice random = dice_start(43);
    plain *rules = malloc(sizeof *rules);
    for (int i = 0; i < 100; i++) {
        mw_calendar *calendar = random_calendar(&random, rules);
        double from = random_moment(&random, rules);
        double at = from;
        double amount = 0;
        for (int k = 0; k < 50 && at < HUGE_VAL; k++) {
            double piece = dice_unit(&random) * 20000;
            at = mw_calendar_advance(calendar, at, piece);
            amount += piece;
        }
        double whole = mw_calendar_advance(calendar, from, amount);
        if (whole < HUGE_VAL && at < HUGE_VAL) {
            assert_close(mw_calendar_amount(calendar, at, whole), 0, 1e-4);
        }
        mw_calendar_free(calendar);
    }
    free(rules);
}

/* --- memory ---------------------------------------------------------------------------------- */

static support_outcome set_up(void *context)
{
    (void)context;
    static const mw_stretch day[] = {{480, 720, 1}, {780, 1000, 1}};
    mw_calendar *calendar = mw_calendar_new();
    if (calendar == NULL) {
        return SUPPORT_NO_MEMORY;
    }
    mw_status status = MW_OK;
    for (int i = 0; i < 40 && status == MW_OK; i++) {
        double before = mw_calendar_amount(calendar, 0, 100 * MW_DAY_S);
        mw_stretch other[] = {{i, 600 + i, 1}};
        status = i % 2 == 0 ? mw_calendar_weekday(calendar, 0xfff, 1 + i % 7, other, 1)
                            : mw_calendar_day(calendar, i * 2, i % 3 == 0 ? day : other,
                                              i % 3 == 0 ? 2 : 1);
        if (status != MW_OK) {
            assert_true(mw_calendar_amount(calendar, 0, 100 * MW_DAY_S) == before);
        }
    }
    mw_calendar_free(calendar);
    return status == MW_OK ? SUPPORT_DONE : SUPPORT_NO_MEMORY;
}

static void test_without_memory(void **state)
{
    (void)state;
    assert_true(support_fail_each_allocation(set_up, NULL) > 10);
}

int main(void)
{
    test_list list = {0};
    test_add(&list, test_random_calendars);
    test_add(&list, test_long_spans);
    test_add(&list, test_pieces);
    test_add(&list, test_without_memory);
    return test_run(&list, "calendar_random");
}
